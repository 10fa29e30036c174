"""`benchledger receipt`: suppliers' documents as they come, one by one or by the file.

The rooms that do the work are imported by the verb that is used, so that help comes at once.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, AsJson, Columns
from ledger.cli.opened import open_shop

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.verbs.receipt import ReceiptNow

app = typer.Typer(no_args_is_help=True, help="Receipts: load, add, list, show, reverse.")

Number = Annotated[
    str,
    typer.Argument(metavar="NUMBER", help="The receipt's number.", autocompletion=complete.receipt),
]

CreditOf = Annotated[
    str,
    typer.Option(metavar="LOT|RECEIPT|DOCUMENT|CODE", help="A credit note for goods of this."),
]
Item = Annotated[
    str,
    typer.Argument(
        help="A material's code or name, or words of your own.", autocompletion=complete.material
    ),
]


@app.command()
def load(
    file: Annotated[Path, typer.Argument(help="Receipts, XLSX or CSV.")],
    after_close: AfterClose = False,
    columns: Columns = None,
) -> None:
    """Take a file of receipts into the book: all of it, or nothing and a list of what is wrong.

    Example: benchledger receipt load sample_data/receipts.csv
    """
    from ledger.cli.headings import read_asking
    from ledger.jobs.jobs import find_job
    from ledger.measures.money import total
    from ledger.measures.spoken import how_many
    from ledger.stock.receipts import receive_all
    from ledger.workbooks.readers.receipts import read_receipts

    with open_shop(after_close=after_close) as book:
        documents = read_asking(
            book, "file of receipts", columns,
            lambda named: read_receipts(
                file, book, lambda text: find_job(book, text).key, named
            ),
        )  # fmt: skip
        received = receive_all(book, documents, file.name)
        lines = sum(len(document.lines) for document in documents)
        shown = book.currency.show(total(one.receipt.total for one in received))
    voice.say(
        f"{file.name}: {how_many(len(received), 'receipt')} with {how_many(lines, 'line')},"
        f" {shown} paid or to pay."
    )
    for one in received:
        _warn(one.receipt.number, one.warnings)


Supplier = Annotated[
    str, typer.Option("--from", help="Else the last supplier.", autocompletion=complete.supplier)
]
Place = Annotated[
    str,
    typer.Option(
        help="A job, stock or shop; or JOB: 12.00; stock: 6.00", autocompletion=complete.place
    ),
]
Further = Annotated[
    list[str] | None,
    typer.Option(
        "--and", metavar="LINE", help='A further line: "GLUE 2 at 7.50 less 1.00 to shop".'
    ),
]
Total = Annotated[str, typer.Option("--total", help="What the document says it comes to.")]
InKind = Annotated[
    str, typer.Option(metavar="METHOD", help="Given, PRICE is its fair value, found so.")
]
Asked = Annotated[
    bool, typer.Option("--ask", help="Be asked for the lines until they meet the total.")
]


@app.command()
def add(
    item: Item = "",
    quantity: Annotated[str, typer.Argument(help="How much, such as 2, 3.1 or 1-1/2.")] = "",
    price: Annotated[str, typer.Argument(help="The price of one as it was bought.")] = "",
    further: Further = None,
    supplier: Supplier = "",
    to: Place = "",
    unit: Annotated[str, typer.Option(help="As bought: pack, box, roll, ft; else stock's.")] = "",
    category: Annotated[str, typer.Option(help="For goods without a code.")] = "",
    tax: Annotated[str, typer.Option(help="Tax paid on the document.")] = "",
    tax_kind: Annotated[str, typer.Option(help="paid, resale, use, recoverable or none.")] = "",
    freight: Annotated[str, typer.Option(help="Freight on the same document.")] = "",
    discount: Annotated[
        str, typer.Option(help="Discount on all its lines, an amount or 5 %.")
    ] = "",
    total_: Total = "",
    document: Annotated[str, typer.Option(help="The supplier's number of it.")] = "",
    number: Annotated[str, typer.Option(help="Your own number; else the next one.")] = "",
    paid_by: Annotated[str, typer.Option(help="card, cash, transfer …")] = "",
    on: Annotated[str, typer.Option(metavar="DAY", help="Its day.")] = "today",
    thickness: Annotated[str, typer.Option(help="Measured thickness of the sheets.")] = "",
    statement: Annotated[str, typer.Option(help="The supplier's compliance statement.")] = "",
    credit_of: CreditOf = "",
    in_kind: InKind = "",
    evidence: Annotated[str, typer.Option(help="What shows that fair value.")] = "",
    borrowed: Annotated[bool, typer.Option("--borrowed", help="Lent; it stays theirs.")] = False,
    photo: Annotated[
        int, typer.Option(metavar="N", help="From this photo; see receipt photos.")
    ] = 0,
    after_close: AfterClose = False,
    ask: Asked = False,
) -> None:
    """Enter a receipt: one line of goods, further ones with --and, or asked for with --ask.

    Example: benchledger receipt add EDGE58 1 15.50 --and "GLUE 2 at 7.50 to shop"
    --from "Copper Vale Lumber" --to bed --tax-kind resale --on 2025-05-13
    """
    from ledger.cli.receipt_shown import say_receipt
    from ledger.stock.line_text import LineText, split_line
    from ledger.verbs import receipt

    first = [LineText(item, quantity, price, unit, category)] if item else []
    lines = first + [split_line(text) for text in further or ()]
    typed = receipt.TypedReceipt(
        lines=tuple(lines), supplier=supplier, to=to, tax=tax, tax_kind=tax_kind, freight=freight,
        discount=discount, total=total_, document=document, number=number, paid_by=paid_by, on=on,
        thickness=thickness, statement=statement, credit_of=credit_of, in_kind=in_kind,
        evidence=evidence, borrowed=borrowed,
    )  # fmt: skip
    if ask:
        from ledger.cli.receipt_dialog import ask_for_lines

        typed = ask_for_lines(typed)
    elif not (item and quantity and price):
        raise typer.BadParameter("write ITEM QUANTITY PRICE, or be asked for the lines: --ask")
    with open_shop(after_close=after_close) as book:
        added = receipt.add(book, typed, photo=photo)
        say_receipt(added, book.currency)
        _warn(added.number, added.warnings)
        _say_apart(book, added)


def _say_apart(book: "Book", added: "ReceiptNow") -> None:
    """Note where sheets that jobs share were bought for one of them alone."""
    from ledger.book.tables.ground import Job
    from ledger.cli.shared import say_if_apart

    for place in dict.fromkeys(place for line in added.lines for place in line.places):
        items = {line.item for line in added.lines if place in line.places}
        say_if_apart(book, book.last(Job, number=place), items)


@app.command()
def photos(as_json: AsJson = False) -> None:
    """List photos of receipts that wait to be entered: receipt add … --photo NUMBER.

    Example: benchledger receipt photos
    """
    from ledger.cli import receipt_shown

    receipt_shown.list_photos(as_json=as_json)


@app.command()
def template(
    file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx or .csv.")],
) -> None:
    """Write a table of receipts to fill in; its example rows can be loaded as they stand.

    Example: benchledger receipt template receipts.xlsx
    """
    from ledger.cli.templates import require_new
    from ledger.workbooks.writers.receipt_template import write_receipt_template

    require_new(file)
    with open_shop() as book:
        write_receipt_template(file, book)
    voice.say(f"{file} stands ready; fill it in and load it: benchledger receipt load {file}")


@app.command(name="list")
def list_(
    text: Annotated[str, typer.Argument(help="Only those with this in number or supplier.")] = "",
    as_json: AsJson = False,
) -> None:
    """List receipts by day, those taken back left out.

    Example: benchledger receipt list copper
    """
    from ledger.cli import receipt_shown

    receipt_shown.list_receipts(text, as_json=as_json)


@app.command()
def show(number: Number, as_json: AsJson = False) -> None:
    """Show a receipt with its lines, what they landed at, and where they went.

    Example: benchledger receipt show R-101
    """
    from ledger.cli import receipt_shown

    receipt_shown.show(number, as_json=as_json)


@app.command()
def reverse(
    number: Number, why: Annotated[str, typer.Option(help="Why it is taken back.")] = ""
) -> None:
    """Take a receipt back with all that it brought, unless its goods were used since.

    Example: benchledger receipt reverse R-101 --why "entered twice"
    """
    from ledger.stock.receipts import find_receipt
    from ledger.stock.takeback import reverse_receipt

    with open_shop() as book:
        receipt = find_receipt(book, number)
        day = reverse_receipt(book, receipt, why)
    voice.say(f"{receipt.number} is taken back as of {day}; its number is kept for this paper.")


def _warn(number: str, warnings: Iterable[str]) -> None:
    for warning in warnings:
        voice.warn(f"{number}: {warning}")

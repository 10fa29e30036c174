"""`benchledger receipt`: suppliers' documents as they come, one by one or by the file."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.book import Book
from ledger.book.tables.stock import Receipt, ReceiptLine
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.cli.receipt_typed import Typed, typed_document
from ledger.jobs.jobs import find_job
from ledger.measures.money import Currency, total
from ledger.measures.quantity import show_quantity
from ledger.stock.receipts import Received, find_receipt, receive, receive_all, supplier_name
from ledger.stock.receipts import receipts as all_receipts
from ledger.stock.retention import keep_until
from ledger.stock.takeback import reverse_receipt

app = typer.Typer(no_args_is_help=True, help="Receipts: load, add, list, show, reverse.")

AsJson = Annotated[bool, typer.Option("--json", help="As JSON.")]
Number = Annotated[str, typer.Argument(metavar="NUMBER", help="The receipt's number.")]


@app.command()
def load(file: Annotated[Path, typer.Argument(help="Receipts, XLSX or CSV.")]) -> None:
    """Take a file of receipts into the book: all of it, or nothing and a list of what is wrong.

    Example: benchledger receipt load sample_data/receipts.csv
    """
    from ledger.workbooks.readers.receipts import read_receipts

    with open_shop() as book:
        documents = read_receipts(file, book, lambda text: find_job(book, text).key)
        received = receive_all(book, documents, file.name)
        lines = sum(len(document.lines) for document in documents)
        shown = book.currency.show(total(one.receipt.total for one in received))
    voice.say(
        f"{file.name}: {_count(len(received), 'receipt')} with {_count(lines, 'line')},"
        f" {shown} paid or to pay."
    )
    for one in received:
        _warn(one)


@app.command()
def add(
    item: Annotated[str, typer.Argument(help="A material's code or name, or words of your own.")],
    quantity: Annotated[str, typer.Argument(help="How much, such as 2, 3.1 or 1-1/2.")],
    price: Annotated[str, typer.Argument(help="The price of one as it was bought.")],
    supplier: Annotated[str, typer.Option("--from", help="Else the last supplier.")] = "",
    to: Annotated[str, typer.Option(help="A job, stock or shop; or JOB: 12.00; stock: 6.00")] = "",
    unit: Annotated[str, typer.Option(help="As bought: pack, box, roll, ft; else stock's.")] = "",
    category: Annotated[str, typer.Option(help="For goods without a code.")] = "",
    tax: Annotated[str, typer.Option(help="Tax paid on it.")] = "",
    tax_kind: Annotated[
        str, typer.Option(help="paid, resale, use, recoverable or none.")
    ] = "",
    freight: Annotated[str, typer.Option(help="Freight on the same document.")] = "",
    discount: Annotated[str, typer.Option(help="Discount on the line.")] = "",
    total_: Annotated[
        str, typer.Option("--total", help="What the document says it comes to.")
    ] = "",
    document: Annotated[str, typer.Option(help="The supplier's number of it.")] = "",
    number: Annotated[str, typer.Option(help="Your own number; else the next one.")] = "",
    paid_by: Annotated[str, typer.Option(help="card, cash, transfer …")] = "",
    on: Annotated[str, typer.Option(metavar="DAY", help="Its day.")] = "today",
    thickness: Annotated[str, typer.Option(help="Measured thickness of the sheets.")] = "",
    statement: Annotated[str, typer.Option(help="The supplier's compliance statement.")] = "",
    credit_of: Annotated[
        int, typer.Option(metavar="LOT", help="It is a credit note for this lot.")
    ] = 0,
    in_kind: Annotated[
        str, typer.Option(metavar="METHOD", help="Given, PRICE is its fair value, found so.")
    ] = "",
    evidence: Annotated[str, typer.Option(help="What shows that fair value.")] = "",
    borrowed: Annotated[bool, typer.Option("--borrowed", help="Lent; it stays theirs.")] = False,
) -> None:
    """Enter one line of goods; freight, tax and discount go with it.

    Example: benchledger receipt add EDGE58 1 15.50 --from "Copper Vale Lumber" --to bed
    --tax-kind resale --on 2025-05-13
    """
    typed = Typed(
        item=item, quantity=quantity, price=price, supplier=supplier, to=to, unit=unit,
        category=category, tax=tax, tax_kind=tax_kind, freight=freight, discount=discount,
        total=total_, document=document, number=number, paid_by=paid_by, on=on,
        thickness=thickness, statement=statement, credit_of=credit_of, in_kind=in_kind,
        evidence=evidence, borrowed=borrowed,
    )  # fmt: skip
    with open_shop() as book:
        received = receive(book, typed_document(book, typed))
        _say_lines(book, received.receipt)
    _warn(received)


@app.command(name="list")
def list_(
    text: Annotated[str, typer.Argument(help="Only those with this in number or supplier.")] = "",
    as_json: AsJson = False,
) -> None:
    """List receipts by day, those taken back left out.

    Example: benchledger receipt list copper
    """
    sought = text.casefold()
    with open_shop() as book:
        rows = [
            (receipt, supplier)
            for receipt in all_receipts(book)
            if (supplier := supplier_name(book, receipt)) is not None
            and sought in f"{receipt.number} {supplier} {receipt.document}".casefold()
        ]
        money = book.currency
    if as_json:
        voice.facts([_facts(receipt, supplier, money) for receipt, supplier in rows])
        return
    voice.table(
        ["receipt", "day", "supplier", "document", "kind", ("total", "right")],
        [
            [r.number, str(r.day), name, r.document, r.kind.replace("_", " "), money.show(r.total)]
            for r, name in rows
        ],
    )


@app.command()
def show(number: Number, as_json: AsJson = False) -> None:
    """Show a receipt with its lines, what they landed at, and where they went.

    Example: benchledger receipt show R-101
    """
    with open_shop() as book:
        receipt = find_receipt(book, number)
        if not as_json:
            _say_lines(book, receipt)
            return
        lines = book.rows(ReceiptLine, receipt=receipt.key)
        facts = _facts(receipt, supplier_name(book, receipt), book.currency)
        facts["lines"] = [
            {
                "material": line.material,
                "item": line.words,
                "category": line.category,
                "quantity": show_quantity(line.quantity),
                "unit": line.unit,
                **{
                    name: str(book.currency.decimal(getattr(line, name)))
                    for name in ("net", "freight", "tax_paid", "use_tax", "landed")
                },
            }
            for line in lines
        ]
    voice.facts(facts)


@app.command()
def reverse(
    number: Number, why: Annotated[str, typer.Option(help="Why it is taken back.")] = ""
) -> None:
    """Take a receipt back with all that it brought, unless its goods were used since.

    Example: benchledger receipt reverse R-101 --why "entered twice"
    """
    with open_shop() as book:
        receipt = find_receipt(book, number)
        day = reverse_receipt(book, receipt, why)
    voice.say(f"{receipt.number} is taken back as of {day}; its number may be used again.")


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _say_lines(book: Book, receipt: Receipt) -> None:
    show = book.currency.show
    voice.heading(f"{receipt.number}  {supplier_name(book, receipt)}, {receipt.day}")
    lines = book.rows(ReceiptLine, receipt=receipt.key)
    voice.table(
        ["item", ("quantity", "right"), ("net", "right"), ("freight", "right"), ("tax", "right"),
         ("landed", "right"), "to"],
        [
            [line.material or line.words, f"{show_quantity(line.quantity)} {line.unit}",
             show(line.net), show(line.freight), show(line.tax_paid + line.use_tax),
             show(line.landed if receipt.kind != "in_kind" else line.fair), _places(book, line)]
            for line in lines
        ],
    )  # fmt: skip
    least = keep_until(receipt.day)
    voice.say(f"Document total {show(receipt.total)}; keep the paper at least until {least}.")


def _places(book: Book, line: ReceiptLine) -> str:
    from ledger.book.tables.ground import Job
    from ledger.book.tables.stock import ReceiptShare

    names = []
    for share in book.rows(ReceiptShare, line=line.key):
        job = book.row(Job, share.job) if share.job is not None else None
        names.append(job.number if job else share.place)
    return ", ".join(names)


def _facts(receipt: Receipt, supplier: str, currency: Currency) -> dict[str, object]:
    return {
        "receipt": receipt.number,
        "day": receipt.day.isoformat(),
        "supplier": supplier,
        "document": receipt.document,
        "kind": receipt.kind,
        "paid_by": receipt.paid_by,
        "total": str(currency.decimal(receipt.total)),
    }


def _warn(received: Received) -> None:
    for warning in received.warnings:
        voice.warn(f"{received.receipt.number}: {warning}")

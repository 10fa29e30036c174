"""The verbs of receipts: files and lines read, the room asked, the result said."""

from collections.abc import Sequence
from pathlib import Path

import typer

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.stock import Lot, Receipt, ReceiptLine, ReceiptShare
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.cli.receipt_typed import Typed, typed_document
from ledger.jobs.jobs import find_job
from ledger.measures.money import Currency, total
from ledger.measures.quantity import show_quantity
from ledger.measures.units import show_count
from ledger.stock.receipts import (
    PostedReceipt,
    find_receipt,
    receipts,
    receive,
    receive_all,
    supplier_name,
)
from ledger.stock.retention import KeptPaper, kept_paper
from ledger.stock.takeback import reverse_receipt


def load(file: Path, columns: Sequence[str] | None = None, *, after_close: bool = False) -> None:
    """Take a file of receipts in, whole or not at all."""
    from ledger.cli.headings import read_asking
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
        f"{file.name}: {_count(len(received), 'receipt')} with {_count(lines, 'line')},"
        f" {shown} paid or to pay."
    )
    for one in received:
        _warn(one)


def add(typed: Typed, *, dialog: bool = False, after_close: bool = False) -> None:
    """Take in a receipt as it was typed, or as it is answered.

    Raises:
        BadParameter: neither a line nor the wish to be asked for one.
    """
    if dialog:
        from ledger.cli.receipt_dialog import ask_for_lines

        typed = ask_for_lines(typed)
    elif not (typed.item and typed.quantity and typed.price):
        raise typer.BadParameter("write ITEM QUANTITY PRICE, or be asked for the lines: --ask")
    with open_shop(after_close=after_close) as book:
        received = receive(book, typed_document(book, typed))
        _say_lines(book, received.receipt)
    _warn(received)


def template(file: Path) -> None:
    """Write a table of receipts to fill in."""
    from ledger.workbooks.writers.receipt_template import write_receipt_template

    with open_shop() as book:
        write_receipt_template(file, book)
    voice.say(f"{file} stands ready; fill it in and load it: benchledger receipt load {file}")


def list_receipts(text: str, *, as_json: bool) -> None:
    """List the receipts in force."""
    sought = text.casefold()
    with open_shop() as book:
        rows = [
            (receipt, supplier)
            for receipt in receipts(book)
            if (supplier := supplier_name(book, receipt)) is not None
            and sought in f"{receipt.number} {supplier} {receipt.document}".casefold()
        ]
        money = book.currency
    if as_json:
        voice.print_json([_json(receipt, supplier, money) for receipt, supplier in rows])
        return
    if not rows and not text:
        voice.note("No receipt is in the book yet: benchledger receipt add ITEM QUANTITY PRICE")
        return
    voice.table(
        ["receipt", "day", "supplier", "document", "kind", ("total", "right")],
        [
            [r.number, str(r.day), name, r.document, r.kind.replace("_", " "), money.show(r.total)]
            for r, name in rows
        ],
    )


def show(number: str, *, as_json: bool) -> None:
    """Show one receipt with its lines."""
    with open_shop() as book:
        receipt = find_receipt(book, number)
        if not as_json:
            _say_lines(book, receipt)
            _say_lots(book, receipt)
            return
        lines = book.rows(ReceiptLine, receipt=receipt.key)
        payload = _json(receipt, supplier_name(book, receipt), book.currency)
        until = kept_paper(book, receipt).until
        payload["keep_until"] = str(until) if until else None
        payload["lines"] = [
            {
                "material": line.material,
                "item": line.words,
                "category": line.category,
                "quantity": show_quantity(line.quantity),
                "unit": line.unit,
                "bought": show_quantity(line.bought),
                "bought_unit": line.bought_unit,
                "unit_price": None if line.unit_price is None else str(line.unit_price),
                **{
                    name: str(book.currency.decimal(getattr(line, name)))
                    for name in ("net", "freight", "tax_paid", "use_tax", "landed")
                },
                "lot": _lot(book, line),
            }
            for line in lines
        ]
    voice.print_json(payload)


def reverse(number: str, why: str) -> None:
    """Take one receipt back."""
    with open_shop() as book:
        receipt = find_receipt(book, number)
        day = reverse_receipt(book, receipt, why)
    voice.say(f"{receipt.number} is taken back as of {day}; its number is kept for this paper.")


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
            [line.material or line.words, show_count(line.quantity, line.unit),
             show(line.net), show(line.freight), show(line.tax_paid + line.use_tax),
             show(line.landed if receipt.kind != "in_kind" else line.fair), _places(book, line)]
            for line in lines
        ],
    )  # fmt: skip
    voice.say(f"Document total {show(receipt.total)}.")
    voice.say(_keep_words(kept_paper(book, receipt)))


def _keep_words(kept: KeptPaper) -> str:
    if kept.until:
        return f"Keep the paper at least until {kept.until} ({kept.rule})."
    panels = f", as one of panels at least until {kept.panels}" if kept.panels else ""
    return (
        f"Keep the paper{panels}; for how many years your tax law asks it, say once: benchledger"
        " shop set keep_years=YEARS"
    )


def _say_lots(book: Book, receipt: Receipt) -> None:
    """Say which lots a receipt brought, for whoever has to name one later."""
    lines = book.rows(ReceiptLine, receipt=receipt.key)
    lots = [
        f"{line.material or line.words}: lot {lot}" for line in lines if (lot := _lot(book, line))
    ]
    if lots:
        voice.say("; ".join(lots) + ".")


def _lot(book: Book, line: ReceiptLine) -> int | None:
    """The lot that a line brought; a credit note brought none."""
    lot = book.last(Lot, line=line.key) if line.quantity.millionths > 0 else None
    return lot.key if lot else None


def _places(book: Book, line: ReceiptLine) -> str:
    names = []
    for share in book.rows(ReceiptShare, line=line.key):
        job = book.row(Job, share.job) if share.job is not None else None
        names.append(job.number if job else share.place)
    return ", ".join(names)


def _json(receipt: Receipt, supplier: str, currency: Currency) -> dict[str, object]:
    return {
        "receipt": receipt.number,
        "day": receipt.day.isoformat(),
        "supplier": supplier,
        "document": receipt.document,
        "kind": receipt.kind,
        "paid_by": receipt.paid_by,
        "total": str(currency.decimal(receipt.total)),
    }


def _warn(received: PostedReceipt) -> None:
    for warning in received.warnings:
        voice.warn(f"{received.receipt.number}: {warning}")

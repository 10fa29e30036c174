"""Panels of composite wood in a job: whose they are, what paper came with them, and the label.

The book keeps facts: supplier, document, day and the supplier's own statement, to be kept three
years. It never says that a piece meets a rule. A label is written only from the maker's own words,
once the maker confirms it and a statement stands by every panel (40 CFR 770 in the US).
"""

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Supplier
from ledger.book.tables.receipts import Receipt, ReceiptLine
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.measures.fields import made_of
from ledger.measures.quantity import Quantity
from ledger.stock.materials import materials
from ledger.stock.retention import keep_until
from ledger.stock.worth import job_material


class PanelRecord(Struct, frozen=True):
    """The panels a job took of one lot, and what is on file about them."""

    material: str
    words: str
    quantity: Quantity
    unit: str
    day: date
    supplier: str
    document: str
    statement: str
    keep: date


class Label(Struct, frozen=True):
    """The facts of a finished piece's label, in the maker's own words."""

    maker: str
    made: str
    statement: str


def panel_records(book: Book, job: Job) -> list[PanelRecord]:
    """The composite panels that a job took, lot by lot."""
    known = materials(book)
    records = []
    for use in job_material(book, job.key):
        material = known.get(use.material or "")
        lot = book.row(Lot, use.lot)
        if material is None or not material.composite or lot is None or not use.quantity:
            continue
        supplier, document = _origin(book, lot)
        record = made_of(
            PanelRecord, use, material=material.code, day=lot.day, supplier=supplier,
            document=document, statement=lot.statement, keep=keep_until(lot.day),
        )  # fmt: skip
        records.append(record)
    return records


def label_of(book: Book, job: Job, statement: str, day: date, *, confirmed: bool) -> Label:
    """The label of the finished piece: the maker's name, month and year, the maker's statement.

    Raises:
        NotAllowed: no panel was issued to the job, one came without a statement, the maker did not
            confirm every panel, or gave no words of their own.
    """
    records = panel_records(book, job)
    if not records:
        raise NotAllowed(
            f"No composite panel was issued to {job.number}; issue what it took first."
        )
    lacking = lacking_statement(records)
    if lacking:
        raise NotAllowed(
            f"No statement of the supplier is on file for {', '.join(lacking)}; a label says"
            " something of every panel."
        )
    if not confirmed or not statement.strip():
        raise NotAllowed(
            "A label is the maker's own word: give its wording and confirm every panel,"
            " --statement TEXT --confirm"
        )
    address = str(book.settings.address)
    maker = ", ".join(part for part in (str(book.settings.shop), address) if part)
    return Label(maker, f"{day:%m/%Y}", statement.strip())


def lacking_statement(records: Sequence[PanelRecord]) -> list[str]:
    """The materials of which a lot came without a statement."""
    return list(dict.fromkeys(row.material for row in records if not row.statement.strip()))


def _origin(book: Book, lot: Lot) -> tuple[str, str]:
    """Who a lot came from, and on which document."""
    if lot.source == "offcut":
        return "", "a piece from the rack: see the receipt of its sheet"
    line = book.row(ReceiptLine, lot.line) if lot.line is not None else None
    receipt = book.row(Receipt, line.receipt) if line else None
    if receipt is None:
        return lot.sponsor, lot.source.replace("_", " ")
    supplier = book.row(Supplier, receipt.supplier)
    name = supplier.name if supplier else ""
    return name, " ".join(part for part in (receipt.number, receipt.document) if part)

"""Receipts by the file: one row a line, the document's own figures on the first row of each.

A row without a receipt number, day and supplier continues the document above it. A file is taken
whole or not at all: what a document as a whole gets wrong is told at its first row.
"""

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from functools import cache
from pathlib import Path

from ledger.book import Book
from ledger.errors import LedgerError
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.documents import CATEGORIES, Document, DocumentLine, DocumentWords
from ledger.stock.fair import METHODS
from ledger.stock.materials import MaterialFinder
from ledger.stock.purchase import PurchaseNames, line_of, read_tally
from ledger.stock.receipts import check_document
from ledger.workbooks import kinds
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import columns_of

COLUMNS = columns_of(
    "receipt = number, receipt number; day* = date; supplier* = from; "
    "document = invoice, document number; kind; paid_by = payment; material = code; "
    "item = words, description; category; quantity = qty; unit; tally = boards; "
    "unit_price = price; discount; net = amount; tax; tax_paid; goes_to = job, to; "
    "document_discount; document_tax; total; thickness = measured thickness; "
    "statement = compliance statement; value_method; evidence; agreement; "
    "credit_of = lot, credit for; note"
)

KINDS = {"bought": "bought", "credit": "credit", "credit note": "credit", "in kind": "in_kind",
         "borrowed": "borrowed", "on loan": "borrowed"}  # fmt: skip
TAXES = {"paid": "paid", "resale": "resale", "resale certificate": "resale", "use": "use",
         "use tax due": "use", "recoverable": "recoverable", "VAT": "recoverable", "none": "none",
         "untaxed": "none"}  # fmt: skip
_WORDS = DocumentWords.__struct_fields__
_HEADERS = ("receipt", "day", "supplier", "kind", "document_discount", "document_tax", "total",
            "agreement", *_WORDS)  # fmt: skip
_ONE = Quantity.of(1)
_MOST_TAX = Fraction(1, 3)  # no VAT or sales tax takes as much of a price (from memory)
MOST_ROWS = 1_000
"""Rows of one file: each document is looked at beside all that stand in the book."""


def read_receipts(
    path: Path, book: Book, find_job: Callable[[str], int], named: Mapping[str, str] | None = None
) -> list[Document]:
    """Read a file of receipts for this book; `find_job` gives a job's row for its name.

    Raises:
        BadFile: with everything that is wrong in it.
    """
    faults = Faults(named)
    rows = rows_of(one_sheet(path, "receipts"), COLUMNS, faults, MOST_ROWS)
    names = PurchaseNames(cache(MaterialFinder(book).find), cache(find_job), book.currency)
    documents: list[Document] = []
    taken: dict[tuple[str, str, str], str] = {}
    for group in _groups(rows):
        before = len(faults.listed)
        document = _document(group, book, names)
        if len(faults.listed) == before:
            for sentence in check_document(book, document):
                group[0].fault("", sentence)
        _refuse_twice(group[0], document, taken)
        documents.append(document)
    faults.raise_if_any()
    return documents


def _groups(rows: Iterable[GridRow]) -> list[list[GridRow]]:
    """The rows of each document, the one with its own figures first."""
    groups: list[list[GridRow]] = []
    for row in rows:
        number = row.text("receipt")
        heading = any(row.written(name) for name in ("receipt", "day", "supplier"))
        same = groups and number and groups[-1][0].text("receipt") == number
        if groups and (same or not heading):
            groups[-1].append(row)
            _refuse_other_heading(groups[-1][0], row)
        else:
            groups.append([row])
    return groups


def _refuse_other_heading(head: GridRow, row: GridRow) -> None:
    for name in _HEADERS:
        value, first = row.written(name), head.written(name)
        if value and value != first:
            row.fault(
                name,
                f"The {name.replace('_', ' ')} is “{value}” here and “{first}” at the"
                " first line of the same receipt; a document has one.",
            )


def _document(group: list[GridRow], book: Book, names: PurchaseNames) -> Document:
    head, amount = group[0], kinds.money(book.currency)
    zero = Money(0)
    return Document(
        supplier=head.need("supplier", kinds.TEXT),
        day=head.need("day", kinds.day(book.dates)),
        lines=tuple(line for row in group if (line := _line(row, group, book, names))),
        kind=head.may("kind", kinds.choice("kind", KINDS), "bought"),
        number=head.text("receipt"),
        discount=head.may("document_discount", amount, zero),
        tax=head.may("document_tax", amount, zero),
        total=head.may("total", amount),
        agreement=head.text("agreement"),
        **{name: head.text(name) for name in _WORDS},
    )


def _line(
    row: GridRow, group: list[GridRow], book: Book, names: PurchaseNames
) -> DocumentLine | None:
    amount = kinds.money(book.currency)
    before = len(row.faults.listed)
    net = row.may("net", amount)
    written = DocumentLine(
        material=row.text("material") or _code_of(row.text("item"), names),
        words=row.text("item"),
        category=row.may("category", kinds.choice("category", CATEGORIES), ""),
        quantity=_quantity(row, book),
        unit=row.may("unit", kinds.UNIT, ""),
        unit_price=row.may("unit_price", kinds.price(book.currency)),
        net=net or Money(0),
        discount=row.may("discount", amount, Money(0)),
        tax_kind=row.may("tax", kinds.choice("tax", TAXES), _usual_tax(book, row, group)),
        tax_paid=row.may("tax_paid", amount, Money(0)),
        thickness=row.may("thickness", kinds.size(book.units)),
        statement=row.text("statement"),
        note=row.text("note"),
        method=row.may("value_method", kinds.choice("value method", METHODS), ""),
        evidence=row.text("evidence"),
        credit_of=row.text("credit_of"),
    )
    if len(row.faults.listed) > before:
        return None
    try:
        line = line_of(written, names, goes_to=row.text("goes_to"), net=net)
    except LedgerError as wrong:
        row.fault("", str(wrong))
        return None
    if len(group) > 1 and line.tax_paid > line.net.times(_MOST_TAX):
        row.fault(
            "tax_paid",
            f"A tax of {book.currency.show(line.tax_paid)} on a line of"
            f" {book.currency.show(line.net)} is more than any rate. If it is the tax of the whole"
            " document, write it in a column document_tax.",
        )
    return line


def _code_of(item: str, names: PurchaseNames) -> str:
    """The code of the material that goods are called by exactly, whatever heads their column."""
    try:
        known = names.material(item)
    except LedgerError:
        return ""
    is_own = item.strip().casefold() in (known.code.casefold(), known.name.casefold())
    return known.code if is_own else ""


def _quantity(row: GridRow, book: Book) -> Quantity:
    """The quantity that is billed; a tally of boards stands in where none is written."""
    if row.text("quantity"):
        return row.need("quantity", kinds.quantity(book.currency))
    if tally := row.text("tally"):
        try:
            return read_tally(tally, book.units)
        except LedgerError as wrong:
            row.fault("tally", str(wrong))
    return _ONE


def _usual_tax(book: Book, row: GridRow, group: list[GridRow]) -> str:
    """How a line stands to tax where nothing is said: what a shop of this standing pays.

    The tax of a document that marks no line is on all of them.
    """
    marked = any(one.text(name) for one in group for name in ("tax", "tax_paid"))
    is_taxed = row.text("tax_paid") or (group[0].text("document_tax") and not marked)
    if not is_taxed:
        return "none"
    return "recoverable" if book.settings.tax_standing == "vat" else "paid"


def _refuse_twice(
    head: GridRow, document: Document, taken: dict[tuple[str, str, str], str]
) -> None:
    keys = [("receipt", document.number, "")] if document.number else []
    if document.document:
        keys.append((document.kind, document.supplier.casefold(), document.document))
    for key in keys:
        if key in taken:
            head.fault("", f"This document stands twice in the file, also in {taken[key]}.")
        taken.setdefault(key, head.where())

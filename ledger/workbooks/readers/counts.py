"""A stock count on a sheet: one row a material with what was counted and, where it differs, why."""

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

from ledger.book import Book
from ledger.errors import LedgerError
from ledger.measures.quantity import Quantity
from ledger.stock.materials import MaterialFinder
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import columns_of
from ledger.workbooks.kinds import TEXT, quantity

COLUMNS = columns_of("material* = code; counted* = quantity, qty; reason = why; note")


class CountRow(Struct, frozen=True):
    """What was counted of one material."""

    material: str
    counted: Quantity
    reason: str


def read_counts(path: Path, book: Book, named: Mapping[str, str] | None = None) -> list[CountRow]:
    """Read a count of the shop.

    Raises:
        BadFile: with everything that is wrong in it.
    """
    faults = Faults(named)
    finder, rows = MaterialFinder(book), dict[str, CountRow]()
    for row in rows_of(one_sheet(path, "counts"), COLUMNS, faults):
        counted = _row(row, book, finder)
        if counted.material in rows:
            row.fault("material", f"{counted.material} stands twice; count it once.")
        rows[counted.material] = counted
    faults.raise_if_any()
    return list(rows.values())


def _row(row: GridRow, book: Book, finder: MaterialFinder) -> CountRow:
    code = row.need("material", TEXT)
    try:
        code = finder.find(code).code
    except LedgerError as wrong:
        if code:
            row.fault("material", str(wrong))
    return CountRow(code, row.need("counted", quantity(book.currency)), row.text("reason"))

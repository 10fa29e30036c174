"""Opening stock: one row a lot, with what it cost in full and, for goods in kind, in cash."""

from collections.abc import Mapping
from pathlib import Path

from ledger.book import Book
from ledger.errors import LedgerError
from ledger.measures.money import Money
from ledger.stock.materials import MaterialFinder
from ledger.stock.opening import OpeningRow
from ledger.stock.purchase import stock_quantity
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import columns_of
from ledger.workbooks.kinds import TEXT, UNIT, choice, money, price, quantity, size
from ledger.workbooks.readers.receipts import TAXES

COLUMNS = columns_of(
    "material* = code; quantity* = qty; unit; unit_cost = unit price, cost; "
    "full = value, full value; cash = cash cost; tax; sponsor = in kind from; "
    "thickness = measured thickness; statement = compliance statement; note"
)


def read_opening(
    path: Path, book: Book, named: Mapping[str, str] | None = None
) -> list[OpeningRow]:
    """Read what stood in the shop on the day its book begins.

    Raises:
        BadFile: with everything that is wrong in it.
    """
    faults = Faults(named)
    finder = MaterialFinder(book)
    sheet = one_sheet(path, "opening stock")
    rows = [_row(row, book, finder) for row in rows_of(sheet, COLUMNS, faults)]
    faults.raise_if_any()
    return rows


def _row(row: GridRow, book: Book, finder: MaterialFinder) -> OpeningRow:
    amount = row.need("quantity", quantity(book.currency))
    unit = row.may("unit", UNIT, "")
    code = row.need("material", TEXT)
    try:
        material = finder.find(code)
        code, amount = material.code, stock_quantity(material, amount, unit)
    except LedgerError as wrong:
        if code:
            row.fault("material", str(wrong))
    if not amount:
        row.fault("quantity", "An opening lot holds more than zero; leave the row out.")
    full = _full(row, book)
    sponsor = row.text("sponsor")
    cash = row.may("cash", money(book.currency), Money(0) if sponsor else full)
    if cash > full:
        row.fault("cash", "The cash is more than the full value; in kind it is 0.")
    return OpeningRow(
        material=code,
        quantity=amount,
        full=full,
        cash=cash,
        tax_kind=row.may("tax", choice("tax", TAXES), "paid"),
        sponsor=sponsor,
        thickness=row.may("thickness", size(book.units)),
        **row.texts("statement note"),
    )


def _full(row: GridRow, book: Book) -> Money:
    """What the lot is worth: as written, or its quantity times its unit cost."""
    if row.text("full"):
        return row.need("full", money(book.currency))
    if not row.text("unit_cost"):
        row.fault("unit_cost", "The lot has neither a unit cost nor a full value; write one.")
        return Money(0)
    cost = row.need("unit_cost", price(book.currency))
    return book.currency.money(row.need("quantity", quantity(book.currency)).decimal * cost)

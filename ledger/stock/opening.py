"""Opening stock: what stood in the shop on the day its book began."""

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.tables.materials import Material
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.measures.fields import made_of
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.spoken import how_many


class OpeningRow(Struct, frozen=True):
    """One lot as it stood: its quantity, what it cost in full and in cash."""

    material: str
    quantity: Quantity
    full: Money
    cash: Money
    tax_kind: str = "paid"
    sponsor: str = ""
    thickness: Length | None = None
    statement: str = ""
    note: str = ""


def open_stock(book: Book, rows: Sequence[OpeningRow], *, day: date | None = None) -> list[Lot]:
    """Post opening lots; they count as stock the month of their day began with.

    Raises:
        NotAllowed: an unknown material, a quantity of nothing, more cash than full value.
    """
    when = require_open_day(book, day or book.today)
    with book.entry("stock open", f"{how_many(len(rows), 'lot')} of {when}"):
        return [book.post(_lot(book, row, when)) for row in rows]


def opened_materials(book: Book) -> set[str]:
    """The codes of the materials that have opening stock already."""
    return {lot.material for lot in book.rows(Lot, source="opening") if lot.material}


def _lot(book: Book, row: OpeningRow, day: date) -> Lot:
    material = book.last(Material, code=row.material)
    if material is None:
        raise NotAllowed(f"There is no material {row.material}; load its price list first.")
    if row.quantity.millionths <= 0 or row.cash.minor < 0 or row.full < row.cash:
        raise NotAllowed(
            f"{row.material}: an opening lot has a quantity, and its cash is between 0 and its"
            " full value."
        )
    return made_of(
        Lot,
        row,
        words=material.name,
        category=material.kind,
        unit=material.unit,
        day=day,
        source="opening",
        thickness=row.thickness or material.thickness,
        length=material.length,
        width=material.width,
    )

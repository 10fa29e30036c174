"""A shop that can price: its standards, its yearly figures and one sheet material."""

from collections.abc import Callable
from decimal import Decimal

import pytest

from ledger.book import Book
from ledger.labor.standards import load_starting_standards
from ledger.measures.length import Length
from ledger.stock.materials import MaterialRow, save_materials


def _equip(book: Book) -> None:
    load_starting_standards(book)
    with book.entry("shop set"):
        for name, value in {"overhead_year": "22000", "pay_year": "56000"}.items():
            book.set(name, value)
    sheet = MaterialRow("PLY", "Plywood", "sheet", "sheet", length=Length.of(96, "in"),
                        width=Length.of(48, "in"), price=Decimal(80))  # fmt: skip
    save_materials(book, [sheet])


@pytest.fixture(scope="session")
def equip() -> Callable[[Book], None]:
    """Post what a shop needs to price: `equip(book)`."""
    return _equip

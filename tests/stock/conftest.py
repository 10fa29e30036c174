"""A shop of June 2025 with a few materials, and short ways to buy for it."""

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.stock import Lot
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.receipts import receive

TODAY = date(2025, 6, 30)
SHEET = {"length": Length.of(96, "in"), "width": Length.of(48, "in")}
MATERIALS = [
    MaterialRow("PLY34", "Birch ply 3/4", "sheet", "sheet", composite=True, **SHEET),
    MaterialRow("PLY12", "Birch ply 1/2", "sheet", "sheet", **SHEET),
    MaterialRow("EDGE78", "Edge tape 7/8 in", "edging", "ft"),
    MaterialRow("DISC5", "Abrasive discs 5 in", "abrasive", "disc"),
]


def _fill(book: Book) -> None:
    save_materials(book, MATERIALS)
    with book.entry("job new"):
        for number in ("J-2507", "J-2508"):
            job = book.post(Job(number=number, title=number))
            book.post(JobState(job=job.key, state="open", day=date(2025, 4, 1)))


@pytest.fixture
def june(tmp_path: Path, put_book: Callable[..., None]) -> Iterator[Book]:
    """A dollar book open on 2025-06-30 with four materials, 6 % tax and the jobs 1 and 2."""
    path = tmp_path / "june.sqlite"
    put_book(path, TODAY, _fill, tax_rate="6 %")
    with Book(path, TODAY) as book:
        yield book


def _usd(text: str) -> Money:
    """Dollars as money."""
    return Money(int(Decimal(text) * 100))


def _line(
    code: str | None, quantity: str, net: str, words: str = "", **more: object
) -> DocumentLine:
    """One line of goods; its unit and category are those of the material."""
    row = next((m for m in MATERIALS if m.code == code), None)
    facts: dict[str, object] = {
        "words": words or (row.name if row else "goods"),
        "category": row.kind if row else "supply",
        "unit": row.unit if row else "each",
    }
    made: dict[str, object] = facts | more
    return DocumentLine(
        material=code, quantity=Quantity.of(Decimal(quantity)), net=_usd(net), **made
    )


def _document(*lines: DocumentLine, day: str = "2025-05-05", **more: object) -> Document:
    """A receipt of Copper Vale Lumber, bought for resale unless it says otherwise."""
    made: dict[str, object] = {"supplier": "Copper Vale Lumber"} | more
    return Document(day=date.fromisoformat(day), lines=lines, **made)


def _to_job(quantity: str, job: int = 1) -> tuple[Share, ...]:
    """All of a line for one job."""
    return (Share("job", Quantity.of(Decimal(quantity)), job),)


@pytest.fixture
def usd() -> Callable[[str], Money]:
    """Dollars as money: `usd("12.50")`."""
    return _usd


@pytest.fixture
def line() -> Callable[..., DocumentLine]:
    """One line of goods: `line("EDGE78", "100", "22.00")`."""
    return _line


@pytest.fixture
def document() -> Callable[..., Document]:
    """A supplier's document of some lines."""
    return _document


@pytest.fixture
def to_job() -> Callable[..., tuple[Share, ...]]:
    """All of a line for the first job."""
    return _to_job


@pytest.fixture
def buy(june: Book) -> Callable[..., Lot]:
    """Buy on a day: `buy("EDGE78", "100", "22.00", day="2025-05-05")`."""

    def bought(code: str, quantity: str, net: str, day: str = "2025-05-05", **more: object) -> Lot:
        return receive(june, _document(_line(code, quantity, net, **more), day=day)).lots[0]

    return bought

"""The spring of the sample workshop: opening stock, a sponsor's sheets, the receipts of May."""

import shutil
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.book import Book, create_book
from ledger.jobs.jobs import find_job, new_job
from ledger.measures.day import DateReader
from ledger.measures.quantity import Quantity
from ledger.stock import issue, withdraw
from ledger.stock.materials import save_materials
from ledger.stock.opening import open_stock
from ledger.stock.receipts import receive_all
from ledger.workbooks.readers.materials import read_materials
from ledger.workbooks.readers.opening import read_opening
from ledger.workbooks.readers.receipts import read_receipts

SAMPLES = Path(__file__).parents[2] / "sample_data"
TODAY = date(2025, 6, 30)
ISSUES = {"EDGE78": "88", "DISC5": "41", "GLUE": "1", "PSCREW": "117", "ASSORT": "1", "WRAP": "1",
          "PIN14": "7"}  # fmt: skip


def open_shop(folder: Path) -> Book:
    """A book with the sample's materials and the jobs J-2503 and J-2507."""
    path = folder / "spring.sqlite"
    settings = {"shop": "Quillhaven Workshop", "tax_rate": "6 %", "use_tax_rate": "6 %"}
    create_book(path, TODAY, settings)
    book = Book(path, TODAY)
    prices = read_materials(SAMPLES / "materials.csv", book.currency, book.units, DateReader(TODAY))
    save_materials(book, prices)
    new_job(book, "Bunk-room shelving", number="J-2503")
    new_job(book, "Marrow fold-down bed", number="J-2507")
    return book


def job_of(book: Book) -> Callable[[str], int]:
    """The number of the row of a job by its name."""
    return lambda text: find_job(book, text).key


def live_through_spring(book: Book) -> None:
    """What happened in April and May: opening, sponsor, receipts, issues."""
    open_stock(book, read_opening(SAMPLES / "opening_stock.csv", book), day=date(2025, 4, 1))
    for name in ("sponsor_receipts.csv", "receipts.csv"):
        receive_all(book, read_receipts(SAMPLES / name, book, job_of(book)), name)
    one, first, bed = Quantity.of(1), job_of(book)("J-2503"), job_of(book)("J-2507")
    crushed = "corner crushed, reported"
    withdraw(book, "damage", "PLY34", one, day=date(2025, 4, 15), reason=crushed)
    issue(book, first, "PLY34", one * 4, day=date(2025, 4, 16), on_camera=False)
    issue(book, bed, "PLY34", one * 5, day=date(2025, 5, 6), on_camera=True)
    for code, quantity in ISSUES.items():
        issue(book, bed, code, Quantity.of(Decimal(quantity)), day=date(2025, 5, 20))


@pytest.fixture(scope="session")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of the sample workshop after its spring, lived through only once."""
    with open_shop(tmp_path_factory.mktemp("spring")) as book:
        live_through_spring(book)
        return book.path


@pytest.fixture
def spring(lived: Path, tmp_path: Path) -> Iterator[Book]:
    """The sample workshop after its spring, on 2025-06-30, for one test alone."""
    with Book(Path(shutil.copy(lived, tmp_path / "spring.sqlite")), TODAY) as book:
        yield book

"""The sample bed in a book, and ways to read every word and number of a document."""

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from ledger.book import Book, create_book
from ledger.book.tables.ground import Job
from ledger.costing.sheet import CostSheet
from ledger.designs.store import save_design
from ledger.jobs.answers import add_cost, set_count
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.money import currency
from ledger.measures.quantity import Quantity
from ledger.stock.materials import materials, save_materials
from ledger.workbooks.readers.design import read_design
from ledger.workbooks.readers.materials import read_materials
from ledger.workbooks.readers.settings import read_settings

SAMPLES = Path(__file__).parents[2] / "sample_data"
DAY = date(2025, 4, 25)
USD = currency("USD")


def sample_book(path: Path) -> Book:
    """The sample shop's book with its prices, standards and the Marrow bed, open on 2025-04-25."""
    create_book(path, DAY, {"shop": "Quillhaven Workshop", "currency": "USD", "units": "inch"})
    book = Book(path, DAY)
    load_starting_standards(book)
    with book.deed("shop load", ""):
        for name, value in read_settings(SAMPLES / "shop.csv", USD, "inch"):
            book.set(name, value)
    save_materials(book, read_materials(SAMPLES / "materials.csv", USD, "inch", DAY))
    design = save_design(book, read_design(SAMPLES / "bed", "inch", materials(book).keys()))
    job = new_job(book, "Marrow fold-down bed", client="D. Marrow", number="J-2507")
    set_basis(book, job, design.key, {})
    add_cost(book, job, "miles", "delivery", Quantity.of(44), Decimal("0.70"))
    for operation, cuts in (("RIP", 33), ("XW", 20), ("XN", 85)):
        set_count(book, job, operation, Quantity.of(cuts), "on the drawn cut plan")
    return book


@pytest.fixture(scope="module")
def bed_book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """The sample shop's book."""
    with sample_book(tmp_path_factory.mktemp("book") / "shop.sqlite") as book:
        yield book


@pytest.fixture(scope="module")
def bed(bed_book: Book) -> Job:
    """The job of the Marrow bed."""
    job = bed_book.last(Job, number="J-2507")
    assert job is not None
    return job


@pytest.fixture(scope="module")
def bed_sheet(bed_book: Book, bed: Job) -> CostSheet:
    """Its cost sheet as of 2025-04-25."""
    return price_job(bed_book, bed)


@pytest.fixture(scope="session")
def cells() -> Callable[[Path], list[object]]:
    """Every value of a workbook: cells, sheet names, headers and footers, notes, properties."""

    def every_value(path: Path) -> list[object]:
        workbook = load_workbook(path)
        about = workbook.properties
        found: list[object] = [about.title, about.creator, about.description, about.keywords]
        found += list(workbook.defined_names)
        for sheet in workbook.worksheets:
            assert sheet.sheet_state == "visible"
            found.append(sheet.title)
            for part in (sheet.oddHeader, sheet.oddFooter):
                found += [part.left.text, part.center.text, part.right.text]
            for row in sheet.iter_rows():
                found += [cell.value for cell in row]
                found += [cell.comment.text for cell in row if cell.comment]
        return [value for value in found if value not in (None, "")]

    return every_value

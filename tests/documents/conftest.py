"""The sample bed in a book, and ways to read every word and number of a document."""

import shutil
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pypdfium2
import pytest
from openpyxl import load_workbook

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.costing.sheet import CostSheet
from ledger.jobs.pricing import price_job
from ledger.measures.money import currency

SAMPLES = Path(__file__).parents[2] / "sample_data"
DAY = date(2025, 4, 25)
USD = currency("USD")


@pytest.fixture(scope="module")
def bed_book(tmp_path_factory: pytest.TempPathFactory, bed_file: Path) -> Iterator[Book]:
    """The sample shop's book, for the tests of one file."""
    path = tmp_path_factory.mktemp("book") / "shop.sqlite"
    shutil.copyfile(bed_file, path)
    with Book(path, DAY) as book:
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
    """Every value of a workbook (cells, sheet names, headers and footers, notes, properties).

    Of a PDF all its lines, and what it says of itself.
    """

    def every_value(path: Path) -> list[object]:
        if path.suffix == ".pdf":
            return _lines(path)
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


def _lines(path: Path) -> list[object]:
    with pypdfium2.PdfDocument(path) as document:
        about = list(document.get_metadata_dict().values())
        pages = [page.get_textpage().get_text_bounded() for page in document]
    return [*about, *(line for page in pages for line in page.splitlines())]

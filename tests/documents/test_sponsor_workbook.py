"""The sponsor's workbook: read back cell by cell, it says what the report says."""

import stat
import sys
from datetime import datetime
from pathlib import Path

import pytest
from openpyxl import load_workbook

from ledger.errors import NotAllowed
from ledger.sponsors.statement import Amount, StatementLine
from ledger.workbooks.writers.sponsor import write_sponsor

sys.path.insert(0, str(Path(__file__).parent))  # this folder is no package
from sponsor_sample import BED, PLY, a_report, sheets


@pytest.fixture
def written(tmp_path):
    """Write a report and read it back: `written(objective="x")`."""

    def write(**change):
        return load_workbook(write_sponsor(a_report(**change), tmp_path / "report.xlsx"))

    return write


def rows_of(sheet):
    return [[cell.value for cell in row if cell.value is not None] for row in sheet.iter_rows()]


def row_of(sheet, first):
    return next(row for row in rows_of(sheet) if row and row[0] == first)


def test_the_goods_stand_in_units_and_value_close_and_are_added_up(written):
    saw = StatementLine("Track saw", "each", True, (2,), Amount(), sheets(1, 480))
    rows = rows_of(written(lines=(*a_report().lines, saw))["Goods"])
    assert rows[3] == [PLY, "sheet", "number", 0, 12, -9, 0, -1, 0, 2]
    assert rows[4] == [PLY, "sheet", "value USD", 0, 1152, -864, 0, -96, 0, 192]
    assert rows[-1] == ["Total of the values", 0, 1632, -864, 0, -96, 0, 672]
    assert sum(rows[-1][1:7]) == rows[-1][7]


def test_the_workbook_tells_builds_tools_and_what_is_left(written):
    book = written()
    assert rows_of(book["Builds"])[3:] == [[BED, PLY, "sheet", 9, 864, "5"], ["Total", 864]]
    said = dict(row for row in rows_of(book["Report"])[3:])
    assert said["Your objective"] == "Show a clean edge"
    assert said["Where the rest is"] == "sheet rack; offcut 40 x 24"
    assert "no cash was paid" in said["Values"]


def test_no_cell_spans_others(written):
    for sheet in written().worksheets:
        assert [str(area) for area in sheet.merged_cells.ranges if area.min_row > 2] == []


def test_each_event_stands_in_the_statement_with_what_was_left(written):
    rows = rows_of(written()["Statement"])[3:]
    assert [row[1] for row in rows] == ["opening", "received", "damaged", "used", "closing"]
    assert [row[4:7] for row in rows] == [
        [0, 0, 0], [12, 1152, 12], [-1, -96, 11], [-9, -864, 2], [2, 192, 2],
    ]  # fmt: skip
    assert rows[1][0] == datetime(2025, 4, 14)


def test_publications_deliverables_and_photos_have_a_sheet_each(written):
    book = written()
    assert book.sheetnames == [
        "Report", "Goods", "Builds", "Statement", "Publications", "Deliverables", "Photos"
    ]  # fmt: skip
    assert rows_of(book["Deliverables"])[3:] == [
        ["Long video", 1, 1, 0, datetime(2025, 6, 30)],
        ["Post (photo or short)", 2, 1, 1, datetime(2025, 6, 30)],
        ["Total", 3, 2, 1],
    ]
    assert rows_of(book["Photos"])[3:] == [["edge.jpg"]]
    assert rows_of(book["Publications"])[3][-1] == "not noted"
    assert rows_of(book["Publications"])[4][-2:] == [datetime(2025, 6, 20), "spoken"]


def test_a_web_address_can_be_clicked_and_another_link_is_plain(written):
    sheet = written()["Publications"]
    assert sheet["E4"].hyperlink is None
    assert sheet["E5"].hyperlink.target == "https://v.example/2"


def test_a_title_that_looks_like_a_formula_stays_text(written):
    cells = [cell for row in written()["Publications"].iter_rows() for cell in row]
    (cell,) = [cell for cell in cells if cell.value == "=SUM(1)"]
    assert (cell.data_type, cell.quotePrefix) == ("s", True)


def test_an_empty_report_is_a_page_too(written):
    empty = dict.fromkeys(
        ("lines", "lots", "used", "events", "tools", "published", "promised", "offcuts", "photos",
         "results"), ()
    )  # fmt: skip
    book = written(objective="", next_use="", **empty)
    assert book.sheetnames == [
        "Report", "Goods", "Builds", "Statement", "Publications", "Deliverables"
    ]  # fmt: skip
    assert rows_of(book["Builds"])[-1] == ["none"]


@pytest.mark.skipif(sys.platform == "win32", reason="no owner's bits there")
def test_the_file_is_its_owners_alone(tmp_path):
    path = write_sponsor(a_report(), tmp_path / "report.xlsx")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_place_that_cannot_be_written_is_refused(tmp_path):
    with pytest.raises(NotAllowed):
        write_sponsor(a_report(), tmp_path / "none" / "report.xlsx")

"""Workbooks on paper: nothing shrunk, no column beside the page, shop and paper on each page."""

from datetime import date

import pytest
from openpyxl import load_workbook

from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.workbooks.paper import SIDES, add_sheet, new_workbook, save
from ledger.workbooks.writers.data_sheets import LEAST_SIZE, SIZE, add_data_sheet
from ledger.workbooks.writers.month_sheets import _MOVES, _RECEIPTS, IN_KIND, STOCK, roll_fields
from ledger.workbooks.writers.rows import Rows

USD = currency("USD")
DIGIT_POINTS = 11 * 0.5562  # a digit of Arial in the size that columns are measured in


def widest(sheet):
    """What the columns take and what the page has room for, in points."""
    columns = sum(column.width for column in sheet.column_dimensions.values())
    across = 11 if sheet.page_setup.orientation == "landscape" else 8.27
    return columns * DIGIT_POINTS, (across - 2 * SIDES) * 72


@pytest.mark.parametrize("fields", [_RECEIPTS, _MOVES, IN_KIND, STOCK, roll_fields()])
def test_the_lists_of_a_month_are_no_wider_than_a_page_and_readable(fields, tmp_path):
    book = new_workbook("Material and stock 2025-05", "Quillhaven Workshop", date(2025, 5, 31))
    row = [Money(123456) if field.figure else "some words" for field in fields]
    add_data_sheet(book, "List", fields, [row, row], USD)
    sheet = load_workbook(save(book, tmp_path / "b.xlsx"))["List"]

    taken, room = widest(sheet)
    assert taken <= room
    assert sheet.page_setup.scale == 100
    sizes = {cell.font.sz for row in sheet.iter_rows() for cell in row if cell.value}
    assert sizes <= {SIZE, LEAST_SIZE}
    assert "2025-05" in sheet.oddFooter.left.text
    assert "Quillhaven Workshop" in sheet.oddFooter.left.text
    assert sheet.oddFooter.right.text == "Page &P of &N"


def test_a_list_of_nothing_says_none_and_a_long_word_gets_its_lines(tmp_path):
    book = new_workbook("Month", "Shop", date(2025, 5, 31))
    add_data_sheet(book, "Empty", STOCK, [], USD)
    long = ["a word " * 30 if field.name == "item" else "" for field in STOCK]
    add_data_sheet(book, "Long", STOCK, [long], USD)
    written = load_workbook(save(book, tmp_path / "b.xlsx"))

    assert written["Empty"]["A2"].value == "none"
    assert written["Long"].row_dimensions[2].height > 3 * SIZE


def test_days_stand_left_and_figures_keep_off_the_word_beside_them(tmp_path):
    book = new_workbook("Month", "Shop", date(2025, 5, 31))
    row = [1, date(2025, 5, 2), "PLY34", "Birch ply", "sheet", "receipt", "", Quantity.of(2),
           "sheet", Money(100), Money(100)]  # fmt: skip
    add_data_sheet(book, "Stock", STOCK, [row], USD)
    sheet = load_workbook(save(book, tmp_path / "b.xlsx"))["Stock"]

    assert sheet["B2"].alignment.horizontal == "left"
    assert all(sheet[place].number_format.endswith("_)") for place in ("A2", "H2", "J2"))


@pytest.mark.parametrize(("before", "breaks"), [(5, []), (44, [46])])
def test_a_block_that_would_run_over_a_page_begins_the_next(before, breaks, tmp_path):
    book = new_workbook("Cost sheet", "Shop", date(2025, 5, 31))
    rows = Rows(add_sheet(book, "Summary", [30, 12]), [30, 12])
    rows.title("A title")
    for _ in range(before):
        rows.add(("a row", 1))
    first = rows.row
    rows.subtitle("Nearest past jobs")
    rows.add(("a row", 1))
    rows.keep_together(first)

    sheet = load_workbook(save(book, tmp_path / "b.xlsx"))["Summary"]
    assert [one.id for one in sheet.row_breaks.brk] == breaks

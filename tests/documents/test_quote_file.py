"""The client's workbook: plain rows with sums, equal cells each time, private to its owner."""

from decimal import Decimal

import pytest
from openpyxl import load_workbook

from ledger.jobs.jobs import client_of
from ledger.measures.money import Money
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.revisions import send_quote
from ledger.workbooks.writers.quote import write_quote

WISHES = Wishes(
    extras={"Delivery, installation and wall fixing": Money(90000)},
    goods="Bed and towers",
    drawing="D-2507 rev 2",
    sample="no. 3",
    mattress="60x80x10 in, 75 lb",
)


@pytest.fixture(scope="module")
def offer(bed_book, bed, bed_sheet):
    quote = draft_quote(bed_book, bed, WISHES, bed_sheet).quote
    return send_quote(bed_book, quote)


@pytest.fixture
def file(bed_book, bed, offer, tmp_path):
    return write_quote(offer, client_of(bed_book, bed), tmp_path / "quote.xlsx")


def test_it_says_who_what_when_and_how_much(file, cells):
    said = cells(file)

    for words in (
        "Quillhaven Workshop", "D. Marrow", "Quote Q-2507-A", "Marrow fold-down bed",
        "2025-04-25", "2025-05-25",
        "D-2507 rev 2", "no. 3", "Bed and towers", "60 × 80 × 10 in, 75 lb, as measured",
    ):  # fmt: skip
        assert words in said
    numbers = {Decimal(str(value)) for value in said if isinstance(value, int | float)}
    assert {Decimal(n) for n in ("6080", "900", "6980", "364.8", "7344.8")} <= numbers
    assert {Decimal(n) for n in ("3490", "2792", "698", "3672.4", "2937.92", "734.48")} <= numbers


def test_it_holds_values_and_no_formulas(file):
    for sheet in load_workbook(file).worksheets:
        for row in sheet.iter_rows():
            assert all(cell.data_type != "f" for cell in row)


def test_each_list_adds_up_to_the_sum_below_it(file):
    rows = list(load_workbook(file)["Prices"].iter_rows(min_row=4, values_only=True))
    names = [row[0] for row in rows]
    total, payments = names.index("Total to pay"), names.index("All payments")

    priced = sum(Decimal(str(row[1])) for row in rows[:total])
    assert priced == Decimal(str(rows[total][1])) == Decimal("6980")
    first = names.index("Payment") + 1
    for column in (1, 2, 3):
        added = sum(Decimal(str(row[column])) for row in rows[first:payments])
        assert added == Decimal(str(rows[payments][column])) == Decimal(str(rows[total][column]))


def test_written_twice_its_cells_are_equal(bed_book, bed, offer, file, tmp_path):
    again = write_quote(offer, client_of(bed_book, bed), tmp_path / "again.xlsx")

    assert list_of_cells(file) == list_of_cells(again)


def list_of_cells(path):
    return [
        (cell.coordinate, cell.value, cell.number_format, cell.font.sz, cell.font.b)
        for sheet in load_workbook(path).worksheets
        for row in sheet.iter_rows()
        for cell in row
    ]


def test_only_its_owner_may_read_it(file):
    assert file.stat().st_mode & 0o077 == 0


def test_names_that_look_like_formulas_stay_text(bed_book, bed, bed_sheet, tmp_path):
    wishes = Wishes(goods="=1+2", drawing="@SUM(A1)", description="+cmd|' /C calc'!A0")
    offer = draft_quote(bed_book, bed, wishes, bed_sheet).offer

    book = load_workbook(write_quote(offer, None, tmp_path / "odd.xlsx"))

    starters = [
        cell
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str) and cell.value[0] in "=+-@"
    ]
    assert [cell.value for cell in starters] == ["=1+2", "@SUM(A1)", "+cmd|' /C calc'!A0"]
    assert all(cell.data_type == "s" and cell.quotePrefix for cell in starters)

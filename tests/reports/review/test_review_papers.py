"""The review on paper and as a workbook: at most four pages, nothing left out without a word."""

from datetime import date
from decimal import Decimal

import pypdfium2
import pytest
from openpyxl import load_workbook

from ledger.book.questions.review import SpoiledPart
from ledger.cli import voice
from ledger.jobs.cost_differences import CostDifference, CostDifferences
from ledger.measures.custom import JOINER
from ledger.measures.money import Currency, Money
from ledger.measures.values import replace
from ledger.papers.charts import ColumnRow, columns_svg
from ledger.papers.engine import print_paper
from ledger.papers.review import review_paper
from ledger.quotes.wording import maker
from ledger.reports.review import review
from ledger.reports.review_blocks_more import blocks_of
from ledger.reports.review_frozen import read_points
from ledger.reports.review_jobs import HoursOfJob
from ledger.reports.review_quotes import FrozenPoints
from ledger.reports.review_time import TimedLine, TimedOperation, UntimedHours
from ledger.workbooks.writers.review import write_review


@pytest.fixture
def year(year_book):
    return review(year_book, date(2025, 1, 1), date(2025, 12, 31))


def pages_of(one, book, size):
    with pypdfium2.PdfDocument(print_paper(review_paper(one, maker(book), size)).content) as pdf:
        return [page.get_textpage().get_text_bounded().replace("\u200b", "") for page in pdf]


def full_year(year):
    """The year with sixty closed jobs of ten kinds, a hundred quotes, many of everything."""
    points = FrozenPoints(
        Decimal(30), Decimal(31), Decimal(36), *map(Money, (230000, 240000, 270000))
    )
    hours = HoursOfJob(
        Decimal("30.25"), changes=45, sold=30, not_logged=(("Sand raw", Decimal(2)),),
        rework=(("cut to the wrong side of the line", 90),),
    )  # fmt: skip
    names = ("material", "helper", "miles", "outside work", "fees", "other costs", "use tax")
    costs = CostDifferences(
        tuple(CostDifference(name, Money(50000), Money(61234 + n)) for n, name in enumerate(names)),
        (("Masking film and tape", Money(2100)),), (("miles", Money(1400)),),
    )  # fmt: skip
    jobs = [
        replace(job, number=f"J-25{10 + n}", kind=f"kind {n % 10}", title="A long title of a piece",
                hours=hours, costs=costs, planned_earned=Money(151000),
                planned_owner_hours=Decimal("28.50"))
        for n, job in enumerate(list(year.jobs) * 20)
    ]  # fmt: skip
    thin = replace(hours, not_logged=(("Sand raw", Decimal(16)),))
    jobs[::7] = [replace(job, hours=thin) for job in jobs[::7]]
    owed = tuple((f"J-25{10 + n}", Money(123456)) for n in range(9))
    quotes = [
        replace(
            quote,
            name=f"Q-25{10 + n}-A",
            kind=f"kind {n % 10}",
            points=points,
            is_canceled=n % 3 == 0,
        )
        for n, quote in enumerate(list(year.quotes) * 17)
    ]
    lines = tuple(TimedLine(f"J-{n}", "", Decimal(3), 200) for n in range(4))
    operations = [TimedOperation(f"An operation with a name {n}", lines) for n in range(30)]
    time = replace(year.time, promises=list(year.time.promises) * 20,
                   operations=operations, untimed=UntimedHours(90, 66),
                   activities=list(year.time.activities) * 9)  # fmt: skip
    material = replace(
        year.material, by_supplier=list(year.material.by_supplier) * 6,
        by_category=list(year.material.by_category) * 4, prices=list(year.material.prices) * 5,
        scrapped=list(year.material.scrapped) * 12,
        spoiled=[SpoiledPart("C1", "a side cut too short", "J-2510", Money(1666))] * 5,
        sponsors=list(year.material.sponsors) * 7,
    )  # fmt: skip
    check = replace(year.check, year=replace(year.check.year, is_hours_typed=True))
    return replace(year, jobs=jobs, quotes=quotes, time=time, material=material, check=check,
                   held=owed, to_go_back=owed)  # fmt: skip


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_a_full_year_stands_on_four_pages(year, year_book, size):
    pages = pages_of(full_year(year), year_book, size)
    assert len(pages) <= 4
    assert "3 more 18 33,300.00" in " ".join(pages)  # of ten kinds with six jobs each, 11,100.00


def test_paper_says_whom_it_is_for_and_what_the_screen_says(year, year_book):
    text = " ".join(" ".join(pages_of(year, year_book, "letter")).split())
    assert "For the shop alone: not for clients or sponsors." in text
    assert "−$20,049.73" in text  # left in cash: 2500 + 760 − 1270 − 100 − 21,939.73
    assert "benchledger" not in text  # a paper says what is so, and no command
    assert "65.00 to 94.44, only 2" in text


def test_an_empty_time_is_a_page_that_says_so(year_book):
    empty = review(year_book, date(2025, 11, 1), date(2025, 11, 30))
    (page,) = pages_of(empty, year_book, "A4")
    assert "No job was closed from 2025-11-01 to 2025-11-30." in " ".join(page.split())


def test_workbook_has_each_table_and_the_parts_behind_it(year, tmp_path):
    book = load_workbook(write_review(year, tmp_path / "review.xlsx"))
    streams = list(book["streams"].values)
    assert streams[1][:2] == ("commission", 5400)
    parts = [row for row in book["Parts"].values if row[:2] == ("kinds", "bookcase")]
    assert [(row[2], row[4]) for row in parts] == [("J-2501", 2080), ("J-2506", 2550)]


def test_points_of_a_frozen_sheet_by_hand():
    body = {
        "totals": {"estimate_hours": "30.00", "owner_hours": "27.00", "helper_hours": "3.00",
                   "build_up": 300000, "material_full": 40000},
        "range": {"p50": "32.00", "p80": "40.00", "p95": "50.00", "helper": "1/10"},
        "rates": {"selling": 7000, "helper_billed": 4000},
        "build_up": [{"name": "materials", "amount": 48000}, {"name": "contingency",
                                                              "amount": 12000}],
        "lines": [{"price": 48000}], "others": [{"price": 39000}],
    }  # fmt: skip
    points = read_points(body)
    # 480 + 390, and 27 × 70 + 3 × 40; then 28.8 × 70 + 3.2 × 40; 36 × 70 + 4 × 40
    assert (points.at_priced, points.at_typical, points.at_safe) == tuple(
        map(Money, (288000, 301400, 355000))
    )
    assert (points.typical, points.safe) == (Decimal("32.00"), Decimal("40.00"))


def test_a_column_without_height_is_no_fault():
    svg = columns_svg([ColumnRow("Jan 25", 0, ""), ColumnRow("Feb 25", 2.5, "2.5")])
    assert svg.count("<rect") == 2
    assert 'height="70.0"' in svg


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_a_table_stands_on_one_page_with_its_heading(year, year_book, size):
    full = full_year(year)
    pages = [" ".join(page.split()) for page in pages_of(full, year_book, size)]
    places = {}
    for block in blocks_of(full):
        for table in block.tables:
            if table.title and table.key not in ("booked", "months", "classes"):
                shown = [row.name for row in table.rows if row.is_sum] or [table.rows[0].name]
                words = table.title, shown[0].capitalize()
                on = [n for n, page in enumerate(pages) if words[0] in page]
                places[table.key] = (len(on), words[1].casefold() in pages[on[0]].casefold())
    assert len(places) >= 14
    assert set(places.values()) == {(1, True)}


@pytest.mark.parametrize(
    ("written", "whole", "bar"),
    [("point", "1,149 billable", "58.00"), ("comma", "1.149 billable", "58,00")],
)
def test_thousands_are_parted_as_the_book_writes_numbers(
    year, year_book, tmp_path, capsys, written, whole, bar
):
    one = replace(year, currency=Currency("USD", 2, written=written))
    voice.write_numbers(written, 2)
    try:
        voice.say_all(remark.words for block in blocks_of(one) for remark in block.remarks)
    finally:
        voice.write_numbers("point", 2)
    said = " ".join(capsys.readouterr().out.split())
    printed = " ".join(" ".join(pages_of(one, year_book, "A4")).split())
    sheet = load_workbook(write_review(one, tmp_path / "review.xlsx"))["Summary"]
    kept = " ".join(str(cell.value) for row in sheet.rows for cell in row)
    for words in (said, printed, kept):
        assert whole in words
        assert JOINER not in words
    drawn = review_paper(one, maker(year_book), "A4").drawings
    assert bar in " ".join(drawn.values())
    drawing = columns_svg([ColumnRow("May 25", 1149, one.currency.number(1149))])
    assert f">{whole.split()[0]}<" in drawing

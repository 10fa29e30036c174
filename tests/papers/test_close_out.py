"""The close-out on paper: its figures, its picture, and pages that hold the fullest job."""

import re
from copy import copy
from datetime import date
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from ledger.book import Book
from ledger.book.questions.income import Mark
from ledger.jobs.differences import HoursDifference
from ledger.jobs.jobs import find_job
from ledger.measures.money import Money
from ledger.measures.values import replace
from ledger.papers.charts import WIDTH, PointRow, points_svg
from ledger.papers.close_out import MOST_MARKS, close_out_paper
from ledger.papers.engine import print_paper
from ledger.quotes.offer import Maker
from ledger.reports.closeout import account_of, close_out_json
from ledger.workbooks.writers.close_out import write_close_out

SHOP = Maker("Quillhaven Workshop", "Larkspur Falls", "")


@pytest.fixture
def closed(drafted, tmp_path):
    """A hall bench that was sold and made, with hours and nothing else, and its account."""
    for words in (
        ["quote", "send", "bench"],
        ["quote", "accept", "bench", "--by", "mail"],
        ["hours", "add", "bench", "assemble", "6h", "--yes"],
        ["job", "close", "bench"],
    ):
        said = drafted(*words)
        assert said.code == 0, said.err
    with Book(tmp_path / "shop.sqlite", date(2025, 5, 30)) as book:
        yield account_of(book, find_job(book, "bench"))


@pytest.fixture
def full(closed):
    """The same with hundreds of lines, long names and more closed jobs than a picture holds."""
    hours = tuple(
        HoursDifference(f"X{n}", f"Operation {n} " + "of long words " * (n % 9), "cutting",
                        Decimal("9.99"), 6000 + n)
        for n in range(120)
    )  # fmt: skip
    material = replace(closed.materials[0], words="W" * 90)
    marks = tuple(
        Mark(f"J-{2500 + n}", "A piece " * 12, date(2025, 4, 1), "10.00", "12.50", "20.25", 3,
             600 + 30 * n)
        for n in range(31)
    )  # fmt: skip
    record = replace(closed.record, marks=marks)
    job = copy(closed.job)
    job.title = "A very long title of a piece " * 10
    return replace(closed, job=job, hours=hours, materials=(material,) * 60, record=record,
                   open_ends=("not taken from stock: " + "CODE, " * 60,))  # fmt: skip


def test_a_close_out_tells_what_the_job_brought(closed, read_back):
    pdf = read_back(close_out_paper(closed, SHOP, "letter"))

    earned = closed.afterwards.full.amount
    shown = closed.sheet.currency.show(earned, symbol=True)
    for words in (
        "Close-out", closed.job.number, "For the shop alone", f"{shown} ", "6.00 h",
        "Price before tax 2,000.00 2,000.00", "Hours of the closed jobs", "typical safe bad case",
        f"J-2501 Hall bench {closed.record.marks[0].typical}", "You earned $2,000.00 $2,000.00",
        "Ash bd ft 15 – –", "leave out the hours of 3 estimated lines",
    ):  # fmt: skip
        assert words in pdf.text, words
    assert closed.job.number in pdf.pages[-1]


def test_it_says_what_is_open_without_a_command_to_type(closed, read_back):
    text = read_back(close_out_paper(closed, SHOP, "letter")).text
    assert any("benchledger " in words for words in closed.record.words)
    assert "J-2501 is not counted" in text
    assert "benchledger" not in text


def test_actual_stands_against_the_three_points_job_by_job():
    svg = points_svg([PointRow("J-1", 10, 20, 40, 30), PointRow("J-2", None, 20, None, 5)])

    block = [float(x) for x in re.findall(r'<rect x="([\d.]+)"', svg)]
    diamond = [float(x) for x in re.findall(r'points="([\d.]+),', svg)]
    assert len(block) == len(diamond) == 2
    assert block[0] + 1.5 < diamond[0] < WIDTH  # 30 h lie right of the safe 20
    assert diamond[1] < block[1] + 1.5  # 5 h lie left of them
    # By the scale, 10 hours lie as far apart as the marks of 20 and 30 hours.
    assert diamond[0] - (block[0] + 1.5) == pytest.approx((diamond[0] - diamond[1]) * 10 / 25, 0.01)


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_fullest_close_out_stays_inside_its_margins(full, size, read_back, inside_margins):
    pdf = read_back(close_out_paper(full, SHOP, size))

    assert not inside_margins(pdf)[:5]
    assert f"The latest {MOST_MARKS}; {31 - MOST_MARKS} older ones are left out." in pdf.text
    of_hours = [page for page in pdf.pages if "Operation " in page and "of long words" in page]
    assert len(of_hours) > 2
    assert all("planned" in page for page in of_hours)
    for words in ("Operation 119", "Hours of the closed jobs", "Total"):
        assert words in pdf.text


def test_no_heading_ends_a_page(closed, full, read_back):
    for lines in range(0, 60, 7):
        paper = close_out_paper(replace(closed, hours=full.hours[:lines]), SHOP, "letter")
        for page in read_back(paper).pages:
            *_, last, _footer = [line for line in page.split("\n") if line.strip()]
            assert last not in ("Hours", "Material", "Differences from the plan"), lines


def test_a_close_out_has_the_same_bytes_twice(closed):
    paper = close_out_paper(closed, SHOP, "A4")

    assert print_paper(paper).sha256 == print_paper(paper).sha256


def test_a_job_closed_earlier_is_written_again(drafted, closed, tmp_path):
    said = drafted("job", "close", "bench", "--pdf", "again.pdf", on="2025-06-03")

    assert said.code == 0, said.err
    assert "is closed already" in said.err
    assert (tmp_path / "again.pdf").read_bytes().startswith(b"%PDF")


def test_the_workbook_and_the_facts_say_what_was_guessed_and_what_was_never_noted(closed, tmp_path):
    sold = replace(closed, hours=(), guess=Decimal("7.50"), not_noted=(("miles", Money(2090)),))
    file = write_close_out(sold, tmp_path / "c.xlsx", shop="Quillhaven Workshop", letter=False)
    sheets = load_workbook(file)
    remarks = [cell.value for cell in sheets["Account"]["A"]]

    assert any("20.90 of miles, none noted" in str(words) for words in remarks)
    assert close_out_json(sold)["hours"]["guess"] == "7.50"
    assert {sheet.page_setup.paperSize for sheet in sheets.worksheets} == {9}

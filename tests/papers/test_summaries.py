"""The month's and the year's summary with more than a shop ever has: all inside the margins."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book import Book
from ledger.book.questions.month import Named
from ledger.jobs.going_back import GoodsToReturn
from ledger.jobs.jobs import find_job
from ledger.jobs.payments import Refund
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.measures.values import replace
from ledger.papers.accountant import month_paper, year_paper
from ledger.quotes.offer import Maker
from ledger.reports.month import PriceChange, month_report
from ledger.reports.wip import JobInProgress, PaidOnJob
from ledger.reports.year import JobOfYear, year_report

SHOP, MUCH = Maker("W" * 60, "12 Old Mill Lane", ""), Money(123456789)
DAY = date(2025, 5, 30)


@pytest.fixture
def book(drafted, tmp_path):
    with Book(tmp_path / "shop.sqlite", DAY) as opened:
        yield opened


@pytest.fixture
def full_month(book):
    """A month of many suppliers and jobs with large amounts; money and goods are to go back."""
    report, job = month_report(book, Month(2025, 4)), find_job(book, "bench")
    parts = tuple(Named(f"Supplier {n} " + "and sons " * (n % 9), MUCH) for n in range(40))
    spend = replace(report.spend, landed=MUCH, has_use_tax=True, use_tax=MUCH, recoverable=MUCH,
                    by_supplier=parts, by_job=parts)  # fmt: skip
    progress = tuple(
        JobInProgress(f"J-{n}", "A bench", "deposit paid", *[MUCH] * 3, 60, *[MUCH] * 3)
        for n in range(50)
    )
    paid = tuple(PaidOnJob(f"J-{n}", MUCH, MUCH, MUCH) for n in range(50))
    change = PriceChange("X" * 30, "A very long name of a material " * 3, Decimal("1234.5678"),
                         Decimal("2345.6789"), DAY)  # fmt: skip
    return replace(report, spend=spend, progress=progress, money_in=paid,
                   price_changes=(change,) * 3, to_refund=(Refund(job, MUCH),),
                   to_send_back=(GoodsToReturn(job, MUCH, ()),))  # fmt: skip


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_fullest_month_stays_inside_its_margins(full_month, size, read_back, inside_margins):
    pdf = read_back(month_paper(full_month, SHOP, "inch", size))

    assert not inside_margins(pdf)[:5]
    assert "1,234,567.89 of what the client paid has still to go back." in pdf.text
    assert "still to be sent back, 1,234,567.89." in pdf.text
    assert "benchledger" not in pdf.text
    assert all("in progress received" in page for page in pdf.pages if "deposit paid" in page)


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_fullest_year_stays_inside_its_margins(
    book, full_month, size, read_back, inside_margins
):
    report = year_report(book, 2025)
    jobs = tuple(
        JobOfYear(f"J-{n}", "A piece of some length " * 3, "deposit paid", *[MUCH] * 6, 600_000)
        for n in range(60)
    )
    months = [(month, full_month.spend) for month, _ in report.months]
    pdf = read_back(year_paper(replace(report, jobs=jobs, months=months), SHOP, size))

    assert not inside_margins(pdf)[:5]
    assert "600000.00" in pdf.text.replace(",", "")
    assert pdf.text.count("Year") >= 1

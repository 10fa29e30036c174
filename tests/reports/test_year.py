"""The year's end: what the months add up to, and the workbook that shows it."""

from datetime import date
from decimal import Decimal
from itertools import takewhile

import pytest
from openpyxl import load_workbook

from ledger.book.tables.answers import JobCost
from ledger.jobs.jobs import find_job
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.standards import load_starting_standards, standards
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.reports.year import year_report
from ledger.stock import value_on
from ledger.workbooks.writers.accountant import write_year


@pytest.fixture
def driven(spring):
    """The spring, with the 142 miles that were driven for the bed."""
    job = find_job(spring, "J-2507")
    with spring.entry("job add-cost"):
        spring.post(JobCost(job=job.key, occasion="actual", kind="miles", words="pick-up, delivery",
                            quantity=Quantity.of(142), unit_amount=Decimal("0.70"),
                            amount=Money(9940), day=date(2025, 5, 28)))  # fmt: skip
    return spring


def test_the_year_is_the_sum_of_its_months(driven):
    year = year_report(driven, 2025)

    assert len(year.months) == 12
    for name in ("net", "paid", "landed", "use_tax", "in_kind"):
        parts = total(getattr(spend, name) for _, spend in year.months)
        assert parts == getattr(year.spend, name), name
    assert year.spend.in_kind == Money(115200)


def test_closing_stock_is_what_the_year_rolls_forward_to(driven):
    year = year_report(driven, 2025)

    assert year.full.closes()
    assert year.full.closing == total(lot.full for lot in value_on(driven))
    assert total(lot.full for lot in year.closing_stock) == year.full.closing
    assert all(roll.quantity.closes() for roll in year.rolls)


def test_miles_and_jobs_stand_in_it(driven):
    year = year_report(driven, 2025)

    assert (year.driven, year.trips[0].amount) == (Quantity.of(142), Money(9940))
    assert [(job.number, job.material) for job in year.jobs] == [
        ("J-2503", Money(38400)), ("J-2507", Money(178968))]  # fmt: skip


def test_hours_belong_to_the_year_of_their_day(driven):
    load_starting_standards(driven)
    shelves, sanding = find_job(driven, "J-2503"), standards(driven)["SND"]
    days = {date(2024, 12, 31): 60, date(2025, 1, 1): 25, date(2025, 1, 2): 40}
    for day, minutes in days.items():
        log_hours(driven, TimeEntry(shelves, sanding, minutes, day), sure=True)

    told = [{job.number: job.owner_minutes for job in year_report(driven, year).jobs}
            for year in (2024, 2025)]  # fmt: skip

    assert told == [{"J-2503": 60}, {"J-2503": 65, "J-2507": 0}]


def test_a_year_that_is_running_says_so_and_an_empty_one_is_zero(driven):
    running, empty = year_report(driven, 2025), year_report(driven, 2024)

    assert (running.is_over, running.as_of) == (False, date(2025, 6, 30))
    assert (empty.is_over, empty.spend.landed, empty.full.closing) == (True, Money(0), Money(0))


def test_the_workbooks_totals_add_up_from_its_sheets(driven, tmp_path):
    path = write_year(year_report(driven, 2025), tmp_path / "year.xlsx")
    workbook = load_workbook(path)

    def added(sheet, column):
        head, *rows = workbook[sheet].iter_rows(values_only=True)
        figures = [Decimal(str(row[head.index(column)])) for row in takewhile(any, rows)]
        assert sum(figures) == Decimal(str(rows[-1][head.index(column)]))  # and so says its foot
        return sum(figures)

    said = {row[0]: row[1] for row in workbook["Summary"].iter_rows(values_only=True) if row[1]}
    assert added("Spend by month", "landed") == Decimal(str(said["Landed"])) == Decimal("1254.35")
    assert added("Closing stock", "full") == Decimal(str(said["closing"])) == Decimal("390.17")
    assert added("Driven", "distance") == said["Driven for jobs"] == 142
    assert added("In kind", "fair value") == said["In kind received, at fair value"] == 1152

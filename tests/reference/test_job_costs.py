"""Costs flowing through jobs: material, labor and overhead of one month.

Source of all checks: OpenStax, Principles of Accounting, volume 2 (2019), chapter 4 (CC BY-NC-SA
4.0, only numbers are taken).
"""

from datetime import date

import pytest

from ledger.book.questions.progress import work_on_jobs
from ledger.jobs.jobs import new_job, set_state
from ledger.labor.log import Task, TimeEntry, log_hours
from ledger.labor.people import set_helper
from ledger.labor.standards import load_starting_standards, standards
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.reports.wip import work_in_progress
from ledger.stock import issue
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.opening import OpeningRow, open_stock

DAY = date(2025, 4, 10)


def dollars(amount):
    return amount.minor // 100


@pytest.fixture
def factory(book):
    """A shop whose hour of labor is paid at 15 and carries overhead of 2.50 a dollar of labor."""
    load_starting_standards(book)
    with book.entry("shop set"):
        for name, value in {"pay_year": "15000", "overhead_year": "37500", "hours_year": "1000",
                            "billable": "100 %"}.items():  # fmt: skip
            book.set(name, value)
    save_materials(book, [MaterialRow("RAW", "Raw material", "lumber", "each")])
    opening = OpeningRow("RAW", Quantity.of(14000), Money(1400000), Money(1400000))
    open_stock(book, [opening], day=date(2025, 3, 1))
    return book


def work(book, job, hours, person="owner", day=DAY):
    """Log hours of a person on a job."""
    entry = TimeEntry(job, standards(book)["ASM"], hours * 60, day, people=(person,))
    log_hours(book, entry, sure=True)


# Source: section 4.5. Opening cost, material, hours of labor at 15, and what the job then costs:
# POR143 1,000 + 200 + 150 + 375 = 1,725; TJR441 500 + 150 + 375 = 1,025.
@pytest.mark.parametrize(
    ("opening", "material", "hours", "cost"), [(1000, 200, 10, 1725), (0, 500, 10, 1025)]
)
def test_a_job_carries_its_opening_cost_material_labor_and_overhead(
    factory, opening, material, hours, cost
):
    job = new_job(factory, "Job")
    if opening:
        issue(factory, job.key, "RAW", Quantity.of(opening), day=date(2025, 3, 20))
    issue(factory, job.key, "RAW", Quantity.of(material), day=DAY)
    work(factory, job, hours)

    (found,) = work_in_progress(factory, date(2025, 4, 25))

    assert dollars(found.cost) == cost


# Source: section 4.5: of 5,212 in all, 1,531 and 931 were sold, 1,725 finished, 1,025 in progress.
def test_what_is_sold_leaves_work_in_progress_and_the_rest_ties(factory):
    costs = {"SWM505": 1531, "POR143": 1725, "MAC001": 931, "TJR441": 1025}
    jobs = {name: new_job(factory, name) for name in costs}
    for name, job in jobs.items():
        issue(factory, job.key, "RAW", Quantity.of(costs[name]), day=DAY)
    all_of_it = total(job.cost for job in work_in_progress(factory, factory.today))
    for name in ("SWM505", "MAC001"):
        set_state(factory, jobs[name], "closed")

    left = {job.title: dollars(job.cost) for job in work_in_progress(factory, factory.today)}

    assert dollars(all_of_it) == 5212
    assert left == {"POR143": 1725, "TJR441": 1025}
    assert dollars(all_of_it) - sum(left.values()) == 2462


# Source: section 4.2: time tickets of three people over a day of eight hours, the first two paid
# 15, the third 18; job MAC001 got an hour of each of the first two and two hours of the third.
def test_time_tickets_add_up_by_person_and_by_job(factory):
    pay, tickets = {"A": 15, "B": 15, "C": 18}, {"A": (1, 7), "B": (1, 4, 3), "C": (2, 5, 1)}
    for person, rate in pay.items():
        set_helper(factory, person, Money(rate * 100), Money(rate * 200))
    mac, other = new_job(factory, "MAC001"), new_job(factory, "Other")
    for person, (first, *rest) in tickets.items():
        work(factory, mac, first, person)
        for hours in rest:
            work(factory, other, hours, person)

    rows = work_on_jobs(factory, factory.today)
    found = {job.title: dollars(job.helpers) for job in work_in_progress(factory, factory.today)}

    by_person = {
        name: sum(row.minutes * dollars(row.rate) // 60 for row in rows if row.person == name)
        for name in pay
    }
    assert by_person == {"A": 120, "B": 120, "C": 144}
    assert found == {"MAC001": 66, "Other": 318}


# Common practice, no source: what is swept and sharpened for the shop is overhead, no job's cost.
def test_hours_for_the_shop_are_no_cost_of_a_job(factory):
    log_hours(factory, TimeEntry(None, Task("sweeping"), 60, DAY, "shop"), sure=True)

    assert work_in_progress(factory, factory.today) == []

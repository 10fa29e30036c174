"""What hours are compared with: kept, worked out anew when counts change, a quote's for good."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.questions.labor import WorkSum, work_of_job
from ledger.book.tables.counts import JobCount
from ledger.book.tables.ground import Job
from ledger.labor.log import TimeEntry, log_hours, read_activity
from ledger.labor.plan import (
    HoursStanding,
    hours_left,
    plan_of,
    save_plan,
    standing,
    worked_on_changes,
)
from ledger.measures.quantity import Quantity

HOURS = {"SND": Decimal("5.69"), "SPR": Decimal("4.14"), "RIP": Decimal("1.27")}


@pytest.fixture
def job(book):
    with book.entry("job new", "J-2507"):
        return book.post(Job(number="J-2507", title="Marrow fold-down bed"))


def log(book, job, text, minutes, kind="work", plan=HOURS):
    activity, kind = read_activity(book, text, kind)
    log_hours(
        book, TimeEntry(job, activity, minutes, date(2025, 4, 25), kind), plan=plan, sure=True
    )


def recount(book, job):
    with book.entry("job count"):
        row = JobCount(job=job.key, operation="RIP", driver=Quantity.of(30), occasion="planned")
        book.post(row)


def test_a_job_without_a_plan_has_none(book, job):
    assert plan_of(book, job) is None


def test_a_plan_is_kept_as_it_was_posted(book, job):
    save_plan(book, job, HOURS)

    assert plan_of(book, job) == HOURS


def test_the_plan_posted_last_counts(book, job):
    save_plan(book, job, HOURS)
    save_plan(book, job, {"RIP": Decimal("1.50")})

    assert plan_of(book, job) == {"RIP": Decimal("1.50")}


def test_an_estimate_is_worked_out_anew_once_the_counts_change(book, job):
    save_plan(book, job, HOURS)
    recount(book, job)

    assert plan_of(book, job) is None


def test_the_hours_of_an_accepted_quote_stay_whatever_changes(book, job):
    save_plan(book, job, HOURS, quoted=True)
    recount(book, job)
    save_plan(book, job, {"RIP": Decimal("1.50")})

    assert plan_of(book, job) == HOURS


def test_hours_stand_beside_the_estimate_with_rework_apart(book, job):
    log(book, job, "sand", 195)
    log(book, job, "spray", 60)
    log(book, job, "sand", 30, "rework")
    assert worked_on_changes(work_of_job(book, job.key)) == 0

    assert standing(work_of_job(book, job.key), HOURS, operation="SND") == HoursStanding(
        minutes=195,
        planned=Decimal("5.69"),
        job_minutes=255,
        job_planned=Decimal("11.10"),
        not_foreseen=30,
    )


def test_a_group_stands_beside_the_sum_of_its_estimates(book, job):
    log(book, job, "finish", 120)

    now = standing(work_of_job(book, job.key), HOURS, group="finish")

    assert (now.minutes, now.planned) == (120, Decimal("9.83"))


def test_hours_on_change_orders_are_told_apart(book, job):
    log(book, job, "sand", 60)
    log(book, job, "sand", 25, "change_order")

    assert worked_on_changes(work_of_job(book, job.key)) == 25


def test_hours_without_an_estimate_stand_alone(book, job):
    log(book, job, "sand", 60, plan=None)

    assert standing(work_of_job(book, job.key), None, operation="SND") == HoursStanding(
        60, None, 60, None, 0
    )


def test_a_line_that_ran_over_leaves_the_hours_of_the_others(book, job):
    groups = {"SND": "finish", "SPR": "finish", "RIP": "cutting"}
    log(book, job, "rip", 600)
    log(book, job, "sand", 60, kind="rework")
    assert hours_left(HOURS, groups, work_of_job(book, job.key)) == Fraction("9.83")
    log(book, job, "sand", 60)
    assert hours_left(HOURS, groups, work_of_job(book, job.key)) == Fraction("8.83")


def test_hours_of_a_whole_group_are_taken_from_its_lines(book, job):
    groups = {"SND": "finish", "SPR": "finish", "RIP": "cutting"}
    log(book, job, "finish", 7 * 60, plan={})
    assert hours_left(HOURS, groups, work_of_job(book, job.key)) == Fraction("4.10")


@pytest.mark.parametrize(
    ("operation", "group", "minutes", "left"),
    [
        ("RIP", "cutting", 60, "3.50"),
        ("RIP", "cutting", 240, "3.00"),
        (None, "cutting", 150, "2.00"),
        (None, "cutting", 600, "1.50"),
        (None, "finish", 600, "3.00"),
    ],
)
def test_a_line_or_group_that_ran_over_takes_nothing_from_another(operation, group, minutes, left):
    plan = {"RIP": Decimal("1.50"), "XW": Decimal("1.50"), "SND": Decimal("1.50")}
    groups = {"RIP": "cutting", "XW": "cutting", "SND": "finish"}
    day = date(2025, 4, 25)
    row = WorkSum(operation, group, "", "work", "owner", False, minutes, 1, day, day)

    assert hours_left(plan, groups, [row]) == Fraction(left)

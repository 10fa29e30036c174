"""When booked work is done: days of work, days off, jobs agreed before it, what must be bought."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.errors import BadValue
from ledger.jobs.agreement import Ask, agree
from ledger.jobs.ahead import FreeTime, booked_ahead, earliest
from ledger.jobs.changes import approve, decline, propose
from ledger.jobs.jobs import find_job, new_job, set_state
from ledger.jobs.lines import set_total
from ledger.labor.log import TimeEntry, log_hours, read_activity
from ledger.labor.plan import save_plan
from ledger.labor.standards import load_starting_standards
from ledger.measures.days_off import DaysOff, parse_days_off
from ledger.measures.money import Money
from ledger.reports.review_read_time import booked_jobs
from ledger.reports.review_time import hours_ahead

MONDAY = date(2026, 3, 2)
WEEK = Fraction(25)  # five hours a day


def test_hours_lie_on_days_of_work():
    free = FreeTime(WEEK)
    assert free.done_by(MONDAY, Fraction(5)) == MONDAY
    assert free.done_by(MONDAY, Fraction(26)) == date(2026, 3, 9)  # a week and an hour
    assert free.done_by(date(2026, 3, 7), Fraction(1)) == date(2026, 3, 9)  # from a Saturday
    assert free.between(MONDAY, date(2026, 3, 15)) == 50


def test_days_off_have_no_hours():
    free = FreeTime(WEEK, parse_days_off("2026-03-03 to 2026-03-06; 2026-03-09"))
    assert free.between(MONDAY, date(2026, 3, 8)) == 5
    assert free.done_by(MONDAY, Fraction(6)) == date(2026, 3, 10)
    away = FreeTime(WEEK, DaysOff(((MONDAY, date(2030, 1, 1)),)))
    assert away.done_by(MONDAY, Fraction(1)) is None


@pytest.mark.parametrize("text", ["soon", "2026-03-09 to 2026-03-03", "2026-03-03 - 2026-03-09"])
def test_what_is_no_stretch_of_days_is_refused(text):
    with pytest.raises(BadValue, match="no day and no stretch"):
        parse_days_off(text)


@pytest.fixture
def booked(book):
    """An inch book on Friday 2025-04-25, 24 billable h a week, two agreed jobs of 12 h and 36 h."""
    for title, hours, day in (("Second", 36, date(2025, 4, 24)), ("First", 12, date(2025, 4, 20))):
        job = new_job(book, title)
        set_total(book, job, Money(100000), hours * 60)
        agree(book, job, "price at closing", [Ask("all", Money(100000), Money(0))], day=day,
              tax_rate=Fraction(0), tax_standing="sales_tax")  # fmt: skip
    new_job(book, "Asked for")
    return book


def test_what_is_agreed_first_comes_first(booked):
    assert [(one.job.title, one.left) for one in booked_ahead(booked)] == [
        ("First", Decimal("12.00")), ("Second", Decimal("36.00"))
    ]  # fmt: skip
    set_state(booked, find_job(booked, "First"), "ready")
    assert [one.job.title for one in booked_ahead(booked)] == ["Second"]


def test_a_further_job_comes_after_all_others(booked):
    job = find_job(booked, "Asked for")
    soonest = earliest(booked, job, Decimal("24.00"), 0)
    # 48 h booked and 24 h of its own are three weeks of 24 h from Friday on
    assert (soonest.booked, soonest.day) == (Decimal("48.00"), date(2025, 5, 15))
    assert earliest(booked, job, Decimal("24.00"), 10).day == date(2025, 5, 25)


def test_a_job_waits_for_what_it_must_buy(booked):
    with booked.entry("shop set", ""):
        booked.set("buying_days", "31")
    job = find_job(booked, "Asked for")
    # from Monday 26 May on: 24 h are that week
    assert earliest(booked, job, Decimal("24.00"), 0).day == date(2025, 5, 30)


def test_the_days_that_a_booked_week_shows(booked):
    from ledger.reports.ahead import left_of, work_ahead

    ahead = work_ahead(booked)
    # Friday has 4.8 of the 48 h, the week after 24, the next 19.2
    assert [(week.start, str(week.free), str(week.booked)) for week in ahead.weeks] == [
        (date(2025, 4, 25), "4.8", "4.8"), (date(2025, 4, 28), "24.0", "24.0"),
        (date(2025, 5, 5), "24.0", "19.2"),
    ]  # fmt: skip
    assert [(one.done, one.before) for one in ahead.jobs] == [
        (date(2025, 4, 29), Decimal("0.00")), (date(2025, 5, 8), Decimal("12.00"))
    ]  # fmt: skip
    assert left_of(booked, find_job(booked, "Asked for")) is None


def test_a_review_and_the_day_count_the_hours_booked_alike(booked):
    load_starting_standards(booked)
    job = find_job(booked, "First")
    save_plan(booked, job, {"SND": Decimal("5.00"), "RIP": Decimal("7.00")})
    day = booked.today
    # sanding runs 3 h over, which takes nothing from ripping; rework takes nothing at all
    for text, minutes, kind in (("SND", 480, "work"), ("RIP", 90, "work"), ("RIP", 60, "rework")):
        activity, spent = read_activity(booked, text, kind)
        log_hours(booked, TimeEntry(job, activity, minutes, day, spent), sure=True)
    left = [(one.job.number, one.left) for one in booked_ahead(booked)]
    assert left[0] == (job.number, Decimal("5.50"))
    end = date(2025, 4, 30)
    assert hours_ahead(booked_jobs(booked, day, end), end) == left[::-1]


@pytest.mark.parametrize(
    ("done", "left"),
    [
        ((("RPR", "Robin", 60),), "4.00"),
        ((("RPR", "Robin", 300),), "2.00"),  # two hours too many, taken from no other line
        ((("INS", "Robin", 120),), "5.00"),  # the helper's own half
        ((("INS", "Robin", 180), ("INS", "owner", 30)), "3.50"),
    ],
)
@pytest.mark.parametrize("metric", [False, True])
def test_what_a_helper_did_beyond_their_share_is_not_left_to_the_owner(
    book, metric_book, metric, done, left
):
    """By hand: 3 h of repair and half of 4 h of fitting are the owner's, 5 h."""
    at = metric_book if metric else book
    load_starting_standards(at)
    with at.entry("shop set"):
        at.set("helper_cost", "20")
    job = new_job(at, "Table")
    agree(at, job, "price at closing", [Ask("all", Money(100000), Money(0))], day=at.today,
          tax_rate=Fraction(0), tax_standing="sales_tax")  # fmt: skip
    save_plan(at, job, {"RPR": Decimal("3.00"), "INS": Decimal("4.00")}, quoted=True)
    for code, person, minutes in done:
        activity, kind = read_activity(at, code)
        log_hours(at, TimeEntry(job, activity, minutes, at.today, kind, (person,)), sure=True)
    assert str(booked_ahead(at)[0].left) == left


def test_a_helper_works_off_a_guess_too(booked):
    job = find_job(booked, "First")
    load_starting_standards(booked)
    activity, kind = read_activity(booked, "RPR")
    entry = TimeEntry(job, activity, 180, booked.today, kind, ("Robin",))
    log_hours(booked, entry, sure=True)
    assert str(booked_ahead(booked)[0].left) == "9.00"


def test_what_stands_before_a_job_is_to_the_minute(booked):
    from ledger.reports.ahead import work_ahead

    load_starting_standards(booked)
    activity, spent = read_activity(booked, "SND", "work")
    log_hours(booked, TimeEntry(find_job(booked, "First"), activity, 45, booked.today, spent))
    assert [one.before for one in work_ahead(booked).jobs] == [Decimal(0), Decimal("11.25")]


@pytest.mark.parametrize("metric", [False, True])
def test_a_review_counts_what_was_agreed_by_the_day_of_its_row(book, metric_book, metric):
    """By hand: 12 h; 10 more from 10 February; 4 fewer from 20 March; 9 quoted from 20 April."""
    at = metric_book if metric else book
    job = new_job(at, "Gate")
    set_total(at, job, Money(100000), 12 * 60)
    said = {"tax_rate": Fraction(0), "tax_standing": "sales_tax"}
    agree(at, job, "price in one sum", [Ask("all", Money(100000), Money(0))],
          day=date(2025, 1, 10), **said)  # fmt: skip
    days = [date(2025, *day) for day in ((1, 31), (2, 28), (3, 31), (4, 24))]
    for minutes, day, answer in ((600, 10, approve), (6000, 11, decline), (6000, 12, None)):
        order = propose(at, job, "more", Money(5000), minutes=minutes, day=date(2025, 1, 20))
        if answer:
            answer(at, job, order, "phone", day=date(2025, 2, day))
    less = propose(at, job, "less", Money(0), minutes=-240, day=date(2025, 3, 1))
    approve(at, job, less, "phone", day=date(2025, 3, 20))
    booked = booked_jobs(at, days[0], days[-1])
    left = [[str(hours) for _, hours in hours_ahead(booked, day)] for day in days]
    assert left == [["12.00"], ["22.00"], ["18.00"], ["18.00"]]
    load_starting_standards(at)
    agree(at, job, "Q-1", [Ask("all", Money(100000), Money(0))], day=date(2025, 4, 20), **said)
    save_plan(at, job, {"RPR": Decimal("9.00")}, quoted=True)
    booked = booked_jobs(at, days[0], days[-1])
    left = [[str(hours) for _, hours in hours_ahead(booked, day)] for day in days]
    assert left == [["12.00"], ["22.00"], ["18.00"], ["15.00"]]  # 9 h quoted, 10 more, 4 fewer


def test_a_review_counts_a_job_by_the_state_in_which_it_stood(booked):
    """A job canceled or opened again later was booked, or was not, as it stood on the row's day."""
    days = [date(2025, 4, day) for day in (20, 21, 22, 23, 24)]
    first, second = find_job(booked, "First"), find_job(booked, "Second")
    for state, day in (("ready", 21), ("closed", 22), ("building", 23)):
        set_state(booked, first, state, day=date(2025, 4, day))
    jobs = booked_jobs(booked, days[0], days[-1])
    left = [dict(hours_ahead(jobs, day)).get(first.number) for day in days]
    assert left == [12, None, None, 12, 12]
    set_state(booked, second, "canceled")  # on the 25th
    jobs = booked_jobs(booked, days[0], days[-1])
    assert [dict(hours_ahead(jobs, day)).get(second.number) for day in days[3:]] == [None, 36]

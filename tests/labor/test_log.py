"""Hours as they were worked: who, what, how long; slips are asked about; undo takes back."""

from datetime import date, datetime
from decimal import Decimal

import pytest

from ledger.book import close_month
from ledger.book.questions.labor import time_entries, work_of_job
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.labor import Work
from ledger.errors import BadValue, NotAllowed, NotFound, Question
from ledger.labor.log import Task, TimeEntry, log_hours, read_activity, read_class
from ledger.labor.people import helper_cost, person_named, set_helper
from ledger.labor.standards import find_operation_or_group
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.measures.values import replace

TODAY = date(2025, 4, 25)


@pytest.fixture
def job(book):
    with book.entry("job new", "J-2507"):
        return book.post(Job(number="J-2507", title="Marrow fold-down bed"))


def time_entry(book, job, text="sand", minutes=105, **more):
    activity, kind = read_activity(book, text, more.pop("kind", "work"))
    return TimeEntry(job=job, activity=activity, minutes=minutes, day=TODAY, kind=kind, **more)


def test_an_entry_is_one_row_of_the_owners_minutes(book, job):
    (row,) = log_hours(book, time_entry(book, job))

    assert (row.operation, row.group, row.person) == ("SND", "finish", "owner")
    assert (row.minutes, row.day, row.rate) == (105, TODAY, None)


def test_everybody_who_worked_has_the_elapsed_minutes_and_a_helper_his_own_rate(book, job):
    with book.entry("shop set", "helper_cost"):
        book.set("helper_cost", "26.88")
    set_helper(book, "Robin", Money(3100), Money(4500))

    rows = log_hours(
        book, time_entry(book, job, "install", 330, people=("owner", "helper", "Robin"))
    )

    assert [(row.person, row.minutes) for row in rows] == [
        ("owner", 330), ("helper", 330), ("Robin", 330),
    ]  # fmt: skip
    assert [row.rate for row in rows] == [None, Money(2688), Money(3100)]


def test_a_helpers_new_rate_leaves_earlier_hours_at_the_old_one(book, job):
    set_helper(book, "Robin", Money(3100), Money(4500))
    log_hours(book, time_entry(book, job, people=("Robin",)))
    set_helper(book, "robin", Money(3300), Money(4700))

    log_hours(book, time_entry(book, job, "spray", people=("Robin",)))

    assert [row.rate for row in book.rows(Work)] == [Money(3100), Money(3300)]
    assert person_named(book, "ROBIN") == "Robin"


def test_helpers_cost_their_hours_at_the_rate_of_the_day(book, job):
    with book.entry("shop set", "helper_cost"):
        book.set("helper_cost", "26.88")
    for minutes in (114, 330):  # 7.4 h in all
        log_hours(book, time_entry(book, job, "install", minutes, people=("owner", "helper")))

    assert helper_cost(book, job) == Money(19891)


def test_hours_of_a_group_are_split_by_the_estimate_and_marked(book, job):
    plan = {"SHT": Decimal("2.00"), "RIP": Decimal("1.00"), "SND": Decimal("9.00")}

    rows = log_hours(book, time_entry(book, job, "cutting", 100), plan=plan)

    assert [(row.operation, row.minutes, row.split) for row in rows] == [
        ("SHT", 67, True),
        ("RIP", 33, True),
    ]


def test_hours_of_a_group_without_an_estimate_stay_on_the_group(book, job):
    (row,) = log_hours(book, time_entry(book, job, "finish", 100), plan={"RIP": Decimal("1.00")})

    assert (row.operation, row.group, row.minutes, row.split) == (None, "finish", 100, False)


def test_filming_is_content_without_being_told_so(book, job):
    (row,) = log_hours(book, time_entry(book, job, "filming", 570))

    assert (row.kind, row.task, row.group) == ("content", "filming", None)


def test_work_for_the_shop_belongs_to_no_job(book, job):
    (row,) = log_hours(book, time_entry(book, None, "sharpening", kind="shop"))

    assert (row.job, row.kind, row.task) == (None, "shop", "sharpening")


def test_rework_keeps_its_part_cause_and_prevention(book, job):
    told = {"part": "C1", "cause": "handing", "prevention": "chalk pairs", "kind": "rework"}

    (row,) = log_hours(book, time_entry(book, job, "pins", 156, **told))

    assert (row.kind, row.part, row.cause, row.prevention) == (
        "rework", "C1", "handing", "chalk pairs",
    )  # fmt: skip


def test_a_cause_without_rework_is_refused(book, job):
    with pytest.raises(BadValue, match="belong to rework"):
        log_hours(book, time_entry(book, job, cause="handing"))


@pytest.mark.parametrize(
    ("text", "kind"),
    [("rework", "rework"), ("change order", "change_order"), ("CO", "change_order"),
     ("first-time", "first_time"), ("first", "first_time")],
)  # fmt: skip
def test_a_class_is_read_as_it_is_said(text, kind):
    assert read_class(text) == kind


@pytest.mark.parametrize("text", ["", "play", "c"])
def test_a_class_that_is_none_or_may_be_two_is_refused(text):
    with pytest.raises(BadValue, match="is not a class of hours"):
        read_class(text)


def test_an_unknown_operation_is_refused_with_the_nearest(book, job):
    with pytest.raises(NotFound, match="filming"):
        read_activity(book, "fliming")


# --- what is asked about ---------------------------------------------------------------------


def test_a_day_of_more_than_fourteen_hours_is_asked_about_and_taken_when_sure(book, job):
    log_hours(book, time_entry(book, job, "ASM", 13 * 60))

    with pytest.raises(Question, match="14h45 of work"):
        log_hours(book, time_entry(book, job))
    log_hours(book, time_entry(book, job), sure=True)

    assert len(book.rows(Work)) == 2


def test_fourteen_hours_to_the_minute_are_not_asked_about(book, job):
    log_hours(book, time_entry(book, job, "ASM", 12 * 60))

    log_hours(book, time_entry(book, job, "SND", 2 * 60))

    assert len(book.rows(Work)) == 2


def at(hour, minute=0):
    return datetime(2025, 4, 25, hour, minute)


def test_two_entries_at_one_time_are_asked_about(book, job):
    first = time_entry(book, job, "ASM", 120, began=at(8), ended=at(10))
    log_hours(book, first)

    with pytest.raises(Question, match=r"09:30–11:00 overlaps 08:00–10:00, ASM"):
        log_hours(book, replace(first, minutes=90, began=at(9, 30), ended=at(11)))
    log_hours(book, replace(first, minutes=60, began=at(10), ended=at(11)))


def test_the_same_entry_twice_is_asked_about(book, job):
    log_hours(book, time_entry(book, job))

    with pytest.raises(Question, match="2025-04-25 already: J-2507 SND 1h45"):
        log_hours(book, time_entry(book, job))
    log_hours(book, time_entry(book, job, part="A1"))


def test_nothing_is_posted_while_something_is_asked(book, job):
    log_hours(book, time_entry(book, job))

    with pytest.raises(Question):
        log_hours(book, time_entry(book, job))

    assert len(book.rows(Work)) == 1


# --- what is refused -------------------------------------------------------------------------


def test_a_closed_job_takes_content_hours_only(book, job):
    with book.entry("job close", job.number):
        book.post(JobState(job=job.key, state="closed", day=TODAY))

    with pytest.raises(NotAllowed, match=r"is closed since .* --after-close"):
        log_hours(book, time_entry(book, job))
    log_hours(book, time_entry(book, job, "editing"))


def test_a_past_job_takes_no_hours(book, job):
    with book.entry("job load"):
        past = book.post(Job(number="J-2410", title="Bookcase", kind="past"))

    with pytest.raises(NotAllowed, match="past job"):
        log_hours(book, time_entry(book, past))


@pytest.mark.parametrize("day", [date(2025, 4, 26), date(2025, 3, 31)])
def test_a_day_ahead_or_in_a_closed_month_takes_no_hours(book, job, day):
    close_month(book, Month(2025, 3))

    with pytest.raises(NotAllowed):
        log_hours(book, replace(time_entry(book, job), day=day))

    assert book.rows(Work) == []


# --- what is asked of the book ---------------------------------------------------------------


def test_an_undone_entry_no_longer_counts(book, job):
    log_hours(book, time_entry(book, job))
    number = book.rows(Work)[0].entry

    book.reverse(number, "wrong job")

    assert work_of_job(book, job.key) == []
    log_hours(book, time_entry(book, job))  # and the same entry is not taken for a double


def test_hours_of_a_job_add_up_by_operation_class_and_person(book, job):
    log_hours(book, time_entry(book, job, people=("owner", "helper")))
    log_hours(book, time_entry(book, job, minutes=15))
    log_hours(book, time_entry(book, job, minutes=30, kind="rework"))

    sums = {
        (row.operation, row.kind, row.person): row.minutes for row in work_of_job(book, job.key)
    }

    assert sums == {
        ("SND", "work", "owner"): 120,
        ("SND", "work", "helper"): 105,
        ("SND", "rework", "owner"): 30,
    }


def test_the_entries_of_a_time_show_a_split_group_as_one(book, job):
    plan = {"SHT": Decimal("2.00"), "RIP": Decimal("1.00")}
    log_hours(book, time_entry(book, job, "cutting", 100), plan=plan)
    log_hours(book, time_entry(book, job, "sand", people=("owner", "helper")))
    log_hours(book, time_entry(book, None, "sharpening", kind="shop"))

    found = time_entries(book, first=TODAY, last=TODAY)

    assert [(one.activity, one.minutes, one.split, one.people) for one in found] == [
        ("cutting", 100, True, "owner"),
        ("SND", 210, False, "owner, helper"),
        ("sharpening", 105, False, "owner"),
    ]
    assert len(time_entries(book, job=job.key, first=TODAY, last=TODAY)) == 2
    assert time_entries(book, first=date(2025, 4, 1), last=date(2025, 4, 24)) == []


def test_a_group_and_an_operation_are_told_apart(book, job):
    assert find_operation_or_group(book, "finish").words == "finish"
    assert isinstance(read_activity(book, "sharpening", "shop")[0], Task)

"""The one clock: starting it stops it; forgotten clocks are asked about; undo keeps one at most."""

from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest

from ledger.book.tables.clock import Clock, ClockStop
from ledger.book.tables.ground import Job
from ledger.book.tables.labor import Work
from ledger.errors import NotAllowed, Question
from ledger.labor.clock import moment_of, one_clock_at_most, running, start, stop
from ledger.labor.log import TimeEntry, log_hours, read_activity
from ledger.labor.standards import find_operation_or_group


@pytest.fixture
def job(book):
    with book.entry("job new", "J-2507"):
        return book.post(Job(number="J-2507", title="Marrow fold-down bed"))


@pytest.fixture
def clock_on(book, job):
    def start_on(text, hour, minute=0, **more):
        activity, kind = read_activity(book, text)
        return start(book, job, activity, at(hour, minute), kind=kind, **more)

    return start_on


def at(hour, minute=0, day=25):
    return datetime(2025, 4, day, hour, minute)


def test_no_clock_runs_in_a_new_book(book):
    assert running(book) is None


def test_a_clock_that_was_started_runs_until_it_is_stopped(book, job, clock_on):
    clock_on("spray", 13)
    assert (running(book).activity.code, running(book).job.number) == ("SPR", "J-2507")

    (row,) = stop(book, at(14, 20))

    assert running(book) is None
    assert (row.operation, row.minutes, row.began, row.ended) == (
        "SPR", 80, "2025-04-25T13:00", "2025-04-25T14:20",
    )  # fmt: skip


def test_starting_on_something_stops_what_went_before(book, clock_on):
    clock_on("sand", 8)

    (row,) = clock_on("spray", 9, 30)

    assert (row.operation, row.minutes) == ("SND", 90)
    assert running(book).activity.code == "SPR"


def test_a_clock_of_less_than_a_minute_makes_no_entry(book, clock_on):
    clock_on("sand", 8)

    assert clock_on("spray", 8) == []
    assert running(book).activity.code == "SPR"
    assert book.rows(Work) == []


def test_the_clock_runs_for_everybody_who_works(book, clock_on):
    clock_on("install", 8, people=("owner", "helper"))

    assert [(row.person, row.minutes) for row in stop(book, at(9))] == [
        ("owner", 60),
        ("helper", 60),
    ]


def test_the_clock_on_a_group_is_split_when_it_stops(book, job, clock_on):
    clock_on("cutting", 8)

    rows = stop(book, at(9), plan={"SHT": Decimal(2), "RIP": Decimal(1)})

    assert [(row.operation, row.minutes, row.split) for row in rows] == [
        ("SHT", 40, True),
        ("RIP", 20, True),
    ]


def test_the_clock_runs_for_content_and_for_the_shop(book, job):
    activity, kind = read_activity(book, "filming")
    start(book, job, activity, at(8), kind=kind)
    activity, kind = read_activity(book, "sweeping", "shop")

    (row,) = start(book, None, activity, at(9), kind=kind)

    assert (row.kind, row.task) == ("content", "filming")
    assert running(book).job is None


def test_nothing_to_stop_is_refused(book):
    with pytest.raises(NotAllowed, match="No clock is running"):
        stop(book, at(9))


# --- forgotten clocks ------------------------------------------------------------------------


def test_a_clock_over_five_hours_is_asked_about(book, clock_on):
    clock_on("sand", 8)

    with pytest.raises(Question, match="ran 5h01, since 08:00"):
        stop(book, at(13, 1))
    with pytest.raises(Question, match="clock off --at"):
        clock_on("spray", 13, 1)
    assert running(book).activity.code == "SND"

    (row,) = stop(book, at(13, 1), sure=True)
    assert row.minutes == 301


def test_a_clock_of_five_hours_to_the_minute_is_not_asked_about(book, clock_on):
    clock_on("sand", 8)

    assert stop(book, at(13))[0].minutes == 300


def test_a_clock_left_running_for_more_than_a_day_must_be_told_its_end(book, clock_on):
    clock_on("sand", 8)

    with pytest.raises(NotAllowed, match="longer than a day"):
        stop(book, at(8, 1, day=26), sure=True)


def test_the_end_of_yesterdays_clock_is_a_time_of_yesterday(book, clock_on):
    clock_on("sand", 8)
    now = at(7, 30, day=26)

    assert moment_of(running(book), now, "15:40") == at(15, 40)
    assert moment_of(running(book), now, "7:00") == at(7, 0, day=26)
    assert moment_of(running(book), now, None) == now


def test_a_time_that_has_not_come_is_refused(book):
    with pytest.raises(NotAllowed, match="has not come yet"):
        moment_of(None, at(15), "15:40")


def test_a_clock_cannot_stop_before_it_began(book, clock_on):
    clock_on("sand", 8)

    with pytest.raises(NotAllowed, match="cannot stop before"):
        stop(book, at(7, 59))


def test_a_clock_started_within_an_earlier_entry_is_asked_about(book, job, clock_on):
    clock_on("sand", 8)
    stop(book, at(10))

    with pytest.raises(Question, match="overlaps 08:00–10:00"):
        clock_on("spray", 9, 30)


def test_an_entry_within_the_running_clock_is_asked_about(book, job, clock_on):
    clock_on("sand", 8)
    activity = find_operation_or_group(book, "spray")
    times = {"began": at(8, 30), "ended": at(9)}

    with pytest.raises(Question, match=r"clock, .*since 08:00"):
        log_hours(book, TimeEntry(job, activity, 30, date(2025, 4, 25), **times))


# --- undo ------------------------------------------------------------------------------------


def undo(book, row):
    book.reverse(row.entry, "slip", [one_clock_at_most])


def test_undoing_a_stop_lets_the_clock_run_on(book, clock_on):
    clock_on("sand", 8)
    stop(book, at(9))

    undo(book, book.last(ClockStop))

    assert running(book).began == at(8)
    assert book.rows(Work) == []


def test_undoing_a_switch_goes_back_to_what_was_running(book, clock_on):
    clock_on("sand", 8)
    clock_on("spray", 9)

    undo(book, book.last(Clock))

    assert running(book).activity.code == "SND"


def test_a_start_is_not_undone_before_its_stop(book, clock_on):
    clock_on("sand", 8)
    started = book.last(Clock)
    stop(book, at(9))

    with pytest.raises(NotAllowed, match="undo that one first"):
        undo(book, started)

    assert len(book.rows(Work)) == 1


def test_a_stop_is_not_undone_while_another_clock_runs(book, clock_on):
    clock_on("sand", 8)
    stop(book, at(9))
    stopped = book.last(ClockStop)
    clock_on("spray", 9)

    with pytest.raises(NotAllowed, match="Another clock runs now"):
        undo(book, stopped)


def test_ten_switches_of_a_day_add_up_to_the_day(book, clock_on):
    for step in range(10):
        clock_on("sand" if step % 2 else "spray", 8 + step // 2, 30 * (step % 2))

    stop(book, at(8) + timedelta(hours=5))

    assert sum(row.minutes for row in book.rows(Work)) == 300

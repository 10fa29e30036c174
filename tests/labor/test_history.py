"""The lessons in the book: loaded past jobs and closed own jobs, and what is left out and why."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.counts import JobCount
from ledger.book.tables.ground import Job, JobState
from ledger.labor.history import FIRST_TIME, NOT_LOGGED, history
from ledger.labor.log import TimeEntry, log_hours, read_activity
from ledger.labor.past import PastJobRow, PastLineRow, save_past_jobs
from ledger.labor.standards import (
    find_operation,
    set_mark,
    set_standard,
)
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

TODAY = date(2025, 4, 25)


@pytest.fixture
def job(book):
    with book.entry("job new", "J-2506"):
        return book.post(Job(number="J-2506", title="Oak bench"))


def log(book, job, text, minutes, kind="work", days=0, people=("owner",)):
    activity, kind = read_activity(book, text, kind)
    day = TODAY - timedelta(days=days)
    log_hours(book, TimeEntry(job, activity, minutes, day, kind, people), sure=True)


def close(book, job, words="", **counts):
    with book.entry("job close", job.number):
        for operation, count in counts.items():
            row = JobCount(job=job.key, operation=operation, driver=Quantity.of(count),
                           occasion="built", words=words)  # fmt: skip
            book.post(row)
        book.post(JobState(job=job.key, state="closed", day=TODAY))


def lessons(book):
    return {lesson.operation: lesson for lesson in history(book).lessons}


def test_a_job_teaches_nothing_before_it_is_closed(book, job):
    log(book, job, "sand", 90)

    assert history(book).lessons == []


def test_a_closed_job_sets_its_counts_as_built_beside_its_hours(book, job):
    log(book, job, "sand", 60, days=3)
    log(book, job, "sand", 30)
    close(book, job, SND=44)

    lesson = lessons(book)["SND"]

    assert (lesson.job, lesson.estimate, lesson.minutes) == ("J-2506", Decimal("1.05"), 90)
    assert lesson.day == TODAY - timedelta(days=3)
    assert history(book).learned("SND").raw == Fraction(150, 105)
    assert history(book).rework == {"J-2506": 0.0}


def test_a_lesson_knows_how_much_of_it_the_helper_worked(book, job):
    log(book, job, "sand", 60, people=("owner", "helper"))
    log(book, job, "sand", 30, people=("helper",))
    log(book, job, "rip", 30)
    close(book, job, SND=44, RIP=8)

    found = lessons(book)

    assert (found["SND"].minutes, found["SND"].helper) == (150, Fraction(90, 150))
    assert found["RIP"].helper == 0


def test_rework_is_a_share_of_its_own_and_change_orders_teach_nothing(book, job):
    log(book, job, "sand", 90)
    log(book, job, "sand", 600, "rework")
    log(book, job, "sand", 600, "change_order")
    close(book, job, SND=44)

    assert lessons(book)["SND"].minutes == 90
    assert history(book).rework == {"J-2506": 10.0}


def test_rework_counts_by_the_minute(book, job):
    log(book, job, "sand", 90)
    log(book, job, "sand", 75, "rework")
    close(book, job, SND=44)

    assert history(book).rework == {"J-2506": 1.25}


def test_a_line_done_for_the_first_time_is_left_out_with_its_reason(book, job):
    log(book, job, "miter", 150, "first_time")
    log(book, job, "miter", 30)
    close(book, job, MIT=4)

    assert lessons(book)["MIT"].left_out == FIRST_TIME
    assert history(book).learned("MIT").jobs == 0


def test_an_operation_without_hours_is_not_logged_rather_than_zero(book, job):
    log(book, job, "sand", 90)
    close(book, job, SND=44, RIP=8)

    assert lessons(book)["RIP"].left_out == NOT_LOGGED
    assert history(book).learned("RIP").jobs == 0


@pytest.mark.parametrize(
    ("words", "left_out"),
    [("as planned", True), ("as planned: cuts at the fence in the cut list", False), ("", False)],
)
def test_cuts_that_were_counted_another_way_teach_nothing_and_other_work_still_does(
    book, job, words, left_out
):
    for text in ("rip", "wide", "narrow", "sheets", "sand"):
        log(book, job, text, 60)
    close(book, job, words, RIP=10, XW=5, XN=10, SHT=3, SND=44)

    marked = {code for code, lesson in lessons(book).items() if lesson.is_before_mark}
    assert marked == ({"RIP", "XW", "XN", "SHT"} if left_out else set())


def test_hours_logged_on_a_group_teach_the_group_by_the_counts_as_built(book, job):
    log(book, job, "finish", 300)
    close(book, job, SND=44, SPR=132)  # 1.05 h and 0.66 h

    found = lessons(book)

    assert (found["SND"].minutes, found["SPR"].minutes) == (184, 116)
    assert found["SND"].split
    assert history(book).learned("SND").jobs == 0
    row = history(book).forecast.jobs[0].rows[0]
    assert (row.hours, row.estimate) == (5.0, pytest.approx(1.71))


def test_an_operation_of_a_group_entry_is_not_taught_by_its_own_hours_alone(book, job):
    log(book, job, "finish", 60)
    log(book, job, "sand", 60)
    close(book, job, SND=44, SPR=132)

    assert history(book).learned("SND").jobs == 0
    assert [row.hours for row in history(book).forecast.jobs[0].rows] == [2.0]


def test_hours_of_a_group_without_any_count_are_the_jobs_and_no_operations(book, job):
    log(book, job, "finish", 60)
    log(book, job, "rip", 30)
    close(book, job, RIP=8)

    past = history(book).forecast.jobs[0]
    assert (past.unplanned, [row.hours for row in past.rows]) == (1.0, [0.5])


def test_a_reopened_job_teaches_nothing_until_it_is_closed_again(book, job):
    log(book, job, "sand", 90)
    close(book, job, SND=44)
    with book.entry("job reopen"):
        book.post(JobState(job=job.key, state="building", day=TODAY, why="a scratch"))

    assert history(book).lessons == []


def test_past_jobs_teach_beside_own_ones_by_the_standard_in_force(book, job):
    past = PastJobRow("J-2410", "Bookcase", date(2024, 10, 21), Money(240000), Money(46800),
                      (PastLineRow("sand", Quantity.of(92), 150),))  # fmt: skip
    save_past_jobs(book, [past])
    log(book, job, "sand", 90)
    close(book, job, SND=44)
    assert history(book).learned("SND").estimate == Decimal("3.06")

    set_standard(book, find_operation(book, "sand"), minutes=Decimal("1.5"))

    learned = history(book).learned("SND")
    assert (learned.jobs, learned.minutes, learned.estimate) == (2, 240, Decimal("3.74"))


def past_total(number, hours, lines=(), **more):
    """A past job of which the hours in all are known."""
    rows = tuple(PastLineRow(code, Quantity.of(count), 0) for code, count in lines)
    facts = {"price": None, "material": None} | more
    return PastJobRow(number, "Bookcase", date(2024, 10, 21), lines=rows, minutes=hours * 60,
                      **facts)  # fmt: skip


def test_a_job_known_by_its_total_teaches_the_level_where_it_has_counts(book):
    save_past_jobs(book, [past_total("P-1", 30, [("sand", 92), ("DES", 9)]), past_total("P-2", 9)])

    past = history(book)
    assert [job.job for job in past.forecast.jobs] == ["P-1"]
    assert past.forecast.jobs[0].unplanned == 30.0
    assert [(one.operation, one.hours) for one in past.forecast.jobs[0].planned] == [
        ("SND", 2.01), ("DES", 3.2),
    ]  # fmt: skip
    assert past.learned("SND").jobs == 0
    assert past.rework == {}


def test_rework_of_a_total_is_taken_off_its_work(book):
    save_past_jobs(book, [past_total("P-1", 30, [("sand", 92)], rework_minutes=120)])

    past = history(book)
    assert (past.forecast.jobs, past.rework) == ((), {"P-1": 2.0})  # 28 h against 2 are too many
    assert [one.words for one in past.unbelieved] == ["P-1 in all, 28.00 h against 2.01 h"]


def test_a_mark_takes_a_total_out_that_has_its_operation(book):
    save_past_jobs(book, [past_total("P-1", 6, [("sand", 92), ("DES", 9)])])
    assert len(history(book).forecast.jobs) == 1

    set_mark(book, find_operation(book, "sand"), TODAY, "new sander")
    assert history(book).forecast.jobs == ()


def test_a_mark_restarts_one_operation(book, job):
    log(book, job, "sand", 90, days=5)
    log(book, job, "spray", 60, days=5)
    close(book, job, SND=44, SPR=132)

    set_mark(book, find_operation(book, "sand"), TODAY, "new sander")

    assert history(book).learned("SND").jobs == 0
    assert history(book).learned("SPR").jobs == 1
    assert lessons(book)["SND"].left_out == "before the mark of 2025-04-25"

    set_mark(
        book, find_operation(book, "sand"), TODAY - timedelta(days=9), "the day was typed wrong"
    )

    assert history(book).learned("SND").jobs == 1

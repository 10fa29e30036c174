"""What a review needs to know of time: where hours went, what was booked, promises, operations."""

from collections.abc import Collection
from datetime import date
from decimal import Decimal

from ledger.book import Book
from ledger.book.questions.labor import work_by_month
from ledger.book.questions.review import (
    SpentTime,
    StateDay,
    minutes_spent,
    states_entered,
)
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Agreement
from ledger.jobs.agreement import WITHOUT_QUOTE
from ledger.jobs.changes import approved
from ledger.jobs.lines import guessed_minutes
from ledger.labor.history import history
from ledger.labor.observations import Lesson
from ledger.labor.plan import plan_of
from ledger.labor.standards import staffed, standards
from ledger.measures.grouped import grouped
from ledger.reports.ahead import promise_of
from ledger.reports.review_time import BookedJob, KeptPromise, TimedLine, UntimedHours

DELIVERED = frozenset({"installed", "closed"})
"""States by which the day of a promise is met: installed, or closed where that was never said."""


def spent_time(book: Book, first: date, last: date) -> list[SpentTime]:
    """All minutes of a period, activities by their names."""
    names = {row.code: row.name for row in standards(book).values()}
    rows = minutes_spent(book, first, last)
    return [row._replace(activity=names.get(row.activity, row.activity)) for row in rows]


def entered(book: Book) -> dict[int, list[StateDay]]:
    """The states of each commission, in the order in which they were entered."""
    return grouped(states_entered(book), lambda row: row.job)


def since(states: Collection[StateDay], wanted: Collection[str]) -> date | None:
    """The day from which a job has stood in one of some states without a break, or None."""
    day = None
    for row in states:
        day = (day or row.day) if row.state in wanted else None
    return day


def booked_jobs(book: Book, first: date, last: date) -> list[BookedJob]:
    """The jobs that were booked in some days, with what was planned and what was worked.

    Planned are the hours kept of the quote (else the last estimate, else the guess of a job sold
    in one sum) and of approved changes, each from its own day on.
    """
    states, operations = entered(book), staffed(book)
    worked = grouped(work_by_month(book, last), lambda row: row.job)
    jobs = []
    for key, agreements in grouped(book.rows(Agreement), lambda row: row.job).items():
        job, entered_states = book.row(Job, key), states.get(key, [])
        if job is None or agreements[0].day > last:
            continue
        quoted = [row.day for row in agreements if row.source not in WITHOUT_QUOTE]
        one = BookedJob(
            job.number, agreements[0].day, (quoted or [agreements[0].day])[-1], plan_of(book, job),
            guessed_minutes(book, job), approved(book, job), operations, worked.get(key, []),
            entered_states,
        )  # fmt: skip
        if not one.is_over(first) or any(row.day > first for row in entered_states):
            jobs.append(one)
    return jobs


def kept_promises(book: Book, first: date, last: date) -> list[KeptPromise]:
    """The jobs delivered on these days whose quote promised weeks from the first payment on."""
    kept = []
    for key, rows in entered(book).items():
        day = since(rows, DELIVERED)
        job = book.row(Job, key)
        if day is None or job is None or not first <= day <= last:
            continue
        promise = promise_of(book, job)
        if promise is not None:
            paid, weeks, days = promise.paid, promise.weeks, promise.changed_days
            kept.append(KeptPromise(job.number, paid, weeks, days, day))
    return kept


def timed_lines(book: Book, numbers: Collection[str]) -> tuple[list[TimedLine], UntimedHours]:
    """The operations of some closed jobs that were logged by themselves, counts as built known.

    A line whose hours stand on another one is counted with that one. Hours that are in no line
    are told beside them.
    """
    names = {row.code: row.name for row in standards(book).values()}
    lessons = [one for one in history(book).lessons if one.job in numbers]
    moved: dict[tuple[str, str], Decimal] = {}
    for one in lessons:
        if one.onto:
            place = one.job, one.onto
            moved[place] = moved.get(place, Decimal(0)) + one.estimate
    lines = [
        TimedLine(one.job, names.get(one.operation, one.operation),
                  one.estimate + moved.get((one.job, one.operation), Decimal(0)), one.minutes)
        for one in lessons
        if _is_timed(one)
    ]  # fmt: skip
    untimed = [one for one in lessons if not _is_timed(one) and not one.onto]
    of_groups = sum(one.minutes for one in untimed if one.split)
    return lines, UntimedHours(of_groups, sum(one.minutes for one in untimed) - of_groups)


def _is_timed(one: Lesson) -> bool:
    return not one.left_out and not one.split

"""The clock at the bench: switched on something, ended, and what became of its time."""

from collections.abc import Sequence
from datetime import datetime

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.labor import Work
from ledger.labor.clock import Running, require_running, running, start, stop
from ledger.verbs.hours import JobPlan, PostedHours, Target, posted


class Stopped(Struct, frozen=True):
    """The clock that stopped, and its hours; None where it ran for less than a minute."""

    clock: Running
    hours: PostedHours | None


class Switched(Struct, frozen=True):
    """What the clock is on now, since when, and the clock that stopped for it, if one ran."""

    target: Target
    since: datetime
    stopped: Stopped | None


def switch(
    book: Book,
    target: Target,
    moment: datetime,
    plan: JobPlan,
    *,
    people: tuple[str, ...],
    part: str = "",
    note: str = "",
    sure: bool = False,
) -> Switched:
    """Start the clock; what was running stops, and `plan` is that one's job's.

    Raises:
        Question: the clock that stops looks like one that was forgotten, or times overlap.
        NotAllowed: the job takes no hours, or the moment lies before the running clock's start.
    """
    before = running(book)
    with book.entry("clock on", target.words):
        rows = start(
            book, target.job, target.activity, moment, kind=target.kind, people=people, part=part,
            note=note, plan=plan.hours, sure=sure,
        )  # fmt: skip
        if rows:
            plan.keep(book)
    return Switched(target, moment, _stopped(book, before, rows, plan) if before else None)


def end(book: Book, moment: datetime, plan: JobPlan, *, sure: bool = False) -> Stopped:
    """Stop the clock; its time becomes an entry, and `plan` is its job's.

    Raises:
        Question: it ran long, its times overlap another entry's, or the day is long.
        NotAllowed: no clock runs, the moment lies before its start, or a day has passed.
    """
    clock = require_running(book)
    with book.entry("clock off", f"{moment:%H:%M}"):
        rows = stop(book, moment, plan=plan.hours, sure=sure)
        if rows:
            plan.keep(book)
    return _stopped(book, clock, rows, plan)


def _stopped(book: Book, clock: Running, rows: Sequence[Work], plan: JobPlan) -> Stopped:
    if not rows:
        return Stopped(clock, None)
    minutes = sum(row.minutes for row in rows if row.person == rows[0].person)
    return Stopped(clock, posted(book, rows, clock.time_entry(minutes), plan))

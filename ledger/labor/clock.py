"""The one clock: starting it on something stops it on what went before."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import clocks_that_run
from ledger.book.tables.clock import Clock, ClockStop
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.labor import Work
from ledger.book.tables.operations import Operation
from ledger.errors import NotAllowed, Question
from ledger.labor.log import (
    Activity,
    Task,
    TimeEntry,
    clock_text,
    doubts,
    log_hours,
    name_of,
    require_loggable,
)
from ledger.labor.people import OWNER
from ledger.labor.standards import GROUPS, standards
from ledger.measures.day import Month, parse_time
from ledger.measures.duration import DAY, show_minutes
from ledger.measures.fields import made_of
from ledger.measures.zone import Zone


class Running(Struct, frozen=True):
    """The clock that runs: on what, for which job, since when, who works."""

    number: int
    job: Job | None
    activity: Activity
    kind: str
    began: datetime
    people: tuple[str, ...]
    part: str
    note: str
    moment: datetime

    @property
    def words(self) -> str:
        """What it is on, in a few words: `J-2507 SPR`."""
        return f"{self.job.number if self.job else 'shop'} {name_of(self.activity)}"

    def minutes(self, zone: Zone, now: datetime) -> int:
        """Whole minutes that passed until the shop's wall clock shows a time."""
        return (zone.moment(now) - self.moment) // timedelta(minutes=1)

    def time_entry(self, minutes: int) -> TimeEntry:
        """The entry that it makes when it stops after so many minutes."""
        return made_of(
            TimeEntry,
            self,
            minutes=minutes,
            day=self.began.date(),
            ended=self.began + timedelta(minutes=minutes),
        )


def shop_zone(book: Book) -> Zone:
    """The shop's time zone."""
    return Zone(book.settings.time_zone)


def running(book: Book) -> Running | None:
    """The clock that runs, or None."""
    numbers = clocks_that_run(book)
    row = book.row(Clock, numbers[-1]) if numbers else None
    if row is None:
        return None
    began = datetime.fromisoformat(row.began)
    return made_of(
        Running,
        row,
        number=row.key,
        job=None if row.job is None else book.row(Job, row.job),
        activity=_activity(book, row),
        began=began,
        people=tuple(row.people.split("\n")),
        moment=datetime.fromisoformat(row.moment) if row.moment else shop_zone(book).moment(began),
    )


def running_on(book: Book, job: Job) -> Running | None:
    """The clock that runs on a job, or None; content may be timed once a job is over, too."""
    clock = running(book)
    if clock is None or clock.job is None or clock.kind == "content":
        return None
    return clock if clock.job.key == job.key else None


def require_no_clock(book: Book, job: Job) -> None:
    """Refuse to end a job while its hours are still being taken.

    Raises:
        NotAllowed: the clock runs on it.
    """
    clock = running_on(book, job)
    if clock is not None:
        raise NotAllowed(
            f"The clock has been on {clock.words} since {clock.began:%H:%M}. Stop it first, or its"
            " hours are not in the account: benchledger clock off"
        )


def require_running(book: Book) -> Running:
    """The clock that runs.

    Raises:
        NotAllowed: none does.
    """
    clock = running(book)
    if clock is None:
        raise NotAllowed("No clock is running. Start one: benchledger clock on JOB OPERATION")
    return clock


def _activity(book: Book, row: Clock) -> Activity:
    if row.kind in {"content", "shop"}:
        return Task(row.activity)
    if row.activity in GROUPS:
        return GROUPS[row.activity]
    return standards(book)[row.activity]


def start(
    book: Book,
    job: Job | None,
    activity: Activity,
    at: datetime,
    *,
    kind: str = "work",
    people: tuple[str, ...] = (OWNER,),
    part: str = "",
    note: str = "",
    plan: Mapping[str, Decimal] | None = None,
    sure: bool = False,
) -> list[Work]:
    """Start the clock; what was running stops at that moment, and its rows are given back.

    `plan` has the shares of the job whose clock stops, where that was on a group.

    Raises:
        Question: the clock that stops looks like one that was forgotten, or times overlap.
        NotAllowed: the job takes no hours, or the moment lies before the running clock's start.
    """
    before = running(book)
    probe = TimeEntry(job, activity, 1, at.date(), kind, people, at, at + timedelta(minutes=1))
    require_loggable(book, probe)
    if not sure and before is None:
        questions = list(doubts(book, probe))
        if questions:
            raise Question(questions)
    target = job.number if job else "shop"
    with book.entry("clock on", f"{target} {name_of(activity)}"):
        stopped = [] if before is None else stop(book, at, plan=plan, sure=sure)
        book.post(
            Clock(
                job=job.key if job else None,
                activity=activity.code if isinstance(activity, Operation) else activity.name,
                kind=kind,
                began=clock_text(at),
                moment=shop_zone(book).moment(at).isoformat(timespec="minutes"),
                people="\n".join(people),
                part=part,
                note=note,
            )
        )
    return stopped


def stop(
    book: Book, at: datetime, *, plan: Mapping[str, Decimal] | None = None, sure: bool = False
) -> list[Work]:
    """Stop the clock; its minutes become an entry on the day it began (none under a minute).

    Raises:
        Question: it ran long, its times overlap another entry's, or the day is long.
        NotAllowed: no clock runs, the moment lies before its start, or a day has passed.
    """
    clock = require_running(book)
    time_entry = clock.time_entry(clock.minutes(shop_zone(book), at))
    _require_sound(clock, time_entry)
    if not sure:
        questions = [*_long(book, clock, time_entry), *doubts(book, time_entry)]
        if questions:
            raise Question(questions)
    with book.entry("clock off", time_entry.words):
        book.post(ClockStop(clock=clock.number, ended=clock_text(at)))
        return log_hours(book, time_entry, plan=plan, sure=True) if time_entry.minutes else []


def _require_sound(clock: Running, time_entry: TimeEntry) -> None:
    since = f"since {clock.began:%H:%M} of {clock.began:%Y-%m-%d}"
    if time_entry.minutes < 0:
        raise NotAllowed(f"The clock has been running {since}; it cannot stop before that.")
    if time_entry.minutes > DAY:
        raise NotAllowed(
            f"The clock on {name_of(clock.activity)} runs {since}, longer than a day."
            f" Say when you stopped: benchledger clock off --at {_for_example(clock)}"
        )


def _long(book: Book, clock: Running, time_entry: TimeEntry) -> list[str]:
    limit = 60 * book.settings.long_clock
    if time_entry.minutes <= limit:
        return []
    return [
        f"The clock on {name_of(clock.activity)} ran {show_minutes(time_entry.minutes)}, since"
        f" {clock.began:%H:%M}; more than {show_minutes(limit)} is asked about. If you stopped"
        f" earlier, say when: benchledger clock off --at {_for_example(clock)}"
    ]


def _for_example(clock: Running) -> str:
    """A time at which the clock was running, as one would type it."""
    return f"{clock.began + timedelta(hours=1):%H:%M}"


def moment_of(
    clock: Running | None, now: datetime, at: str | None, zone: Zone | None = None
) -> datetime:
    """What the wall clock shows at a time of day: on the day the clock began, if after that.

    Raises:
        NotAllowed: the time has not come yet, or the wall clock leapt over it.
        BadValue: the text is no time of day.
    """
    zone = zone or Zone()
    if at is None:
        return now.replace(second=0, microsecond=0)
    time = parse_time(at)
    if clock is not None and clock.began.date() < now.date():
        then = _after(clock.moment, datetime.combine(clock.began.date(), time), zone)
        if zone.moment(then) > clock.moment:
            return then
    moment = datetime.combine(now.date(), time)
    moment = _after(clock.moment, moment, zone) if clock else moment
    if zone.moment(moment) > zone.moment(now):
        raise NotAllowed(f"{moment:%H:%M} has not come yet; it is {now:%H:%M}.")
    return moment


def _after(moment: datetime, wall: datetime, zone: Zone) -> datetime:
    """A time that the wall clock shows; of two equal ones the first that lies after a moment."""
    if not zone.shows(wall):
        raise NotAllowed(
            f"{wall:%H:%M} is no time of {wall:%Y-%m-%d}: the clocks were put forward over it."
        )
    again = wall.replace(fold=1)
    is_shown_again = zone.shows(again) and zone.moment(again) != zone.moment(wall)
    return again if is_shown_again and zone.moment(wall) < moment else wall


def require_stopped(book: Book, month: Month) -> None:
    """Check that no clock runs whose hours belong to a month, before that is closed.

    Raises:
        NotAllowed: one runs; once the month is closed, it could not be stopped any more.
    """
    clock = running(book)
    if clock is not None and clock.began.date() <= month.last:
        raise NotAllowed(
            f"The clock on {name_of(clock.activity)} has been running since {clock.began:%H:%M} of"
            f" {clock.began:%Y-%m-%d}; its hours belong to that month. Stop it first, and say"
            f" when: benchledger clock off --at {_for_example(clock)}"
        )


def one_clock_at_most(book: Book, entry: JournalEntry) -> None:
    """The rule of undoing: no hours without their clock, and never two clocks at once.

    Raises:
        NotAllowed: undoing that entry would leave the clock in such a state.
    """
    started = {row.key for row in book.rows(Clock, in_force=False, entry=entry.id)}
    for stopped in book.rows(ClockStop):
        if stopped.clock in started:
            raise NotAllowed(
                f"The clock that entry {entry.id} started was stopped by entry {stopped.entry};"
                f" undo that one first."
            )
    if len(clocks_that_run(book)) > 1:
        raise NotAllowed("Another clock runs now; stop it first: benchledger clock off")

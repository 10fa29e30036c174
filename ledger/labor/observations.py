"""Lessons of past jobs as observations: log(actual ÷ estimate) of lines, jobs in order. Pure.

A line with hours and an estimate is a row of its own. A group that was logged as a whole is one
row: the logarithm of its sums, with the estimate's shares as weights. Where a line of a group has
an estimate and no hours, the row has two readings: its hours stand on a neighbor, or nothing was
done or noted; the owner's answer at close-out decides, else the odds (`ledger.labor.effects`).
Hours without an estimate count in the job's total only. A ratio beyond eight times either way is
not believed: it makes no row, and is named. A job known by its total alone makes no row either: it
is held as a whole against what its counts foretell, and moves the shop's level.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from math import log
from typing import NamedTuple

from msgspec import Struct

from ledger.measures.duration import to_hours
from ledger.measures.plain import plain_fields
from ledger.measures.values import replace

MOST = log(8.0)
"""A line that took more than eight times its estimate, or under an eighth, is not believed."""

FIRST_TIME = "first of its kind"
NOT_LOGGED = "not logged"
NOT_COUNTED = "no count as built"
NOT_DONE = "not done"
FORGOTTEN = "forgotten"
ELSEWHERE = "on another line"
NOT_BELIEVED = "not believed"
BEFORE_MARK = "before the mark"
TOTAL_ALONE = "known by its total alone"
TYPED_HOURS = "hours typed, no count"
"""A work order's line of a bare duration: an opinion of the hours, and no measure of the work."""
_ASIDE = {NOT_DONE, FORGOTTEN, NOT_BELIEVED, TYPED_HOURS}

ALONE = frozenset({"RPR", "SVC", "ADS", "STR", "DIS"})
"""Operations of repairs that teach themselves only: no repair is like the building of a piece."""


def taught_group(operation: str, group: str) -> str:
    """The group that an operation learns with; those of repairs are a group of their own each."""
    return operation if operation in ALONE else group


class Lesson(Struct, frozen=True):
    """One operation of one finished job: the estimate of the count as built, and what it took.

    `left_out` says why it is no ratio of its own operation; `split` that its minutes came from an
    entry on a group; `onto` on which operation its hours were logged; `helper` the helper's share.
    """

    job: str
    day: date
    operation: str
    group: str
    estimate: Decimal
    minutes: int
    split: bool = False
    left_out: str = ""
    onto: str = ""
    helper: Fraction = Fraction(0)

    @property
    def is_before_mark(self) -> bool:
        """Whether it was done before its operation's new start."""
        return self.left_out.startswith(BEFORE_MARK)

    @property
    def is_believed(self) -> bool:
        """Whether its ratio is one that a line can have; without hours or estimate it is none."""
        if self.estimate <= 0 or self.minutes <= 0:
            return True
        return abs(_log_ratio([self], [self])) <= MOST


class OperationPart(Struct, frozen=True):
    """An operation's share of a row's estimate."""

    operation: str
    group: str
    weight: float


class Reading(Struct, frozen=True):
    """One way to read a row: log(actual ÷ estimate), and the operations it speaks of."""

    log: float
    parts: tuple[OperationPart, ...]


class Observation(Struct, frozen=True):
    """One observation; `readings` are one, or two: hours on a neighbor, then nothing noted.

    `first` is the share of it that was done for the first time, `age` the number of later jobs.
    """

    job: str
    estimate: float
    hours: float
    readings: tuple[Reading, ...]
    first: float = 0.0
    helper: float = 0.0
    age: int = 0


class Planned(NamedTuple):
    """A line of a job: what is done, its hours by the standard, the helper's share."""

    operation: str
    group: str
    hours: float
    helper: float = 0.0


class Unbelieved(Struct, frozen=True):
    """Hours of a past job too far from their estimate to teach anything: a typing error, mostly.

    `operations` and `group` are empty where it is the total of a job.
    """

    job: str
    operations: tuple[str, ...]
    group: str
    hours: Decimal
    estimate: Decimal

    @property
    def words(self) -> str:
        """The hours beside their estimate, in a sentence's words without its end."""
        named = " + ".join(self.operations) or "in all"
        return f"{self.job} {named}, {self.hours} h against {self.estimate} h"

    @property
    def as_json(self) -> dict[str, object]:
        """Its facts for other programs."""
        return plain_fields(self, "job operations group hours estimate")


def unbelieved_words(hours: Sequence[Unbelieved]) -> str:
    """One sentence that names hours which nothing is learned from; empty without any."""
    named = "; ".join(
        f"{one.words} ({one.group.replace('_', ' ')})" if one.group else one.words for one in hours
    )
    return f"Not believed, and nothing is learned from it: {named}." if named else ""


class PastWork(Struct, frozen=True):
    """One past job: its rows, and its hours that had no estimate.

    Of a job known by its total alone these are all its hours, and `planned` is what they are held
    against.
    """

    job: str
    rows: tuple[Observation, ...]
    unplanned: float = 0.0
    planned: tuple[Planned, ...] = ()
    unbelieved: tuple[Unbelieved, ...] = ()


def past_work(lessons: Iterable[Lesson]) -> tuple[PastWork, ...]:
    """The jobs that teach, as rows, oldest first; jobs of one day are ordered by number."""
    taught = [job for job in _works(lessons) if job.rows or job.planned]
    return tuple(
        replace(job, rows=tuple(replace(row, age=len(taught) - 1 - at) for row in job.rows))
        for at, job in enumerate(taught)
    )


def unbelieved(lessons: Iterable[Lesson]) -> tuple[Unbelieved, ...]:
    """The hours that are left out because nobody would believe them, oldest job first."""
    return tuple(one for job in _works(lessons) for one in job.unbelieved)


def _works(lessons: Iterable[Lesson]) -> list[PastWork]:
    days: dict[str, date] = {}
    for lesson in (lessons := list(lessons)):
        days[lesson.job] = max(lesson.day, days.get(lesson.job, lesson.day))
    ordered = sorted(lessons, key=lambda one: (days[one.job], one.job, one.group, one.operation))
    return [_work_of(number, list(rows)) for number, rows in groupby(ordered, lambda one: one.job)]


def at_level(jobs: Iterable[PastWork], level: float, center: float) -> tuple[PastWork, ...]:
    """Work that stands alone, its logarithms told from where the shop stands on the whole.

    The level is put back on every line that is foretold, so that an operation by itself comes out
    at what its own hours say.
    """

    def leveled(row: Observation) -> Observation:
        readings = (replace(one, log=one.log - level + center) for one in row.readings)
        return replace(row, readings=tuple(readings))

    return tuple(replace(job, rows=tuple(map(leveled, job.rows))) for job in jobs)


def _work_of(job: str, lessons: Sequence[Lesson]) -> PastWork:
    if any(one.left_out == TOTAL_ALONE for one in lessons):
        return _as_total(job, lessons)
    known = [one for one in lessons if one.left_out not in _ASIDE and one.is_believed]
    aside = [_as_unbelieved([one]) for one in lessons if not one.is_believed]
    moved = [one for one in known if one.onto]
    rows: list[Observation] = []
    unplanned = 0
    for _, group in groupby((one for one in known if not one.onto), lambda one: one.group):
        bundles, minutes = _bundles(list(group))
        unplanned += minutes
        for bundle in bundles:
            row = _row(job, bundle, _joined(bundle, moved))
            if isinstance(row, Observation):
                rows.append(row)
            elif row:
                aside.append(row)
    return PastWork(job, tuple(rows), unplanned / 60, unbelieved=tuple(aside))


def _as_total(job: str, lessons: Sequence[Lesson]) -> PastWork:
    """A job known by its hours in all: one observation over all the operations it has counts of.

    As with a group, one operation's mark takes the whole observation out.
    """
    counted = [one for one in lessons if one.estimate > 0]
    if not counted or any(one.is_before_mark for one in counted):
        return PastWork(job, ())
    if abs(_log_ratio(lessons, counted)) > MOST:
        return PastWork(
            job, (), unbelieved=(replace(_as_unbelieved(lessons), operations=(), group=""),)
        )
    planned = (
        Planned(one.operation, one.group, float(one.estimate), float(one.helper)) for one in counted
    )
    return PastWork(job, (), sum(one.minutes for one in lessons) / 60, tuple(planned))


def _as_unbelieved(lessons: Sequence[Lesson]) -> Unbelieved:
    return Unbelieved(
        job=lessons[0].job,
        operations=tuple(one.operation for one in lessons),
        group=lessons[0].group,
        hours=to_hours(sum(one.minutes for one in lessons)),
        estimate=sum((one.estimate for one in lessons), Decimal("0.00")),
    )


def _bundles(group: list[Lesson]) -> tuple[list[list[Lesson]], int]:
    """The lines of a group that make a row together, and minutes that had no estimate."""
    unlogged = [one for one in group if one.estimate > 0 and one.minutes <= 0]
    uncounted = [one for one in group if one.estimate <= 0]
    logged = [one for one in group if one.estimate > 0 and one.minutes > 0]
    if not logged and not unlogged:
        return [], sum(one.minutes for one in uncounted)
    if any(one.split for one in group) or (unlogged and (logged or uncounted)):
        return [group], 0
    return [[one] for one in logged], sum(one.minutes for one in uncounted)


def _joined(bundle: Sequence[Lesson], moved: Sequence[Lesson]) -> list[Lesson]:
    """The estimates whose hours stand on a line of the bundle, as the owner said."""
    codes = {one.operation for one in bundle}
    return [one for one in moved if one.onto in codes]


def _row(
    job: str, bundle: Sequence[Lesson], joined: Sequence[Lesson]
) -> Observation | Unbelieved | None:
    """The row of a bundle; none where it says nothing, and what is not believed by name."""
    if any(one.is_before_mark for one in (*bundle, *joined)):
        return None
    worked = [one for one in bundle if one.minutes > 0]
    everything = [one for one in (*bundle, *joined) if one.estimate > 0]
    logged = [one for one in everything if one.minutes > 0 or one.onto]
    if not worked or not everything:
        return None
    is_certain = any(one.split or one.estimate <= 0 for one in bundle)
    ways = [everything] if is_certain or len(logged) == len(everything) else [everything, logged]
    readings = [Reading(_log_ratio(worked, lines), _parts(lines)) for lines in ways]
    believed = tuple(one for one in readings if abs(one.log) <= MOST)
    if not believed:
        return _as_unbelieved([*bundle, *joined])
    minutes = sum(one.minutes for one in worked)
    helped = sum(one.minutes * float(one.helper) for one in worked)
    first = sum(one.minutes for one in worked if one.left_out == FIRST_TIME)
    return Observation(
        job=job,
        estimate=sum(float(one.estimate) for one in everything),
        hours=minutes / 60,
        readings=believed,
        first=first / minutes,
        helper=helped / minutes,
    )


def _log_ratio(worked: Sequence[Lesson], lines: Sequence[Lesson]) -> float:
    minutes = sum(one.minutes for one in worked)
    return log(minutes / 60 / sum(float(one.estimate) for one in lines))


def _parts(lines: Sequence[Lesson]) -> tuple[OperationPart, ...]:
    hours = [float(one.estimate) for one in lines]
    whole = sum(hours)
    return tuple(
        OperationPart(one.operation, one.group, part / whole)
        for one, part in zip(lines, hours, strict=True)
    )


def after_marks(lessons: Iterable[Lesson], marks: Mapping[str, date]) -> list[Lesson]:
    """The lessons, those before a mark of their operation left out with its day."""
    kept = []
    for lesson in lessons:
        mark = marks.get(lesson.operation)
        if mark is not None and lesson.day < mark:
            lesson = replace(lesson, left_out=f"{BEFORE_MARK} of {mark}")
        kept.append(lesson)
    return kept

"""The record of estimates: closed jobs beside the points they were foretold at, and which count.

A job much of whose work has no hours stayed under its points on paper only. Where the lines without
hours of their own are more than a tenth of its estimate it is named and not counted, until the
owner says that they were logged on another line.

Whether the points of past estimates held: the exact binomial test of a share of jobs. Pure.

If a point covers 80 % of jobs, the number that stay under it is binomial. A record speaks against
the point where so few (or so many) would happen in 5 shops of 100 or less; with few jobs it can
hardly speak at all, and says how little. It informs: nothing else is adjusted by it.

Past jobs that were loaded, each foretold from the jobs before it. Pure.
"""

from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import comb

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.closing import late_sums
from ledger.book.questions.income import Mark, estimate_marks
from ledger.book.tables.ground import Job
from ledger.labor.forecast import BAD, SAFE, TYPICAL, Forecast
from ledger.labor.history import history
from ledger.labor.observations import (
    FORGOTTEN,
    NOT_DONE,
    NOT_LOGGED,
    TOTAL_ALONE,
    Lesson,
    Planned,
    past_work,
)
from ledger.measures.duration import to_hours
from ledger.measures.grouped import grouped
from ledger.measures.rounding import half_up

SHARE = 0.80
RARE = 0.05
LEAST_JOBS = 5
"""Below this many jobs a record is only counted."""
NARROW = 0.60
"""The share that a range too narrow might have, to say how soon the record would show it."""
_HALVINGS = 60


def at_most(count: int, jobs: int, share: float) -> float:
    """Binomial P(X ≤ count) for so many jobs, each under its point with probability `share`.

    >>> round(at_most(5, 10, 0.8), 4), round(at_most(27, 40, 0.8), 4)
    (0.0328, 0.0432)
    """
    return sum(
        comb(jobs, k) * share**k * (1 - share) ** (jobs - k) for k in range(min(count, jobs) + 1)
    )


def at_least(count: int, jobs: int, share: float) -> float:
    """Binomial P(X ≥ count) for so many jobs, each with probability `share`."""
    return at_most(jobs - count, jobs, 1 - share)


def too_few(jobs: int) -> int:
    """The critical value of a one-sided binomial test: the largest count that is rare, or −1."""
    return max((k for k in range(jobs + 1) if at_most(k, jobs, SHARE) <= RARE), default=-1)


def exact_interval(count: int, jobs: int, confidence: float = 0.95) -> tuple[float, float]:
    """The shares that a count of jobs does not speak against (Clopper and Pearson, 1934).

    >>> [round(share, 4) for share in exact_interval(3, 20)]
    [0.0321, 0.3789]
    """
    tail = (1 - confidence) / 2
    low = _where(lambda share: at_least(count, jobs, share) >= tail) if count else 0.0
    high = _where(lambda share: at_most(count, jobs, share) <= tail) if count < jobs else 1.0
    return low, high


def _where(holds: Callable[[float], bool]) -> float:
    """The least share for which a condition holds, by halving; it holds for all above it."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if holds(middle):
            high = middle
        else:
            low = middle
    return high


def record_words(under: int, jobs: int) -> list[str]:
    """What a record of the safe point says, in the owner's words; nothing without jobs."""
    if not jobs:
        return []
    sentences = [
        f"{under} of {jobs} closed job{'' if jobs == 1 else 's'} with a safe point stayed under it."
    ]
    if jobs < LEAST_JOBS:
        return sentences
    few, many = at_most(under, jobs, SHARE), at_least(under, jobs, SHARE)
    if few <= RARE:
        sentences.append(
            "The range looks too narrow: if 8 in 10 were true, so few would happen in"
            f" {_of_100(few)} shops of 100."
        )
    elif many <= RARE:
        sentences.append(
            "The range looks too wide: if 8 in 10 were true, so many would happen in"
            f" {_of_100(many)} shops of 100."
        )
    else:
        rare = too_few(jobs)
        power = at_most(rare, jobs, NARROW)
        low, high = exact_interval(under, jobs)
        sentences.append(
            f"Nothing speaks against the range: {rare} or fewer would be rare"
            f" ({_of_100(at_most(rare, jobs, SHARE))} shops in 100). So few jobs say little: they"
            f" go with anything from {low * 100:.0f} to {high * 100:.0f} in 100, and were the"
            f" truth 6 in 10, {jobs} jobs would show it in {power * 100:.0f} shops of 100."
        )
    return sentences


def _of_100(chance: float) -> str:
    return f"{chance * 100:.0f}" if chance >= 0.005 else "fewer than 1"


MOST_UNKNOWN = Fraction(1, 10)
"""The share of a job's estimate that may lack hours for it to count (*common practice*)."""

_WITHOUT = {NOT_LOGGED, NOT_DONE, FORGOTTEN}


class UncountedJob(Struct, frozen=True):
    """A closed job whose hours say too little: hours by the standards of its lines without any."""

    job: str
    without: Decimal
    estimate: Decimal
    is_answered: bool

    @property
    def words(self) -> str:
        """Why it does not count, and what would make it."""
        if not self.estimate:
            return f"{self.job} is not counted beside its safe point: no hours are logged on it."
        sentence = (
            f"{self.job} is not counted beside its safe point: {self.without} of its"
            f" {self.estimate} h by the standards"
        )
        if self.is_answered:
            return f"{sentence} were not done or forgotten."
        return (
            f"{sentence} have no hours. Say what became of each line: benchledger job close"
            f" {self.job} --unlogged LINE=ANSWER"
        )


class HoursRecord(Struct, frozen=True):
    """The closed jobs beside their points, and those of them that are not counted."""

    marks: tuple[Mark, ...] = ()
    uncounted: tuple[UncountedJob, ...] = ()
    late: tuple[tuple[str, Decimal], ...] = ()

    def late_of(self, job: str) -> Decimal:
        """The hours that came to a job after closing, of which its mark knows nothing."""
        return dict(self.late).get(job, Decimal("0.00"))

    def _late_words(self) -> Iterator[tuple[str, str]]:
        for job, hours in self.late:
            yield job, f"{job} stands without the {hours} h that came after it was closed."

    @property
    def counted(self) -> tuple[Mark, ...]:
        """The jobs whose hours can be held against their points."""
        left = {one.job for one in self.uncounted}
        return tuple(mark for mark in self.marks if mark.number not in left)

    @property
    def under_safe(self) -> int:
        """How many of those that count stayed under their safe point."""
        return sum(mark.is_under for mark in self.counted)

    @property
    def words(self) -> list[str]:
        """What the record says, and which jobs are not in it."""
        return [
            *record_words(self.under_safe, len(self.counted)),
            *(one.words for one in self.uncounted),
            *(words for _, words in self._late_words()),
        ]

    def words_of(self, job: str) -> list[str]:
        """What the record says, and of one job whether it is not in it."""
        own = (one.words for one in self.uncounted if one.job == job)
        late = (words for name, words in self._late_words() if name == job)
        return [*record_words(self.under_safe, len(self.counted)), *own, *late]


def hours_record(book: Book) -> HoursRecord:
    """The record of all jobs that are closed now."""
    marks, lessons = tuple(estimate_marks(book)), history(book).lessons
    by_job: dict[str, list[Lesson]] = {mark.number: [] for mark in marks}
    for lesson in lessons:
        if lesson.job in by_job:
            by_job[lesson.job].append(lesson)
    judged = (_uncounted(number, own) for number, own in by_job.items())
    late = _late_hours(book, {mark.number for mark in marks})
    return HoursRecord(marks, tuple(one for one in judged if one is not None), late)


def _late_hours(book: Book, numbers: Container[str]) -> tuple[tuple[str, Decimal], ...]:
    """The hours of everybody that came to some jobs after they were closed, by job."""
    minutes: dict[int, int] = {}
    for row in late_sums(book, date.min, book.today):
        if row.kind == "work":
            minutes[row.job] = minutes.get(row.job, 0) + row.minutes
    jobs = book.rows_of(Job, [key for key, late in minutes.items() if late])
    return tuple((job.number, to_hours(minutes[job.key])) for job in jobs if job.number in numbers)


def _uncounted(job: str, lessons: Iterable[Lesson]) -> UncountedJob | None:
    estimate = without = Decimal("0.00")
    is_answered = True
    for one in lessons:
        estimate += one.estimate
        if one.estimate and not one.minutes and not one.split and one.left_out in _WITHOUT:
            without += one.estimate
            is_answered = is_answered and one.left_out != NOT_LOGGED
    if estimate and Fraction(without) <= MOST_UNKNOWN * Fraction(estimate):
        return None
    return UncountedJob(job, without, estimate, is_answered)


class Replayed(Struct, frozen=True):
    """A past job beside the points that the jobs before it would have given it; hours."""

    job: str
    day: date
    typical: Decimal
    safe: Decimal
    bad: Decimal
    past_jobs: int
    hours: Decimal


def replay(
    lessons: Sequence[Lesson], rework: Mapping[str, float], jobs: Sequence[str]
) -> list[Replayed]:
    """Back-test: each job beside the points that only the jobs before it would have given.

    Hours are work and noted rework; the oldest job comes first.
    """
    by_day = sorted(lessons, key=lambda one: (one.day, one.job))
    by_job = grouped(by_day, lambda lesson: lesson.job)
    results, before = [], list[Lesson]()
    for number, own in by_job.items():
        lines = [
            Planned(one.operation, one.group, float(one.estimate), float(one.helper))
            for one in own if one.estimate > 0
        ]  # fmt: skip
        if number in jobs and lines:
            earlier = past_work(before)
            noted = {job: hours for job, hours in rework.items() if job != number}
            has_rework = number in rework or any(one.left_out == TOTAL_ALONE for one in own)
            spread = Forecast(earlier, noted).hours(lines, has_rework=has_rework)
            typical, safe, bad = (
                half_up(Fraction(spread.point(share)), 2) for share in (TYPICAL, SAFE, BAD)
            )
            worked = Fraction(sum(one.minutes for one in own), 60)
            hours = half_up(worked + Fraction(rework.get(number, 0.0)), 2)
            results.append(Replayed(number, own[0].day, typical, safe, bad, len(earlier), hours))
        before += own
    return results

"""What the shop's own hours teach: a ratio for each operation, and how sure an estimate is. Pure.

    ratio = (Σ actual + 1 h) ÷ (Σ estimate + 1 h)

over the jobs that were closed or loaded, where an estimate is the count as built times the
standard in force, never a figure that carried a ratio or factor already. The one hour of prior
keeps a single bad day from rewriting a standard. Rework, change orders and lines done for the first
time teach nothing, nor does what was done before a mark ("new machine on that day"). Minutes logged
on a whole group were split by the estimate's shares, so they teach only the group's ratio, which
stands in for operations that have no hours of their own.

The range of a job's hours comes from log(actual ÷ predicted) of those jobs, each predicted without
itself (`ledger.labor.statistics`). With no history the 80 % point stands 20.0 % above.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import exp, log

from ledger.labor.forecast import Forecast
from ledger.labor.observations import BEFORE_MARK, Lesson, past_work
from ledger.labor.statistics import Belief, learn
from ledger.measures.rounding import half_up

PRIOR_HOURS = 1
PRIOR = Belief(center=0.0, weight=1.0, freedom=2, variance=0.121548**2)
"""Before any job: no bias, and the 80 % point 20.0 % above the prediction."""


@dataclass(frozen=True, slots=True)
class Learned:
    """A learned ratio: `raw` without the prior hour, how many jobs and hours stand behind it."""

    ratio: Fraction
    raw: Fraction | None
    jobs: int
    estimate: Decimal
    minutes: int


@dataclass(frozen=True, slots=True)
class Residual:
    """One past job beside the hours that the other jobs would have predicted for it."""

    job: str
    day: date
    predicted: Decimal
    minutes: int

    @property
    def log(self) -> float:
        """The logarithm of actual ÷ predicted."""
        return log(Fraction(self.minutes, 60) / Fraction(self.predicted))


@dataclass(frozen=True, slots=True)
class HoursRange:
    """Points that a job's hours stay under one time in two, four in five, nineteen in twenty."""

    p50: Decimal
    p80: Decimal
    p95: Decimal
    jobs: int


def learned_ratio(lessons: Sequence[Lesson]) -> Learned:
    """The ratio that these lessons teach; with none it is 1."""
    estimate = sum((lesson.estimate for lesson in lessons), Decimal("0.00"))
    minutes = sum(lesson.minutes for lesson in lessons)
    actual = Fraction(minutes, 60)
    return Learned(
        ratio=(actual + PRIOR_HOURS) / (Fraction(estimate) + PRIOR_HOURS),
        raw=actual / Fraction(estimate) if estimate else None,
        jobs=len({lesson.job for lesson in lessons}),
        estimate=estimate,
        minutes=minutes,
    )


class History:
    """All lessons, those before a mark set aside, and the ratios they teach."""

    def __init__(self, lessons: Sequence[Lesson], marks: Mapping[str, date] | None = None) -> None:
        self.marks = dict(marks or {})
        self.lessons = [self._after_mark(lesson) for lesson in lessons]
        self._taught: dict[str, list[Lesson]] = {}
        for lesson in self.lessons:
            if not lesson.left_out:
                teaches = lesson.group if lesson.split else lesson.operation
                self._taught.setdefault(teaches, []).append(lesson)

    @cached_property
    def forecast(self) -> Forecast:
        """What all the lessons foretell of the next job's hours."""
        return Forecast(past_work(self.lessons))

    def _after_mark(self, lesson: Lesson) -> Lesson:
        mark = self.marks.get(lesson.operation)
        if lesson.left_out or mark is None or lesson.day >= mark:
            return lesson
        return replace(lesson, left_out=f"{BEFORE_MARK} of {mark}")

    def learned(self, name: str, without: str = "") -> Learned:
        """What is learned of an operation (its code) or of a group that was logged as a whole.

        `without` leaves one job out.
        """
        taught = self._taught.get(name, ())
        return learned_ratio([lesson for lesson in taught if lesson.job != without])

    def ratio(self, operation: str, group: str, without: str = "") -> Fraction | None:
        """The ratio for an estimate: the operation's own, else its group's; None without either."""
        for name in (operation, group):
            learned = self.learned(name, without)
            if learned.jobs:
                return learned.ratio
        return None

    def residuals(self) -> list[Residual]:
        """Each past job predicted without itself, line by line as an estimate is, oldest first."""
        by_job: dict[str, list[Lesson]] = {}
        for lesson in self.lessons:
            if not lesson.left_out:
                by_job.setdefault(lesson.job, []).append(lesson)
        found = [self._residual(job, lessons) for job, lessons in by_job.items()]
        sound = [one for one in found if one.predicted and one.minutes]
        return sorted(sound, key=lambda one: (one.day, one.job))

    def _residual(self, job: str, lessons: Sequence[Lesson]) -> Residual:
        predicted = Decimal("0.00")
        for lesson in lessons:
            ratio = self.ratio(lesson.operation, lesson.group, without=job)
            predicted += by_ratio(lesson.estimate, ratio)
        day = max(lesson.day for lesson in lessons)
        return Residual(job, day, predicted, sum(lesson.minutes for lesson in lessons))


def by_ratio(hours: Decimal, ratio: Fraction | None) -> Decimal:
    """Hours times a learned ratio, half-up to 0.01 h; without a ratio the hours themselves."""
    return hours if ratio is None else half_up(Fraction(hours) * ratio, 2)


def factors(residuals: Sequence[Residual], prior: Belief = PRIOR) -> tuple[float, float, float]:
    """The 50, 80 and 95 % points as multiples of a prediction."""
    belief = learn(prior, [residual.log for residual in residuals])
    return exp(belief.point(0.50)), exp(belief.point(0.80)), exp(belief.point(0.95))


def predict(hours: Decimal, residuals: Sequence[Residual], prior: Belief = PRIOR) -> HoursRange:
    """The range of a job predicted at so many hours, given how earlier predictions fared."""
    p50, p80, p95 = (half_up(Fraction(hours) * Fraction(f), 2) for f in factors(residuals, prior))
    return HoursRange(p50, p80, p95, len(residuals))

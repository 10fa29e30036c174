"""What the shop's own hours teach: raw ratios, and the forecast of the next job's hours. Pure.

    raw ratio of an operation = Σ actual ÷ Σ estimate

over the jobs that were closed or loaded, where an estimate is the count as built times the standard
in force, never a figure that carried a ratio already. Lines done for the first time, minutes of a
whole group, and what was done before a mark ("new machine on that day") are no ratio of their
operation; what they teach all the same, and how much of a raw ratio is believed, is the forecast's
(`ledger.labor.forecast`).
"""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import exp

from msgspec import Struct

from ledger.labor.effects import FIRST_KEY, Seen, effects_of
from ledger.labor.forecast import Forecast
from ledger.labor.level import CENTER
from ledger.labor.observations import (
    ALONE,
    NOT_BELIEVED,
    TOTAL_ALONE,
    Lesson,
    Planned,
    Unbelieved,
    after_marks,
    at_level,
    past_work,
    unbelieved,
)
from ledger.measures.rounding import half_up
from ledger.measures.values import replace


class Learned(Struct, frozen=True):
    """An operation's ratio of actual to standard hours, with the jobs and hours behind it."""

    raw: Fraction | None
    jobs: int
    estimate: Decimal
    minutes: int


def learned_ratio(lessons: Sequence[Lesson]) -> Learned:
    """Actual ÷ standard hours over these lessons (a ratio of sums); None without lessons."""
    estimate = sum((lesson.estimate for lesson in lessons), Decimal("0.00"))
    minutes = sum(lesson.minutes for lesson in lessons)
    return Learned(
        raw=Fraction(minutes, 60) / Fraction(estimate) if estimate else None,
        jobs=len({lesson.job for lesson in lessons}),
        estimate=estimate,
        minutes=minutes,
    )


class History:
    """All lessons, with the reason of each that is no ratio of its operation, and their forecast.

    `rework` has the hours of rework of each job that noted any.
    """

    def __init__(
        self,
        lessons: Sequence[Lesson],
        marks: Mapping[str, date] | None = None,
        rework: Mapping[str, float] | None = None,
    ) -> None:
        self.marks = dict(marks or {})
        self.rework = dict(rework or {})
        self.lessons = [
            one if one.is_believed else replace(one, left_out=NOT_BELIEVED)
            for one in after_marks(lessons, self.marks)
        ]
        self._taught: dict[str, list[Lesson]] = {}
        moved: dict[tuple[str, str], Decimal] = {}  # estimates whose hours stand on a line
        for one in self.lessons:
            if one.onto:
                key = one.job, one.onto
                moved[key] = moved.get(key, Decimal("0.00")) + one.estimate
        for lesson in self.lessons:
            if not lesson.left_out and not lesson.split:
                more = moved.get((lesson.job, lesson.operation), Decimal("0.00"))
                own = replace(lesson, estimate=lesson.estimate + more)
                self._taught.setdefault(lesson.operation, []).append(own)

    @cached_property
    def forecast(self) -> Forecast:
        """What all the lessons foretell of the next job's hours."""
        by_total = {  # nobody knows which part of them the repair took
            one.job
            for one in self.lessons
            if one.left_out == TOTAL_ALONE and one.operation in ALONE
        }
        of_pieces: list[Lesson] = []
        of_repairs: list[Lesson] = []
        for one in self.lessons:
            if (one.onto or one.operation) in ALONE:
                of_repairs.append(replace(one, group=one.operation))
            else:
                of_pieces.append(one)
        jobs = past_work(one for one in of_pieces if one.job not in by_total)
        alone = past_work(one for one in of_repairs if one.job not in by_total)
        shop = Forecast(jobs, self.rework)
        if not alone:
            return shop
        effects = effects_of((*jobs, *at_level(alone, shop.level, CENTER)))
        return Forecast(jobs, self.rework, effects, alone)

    @cached_property
    def unbelieved(self) -> tuple[Unbelieved, ...]:
        """The hours that teach nothing because they are too far from their estimate."""
        return unbelieved(self.lessons)

    def learned(self, operation: str) -> Learned:
        """The raw ratio of an operation's own hours."""
        return learned_ratio(self._taught.get(operation, ()))

    def used_ratio(self, operation: str, group: str) -> Fraction:
        """What an hour of the standard counts as where the shop stands now, to 0.0001.

        In a job the lines are fitted to the typical point of their sum, which moves it a little.
        """
        planned = self._usual(operation, group)
        mean, _, _ = self.forecast.line(planned)
        return Fraction(half_up(Fraction(mean / planned.hours * exp(self.forecast.level)), 4))

    def published(self, operation: str, group: str) -> Fraction:
        """How much of that is still a published figure, to 0.0001."""
        _, share = self.forecast.behind([self._usual(operation, group)])
        return Fraction(half_up(Fraction(share), 4))

    def _usual(self, operation: str, group: str) -> Planned:
        """An operation of as many hours as it has on a job, one hour where that is not known."""
        own = self._taught.get(operation, ())
        hours = float(self.learned(operation).estimate) / len(own) if own else 1.0
        return Planned(operation, group, hours)

    @property
    def first_time(self) -> Fraction:
        """What the first of a kind takes beside the next ones, to 0.01, as all of them taught."""
        effects = self.forecast.effects
        mean = effects.mean[effects.index[FIRST_KEY]]
        return Fraction(half_up(Fraction(exp(mean)), 2))

    def doubtful(self, operation: str) -> list[Seen]:
        """The rows in which the hours of the operation may stand on a neighbor, or a neighbor's."""
        return [
            one
            for rows in self.forecast.effects.seen
            for one in rows
            if one.on_neighbor is not None
            and operation in {part.operation for part in one.row.readings[0].parts}
        ]

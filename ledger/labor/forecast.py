"""The hours of the next job as a distribution: typical, safe, bad case, and any chance. Pure.

The sum of log-normal lines is matched by one log-normal (Fenton and Wilkinson, from memory), around
each point of the grid of levels stands Student's t with eight degrees, and the mixture gives every
point by Newton's method. Rework is a learned share of the work, with a spread of its own. No random
numbers: the same past gives the same figures to the bit.

What the price must pay for is work and rework; change orders are paid for on their own.
"""

from collections.abc import Mapping, Sequence
from math import atan, cos, exp, log, log1p, sin, sqrt
from operator import mul

from msgspec import Struct

from ledger.labor.effects import GROUP, Effects, effects_of, line_variance
from ledger.labor.level import FREEDOM, Level, levels, shares
from ledger.labor.observations import OperationPart, PastWork, Planned, taught_group

REWORK = (0.03, 0.04, 3.0)
"""Share of the work before any job, its spread, and how many jobs that counts for (*common
practice, no source*: 2 to 20 % of contracts in construction, none published for furniture)."""

CHANGING = 0.05
"""The mean speed of the level from which recent jobs count most, and are said to."""

MOSTLY = 0.5
"""The part of a job's standard hours that its own kind of work must have taught, for work that
teaches itself only to stand behind all of them (*common practice, no source*)."""

TYPICAL, SAFE, BAD = 0.50, 0.80, 0.95
_STEPS, _CLOSE = 100, 1e-13
"""Newton's method, halving where the tangent leaves the bracket or is slow: about 8 steps."""
_DENSITY_AT_0 = 35 / (64 * sqrt(2))


class Distribution(Struct, frozen=True):
    """A mixture of Student's t on the logarithm of hours: weight, center, scale of each part."""

    parts: tuple[tuple[float, float, float], ...]

    def chance_under(self, hours: float) -> float:
        """The chance that a job takes no more than these hours."""
        return self._under(log(hours)) if hours > 0 else 0.0

    def point(self, share: float) -> float:
        """The hours that so large a share of such jobs stays under."""
        low = min(center - 30 * scale for _, center, scale in self.parts)
        high = max(center + 30 * scale for _, center, scale in self.parts)
        at, step = sum(weight * center for weight, center, _ in self.parts), high - low
        for _ in range(_STEPS):
            beyond = self._under(at) - share
            low, high = (at, high) if beyond < 0 else (low, at)
            before, step = step, -beyond / self._density(at)
            if not low < at + step < high or abs(step) > abs(before) / 2:
                step = (low + high) / 2 - at
            at += step
            if abs(step) < _CLOSE:
                break
        return exp(at)

    def _under(self, logarithm: float) -> float:
        return sum(
            weight * student_under((logarithm - center) / scale)
            for weight, center, scale in self.parts
        )

    def _density(self, logarithm: float) -> float:
        return sum(
            weight * student_density((logarithm - center) / scale) / scale
            for weight, center, scale in self.parts
        )


def student_density(value: float) -> float:
    """The density of T with eight degrees of freedom: the slope of `student_under`.

    >>> round(student_density(0.0), 6), round(student_density(1.859548), 6)
    (0.386699, 0.07679)
    """
    return _DENSITY_AT_0 * exp(-(FREEDOM + 1) / 2 * log1p(value * value / FREEDOM))


def student_under(value: float) -> float:
    """P(T ≤ value) with eight degrees of freedom (Abramowitz and Stegun 26.7.4).

    >>> round(student_under(0.888890), 6), round(student_under(1.859548), 6), student_under(0.0)
    (0.8, 0.95, 0.5)
    """
    angle = atan(value / sqrt(FREEDOM))
    square = cos(angle) ** 2
    return 0.5 + 0.5 * sin(angle) * (1 + square / 2 * (1 + 3 / 4 * square * (1 + 5 / 6 * square)))


class Forecast:
    """The predictive model of a job's hours: operation effects, the shop's level, rework."""

    def __init__(
        self,
        jobs: Sequence[PastWork],
        rework: Mapping[str, float] | None = None,
        effects: Effects | None = None,
        alone: Sequence[PastWork] = (),
    ) -> None:
        """`rework` has the hours of rework of each job that noted any or noted that none was.

        `alone` is work that teaches itself only, which `effects` have learned from too.
        """
        self.jobs = tuple(jobs)
        self.alone = tuple(alone)
        self.rework = dict(rework or {})
        self.rework_mean, self.rework_variance = _rework(jobs, self.rework)
        self.effects = effects_of(jobs) if effects is None else effects
        self._totals = [self._total(at) for at in range(len(jobs))]
        self.levels: tuple[Level, ...] = levels([(r, noise) for r, noise, _ in self._totals])
        self.shares = shares(self.levels)

    @property
    def level(self) -> float:
        """Where the shop stands on the whole: the mean of the grid's levels."""
        return sum(one.weight * one.mean for one in self.levels)

    @property
    def published(self) -> float:
        """How much of the level is still the published figure and not the shop's own jobs."""
        return 1 - sum(self.shares)

    def behind(self, lines: Sequence[Planned]) -> tuple[int, float]:
        """How many past jobs stand behind these lines, and how much is still the published figure.

        Work that teaches itself only stands behind a job that is such work for the most part.
        """
        repairs = {job.job: {part.operation for row in job.rows for part in row.readings[0].parts}
                   for job in self.alone}  # fmt: skip
        taught = set[str]().union(*repairs.values()) & {one.operation for one in lines}
        whole = sum(one.hours for one in lines)
        own = {one: one.hours / whole for one in lines if one.operation in taught}
        if not own or sum(own.values()) < MOSTLY:
            return len(self.jobs), self.published
        named = {job.job for job in self.jobs} | {job for job in repairs if repairs[job] & taught}
        learned = sum(share * (1 - self._untaught(one)) for one, share in own.items())
        return len(named), self.published * (1 - learned)

    def _untaught(self, planned: Planned) -> float:
        """How much weight an operation's own hours leave to where the shop stands on the whole."""
        _, _, columns = self.line(planned)
        spreads = self.effects.spreads
        return min(1.0, self._uncertain(dict(columns)) / (spreads.own + spreads.group))

    @property
    def is_changing(self) -> bool:
        """Whether the jobs tell that the shop gets faster or slower."""
        return bool(self.jobs) and sum(one.weight * one.speed for one in self.levels) > CHANGING

    def _total(self, at: int) -> tuple[float, float, Mapping[int, float]]:
        """A past job: log(actual ÷ what its operations say), its variance, its mean columns."""
        job, noise = self.jobs[at], self.effects.spreads.noise
        if job.planned:
            center, variance, planned = self._sum(job.planned)
            if job.job not in self.rework:  # then it is in the total
                center, variance = self._reworked(center, variance)
            return log(job.unplanned) - center, variance, planned
        actual, expected, columns = job.unplanned, [], []
        for one in self.effects.seen[at]:
            actual += one.row.hours
            estimate = one.row.hours / exp(one.log)
            variance = one.variance(noise)
            expected.append(
                (estimate * exp(self.effects.value(one.columns) + variance / 2), variance)
            )
            columns.append(one.columns)
        whole = sum(hours for hours, _ in expected)
        variance = sum((hours / whole) ** 2 * own for hours, own in expected)
        mean: dict[int, float] = {}
        for (hours, _), line in zip(expected, columns, strict=True):
            for column, x in line:
                mean[column] = mean.get(column, 0.0) + hours / whole * x
        return log(actual / whole) + variance / 2, variance, mean

    def line(self, planned: Planned) -> tuple[float, float, tuple[tuple[int, float], ...]]:
        """A line's mean hours at level 0, its own variance and its columns."""
        effects = self.effects
        group = taught_group(planned.operation, planned.group)
        part = OperationPart(planned.operation, group, 1.0)
        variance = line_variance(effects.spreads.noise, (part,), planned.hours)
        wider = variance
        if ("operation", planned.operation) not in effects.index:
            variance += effects.spreads.own
            wider = variance
            if ("group", group) not in effects.index:
                wider += effects.spreads.group
        columns = effects.columns((part,), planned.helper)
        return planned.hours * exp(effects.value(columns) + wider / 2), variance, columns

    def hours(self, lines: Sequence[Planned], *, has_rework: bool = True) -> Distribution:
        """The distribution of the hours of these lines together, with rework or without."""
        center, variance, columns = self._sum(lines)
        # An effect that is wrong here was as wrong in the past jobs, and there it moved the level
        # the other way: so much of its uncertainty cancels.
        for share, (_, _, past) in zip(self.shares, self._totals, strict=True):
            for column, x in past.items():
                columns[column] = columns.get(column, 0.0) - share * x
        variance += self._uncertain(columns)
        if has_rework:
            center, variance = self._reworked(center, variance)
        return Distribution(
            tuple(
                (one.weight, center + one.mean, sqrt(variance + one.variance + one.spread))
                for one in self.levels
            )
        )

    def _sum(self, lines: Sequence[Planned]) -> tuple[float, float, dict[int, float]]:
        """The lines together at level 0: the logarithm's center, its own variance, its columns."""
        estimates = [self.line(one) for one in lines]
        whole = sum(mean for mean, _, _ in estimates)
        noise = sum((mean / whole) ** 2 * variance for mean, variance, _ in estimates)
        fresh: dict[str, float] = {}
        combined: dict[int, float] = {}
        for planned, (mean, _, columns) in zip(lines, estimates, strict=True):
            group = taught_group(planned.operation, planned.group)
            if ("group", group) not in self.effects.index:
                fresh[group] = fresh.get(group, 0.0) + mean / whole
            for column, x in columns:
                combined[column] = combined.get(column, 0.0) + mean / whole * x
        # a group that no job taught is off by the same for all its lines: weights add up first
        noise += GROUP * sum(weight**2 for weight in fresh.values())
        return log(whole) - noise / 2, noise, combined

    def _reworked(self, center: float, variance: float) -> tuple[float, float]:
        """Hours of work as hours of work and rework."""
        own = self.rework_variance
        return center + log1p(self.rework_mean) - own / 2, variance + own

    def _uncertain(self, columns: Mapping[int, float]) -> float:
        dense = [columns.get(at, 0.0) for at in range(len(self.effects.index))]
        total = 0.0
        for at, x in columns.items():
            total += x * sum(map(mul, self.effects.covariance[at], dense))
        return total


def _rework(jobs: Sequence[PastWork], noted: Mapping[str, float]) -> tuple[float, float]:
    """The mean share of rework and its variance, which log(1 + share) has nearly too."""
    mean, spread, weight = REWORK
    first, second, whole = weight * mean, weight * (mean**2 + spread**2), weight
    for job in jobs:
        if job.planned or job.job not in noted:
            continue
        work = sum(row.hours for row in job.rows) + job.unplanned
        share = min(1.0, noted[job.job] / work)
        first += share
        second += share**2
        whole += 1
    return first / whole, second / whole - (first / whole) ** 2

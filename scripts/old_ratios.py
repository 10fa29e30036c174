"""The method that was replaced, kept for the bench alone: ratios with one hour of prior.

A ratio per operation, (Σ actual + 1 h) ÷ (Σ estimate + 1 h); the range from log(actual ÷ predicted)
of the past jobs, each predicted without itself, by a normal belief of unknown mean and variance
(Gelman et al., *Bayesian Data Analysis*, 3rd ed., §3.3, from memory).
"""

from collections.abc import Sequence
from math import cos, exp, log, pi, sin, sqrt, tan

from ledger.labor.observations import Lesson

PRIOR_VARIANCE = 0.121548**2
"""With two degrees of freedom: before any job the 80 % point 20 % above the prediction."""


class OldRatios:
    """What the lessons taught by the old method, and the points it gave."""

    def __init__(self, lessons: Sequence[Lesson]) -> None:
        self.jobs: dict[str, list[Lesson]] = {}
        self.sums: dict[str, tuple[float, float]] = {}
        self.by_job: dict[tuple[str, str], tuple[float, float]] = {}
        for one in lessons:
            if one.left_out:
                continue
            self.jobs.setdefault(one.job, []).append(one)
            name = one.group if one.split else one.operation
            pair = float(one.estimate), one.minutes / 60
            self.sums[name] = _plus(self.sums.get(name), pair)
            self.by_job[name, one.job] = _plus(self.by_job.get((name, one.job)), pair)

    def ratio(self, operation: str, group: str, without: str = "") -> float:
        """The ratio of an operation, else of its group, else 1; one job may be left out."""
        for name in (operation, group):
            whole = self.sums.get(name)
            mine = self.by_job.get((name, without), (0.0, 0.0))
            if whole and whole[0] - mine[0] > 1e-9:
                return (whole[1] - mine[1] + 1) / (whole[0] - mine[0] + 1)
        return 1.0

    def points(self, job: Sequence[Lesson]) -> tuple[float, float, float]:
        """The 50, 80 and 95 % points of a job's hours."""
        predicted = sum(float(one.estimate) * self.ratio(one.operation, one.group) for one in job)
        residuals = []
        for number, lines in self.jobs.items():
            said = sum(
                float(one.estimate) * self.ratio(one.operation, one.group, number) for one in lines
            )
            taken = sum(one.minutes for one in lines) / 60
            if said and taken:
                residuals.append(log(taken / said))
        center, scale, freedom = _belief(residuals)
        p50, p80, p95 = (
            predicted * exp(center + scale * student_t(share, freedom))
            for share in (0.50, 0.80, 0.95)
        )
        return p50, p80, p95


def _plus(pair: tuple[float, float] | None, more: tuple[float, float]) -> tuple[float, float]:
    return more if pair is None else (pair[0] + more[0], pair[1] + more[1])


def _belief(values: Sequence[float]) -> tuple[float, float, int]:
    """Center, scale and degrees of the next value: conjugate, prior mean 0, weight 1, freedom 2."""
    count = len(values)
    if not count:
        return 0.0, sqrt(PRIOR_VARIANCE * 2), 2
    mean = sum(values) / count
    squares = sum((value - mean) ** 2 for value in values) + count * mean**2 / (1 + count)
    variance = (2 * PRIOR_VARIANCE + squares) / (2 + count)
    return count * mean / (1 + count), sqrt(variance * (1 + 1 / (1 + count))), 2 + count


def student_t(share: float, freedom: int) -> float:
    """The quantile of Student's t from one half up (Abramowitz and Stegun 26.7.3 and 26.7.4)."""
    low, high = 0.0, pi / 2
    for _ in range(50):
        middle = (low + high) / 2
        if _within(middle, freedom) < 2 * share - 1:
            low = middle
        else:
            high = middle
    return sqrt(freedom) * tan(low)


def _within(angle: float, freedom: int) -> float:
    sine, cosine = sin(angle), cos(angle)
    is_odd = freedom % 2 == 1
    term = cosine if is_odd else 1.0
    total = term if freedom > 1 else 0.0
    for step in range(2 if is_odd else 1, freedom - 2, 2):
        term *= step / (step + 1) * cosine**2
        total += term
    return 2 / pi * (angle + sine * total) if is_odd else sine * total

"""A normal belief about log(actual ÷ predicted), and the Student-t points that follow. Pure.

Unknown mean and variance, conjugate prior (Gelman et al., *Bayesian Data Analysis*, 3rd ed., §3.3,
from memory). With n observations of mean ȳ and squared deviations S = Σ(y − ȳ)²:

    κₙ = κ₀ + n                νₙ = ν₀ + n              μₙ = (κ₀μ₀ + nȳ) ÷ κₙ
    νₙσₙ² = ν₀σ₀² + S + κ₀n(ȳ − μ₀)² ÷ κₙ
    the next observation ~ t with νₙ degrees, center μₙ, scale² σₙ²(1 + 1 ÷ κₙ)

One observation widens the range as readily as it narrows it; none gives the prior.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin, sqrt, tan

_HALVINGS = 100


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of a normal quantity: center μ, its weight κ, freedom ν, variance σ²."""

    center: float
    weight: float
    freedom: int
    variance: float

    def point(self, share: float) -> float:
        """The value that the next observation stays under with that probability."""
        scale = sqrt(self.variance * (1 + 1 / self.weight))
        return self.center + scale * student_t(share, self.freedom)


NOTHING = Belief(center=0.0, weight=0.0, freedom=-1, variance=0.0)
"""The flat prior: n observations give t with n − 1 degrees around their mean."""


def learn(prior: Belief, observations: Sequence[float]) -> Belief:
    """The belief after the observations; without any it is the prior."""
    count = len(observations)
    if count == 0:
        return prior
    mean = sum(observations) / count
    squares = sum((value - mean) ** 2 for value in observations)
    weight = prior.weight + count
    freedom = prior.freedom + count
    moved = prior.weight * count * (mean - prior.center) ** 2 / weight
    return Belief(
        center=(prior.weight * prior.center + count * mean) / weight,
        weight=weight,
        freedom=freedom,
        variance=(prior.freedom * prior.variance + squares + moved) / freedom,
    )


def student_t(share: float, freedom: int) -> float:
    """The quantile of Student's t: P(T ≤ t) = share, for a whole number of degrees.

    With θ = atan(t ÷ √ν) the distribution is a finite sum of sines and cosines (Abramowitz and
    Stegun 26.7.3 and 26.7.4), growing in θ: halving the interval finds it.

    >>> round(student_t(0.8, 2), 6), round(student_t(0.975, 14), 6), student_t(0.5, 3)
    (1.06066, 2.144787, 0.0)
    """
    if not 0 < share < 1 or freedom < 1:
        raise ValueError(f"no such point: share {share}, {freedom} degrees")
    if share < 0.5:
        return -student_t(1 - share, freedom)
    low, high, middle = 0.0, pi / 2, 0.0
    for _ in range(_HALVINGS):
        if _within(middle, freedom) < 2 * share - 1:
            low = middle
        else:
            high = middle
        middle = (low + high) / 2
    return sqrt(freedom) * tan(low)


def _within(angle: float, freedom: int) -> float:
    """P(|T| < √ν tan θ)."""
    sine, cosine = sin(angle), cos(angle)
    is_odd = freedom % 2 == 1
    term = cosine if is_odd else 1.0
    total = term if freedom > 1 else 0.0
    for step in range(2 if is_odd else 1, freedom - 2, 2):
        term *= step / (step + 1) * cosine**2
        total += term
    return 2 / pi * (angle + sine * total) if is_odd else sine * total

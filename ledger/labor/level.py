"""Where the shop stands now: a local-level filter over the totals of its past jobs. Pure.

Each past job gives r = log(actual ÷ what its operations say) with a known variance. The level m
that they share may move from job to job as a random walk. Neither the spread of jobs nor the speed
of the walk is known: a grid of both is run side by side, each weighed by how well it foresaw the
jobs (Durbin and Koopman, *Time Series Analysis by State Space Methods*, 2nd ed., §2.2). Student's t
with eight degrees stands for the noise, so that one odd job moves the level less.
"""

from collections.abc import Sequence
from math import exp, log

from msgspec import Struct

FREEDOM = 8

CENTER = 0.133122
"""ln 1.20 − ½(0.20² + 0.10² + 0.22²): with it the *median total* is 1.20 times the estimate, which
published studies of people's own estimates found before any correction (Halkjelsvik and Jørgensen,
*Time Predictions*, 2018, doi 10.1007/978-3-319-74953-2: larger projects overran by a median of
about 20 %; software work and whole projects, not this shop's minutes a piece)."""
VARIANCE = 0.18**2
"""Of the level before any job: the shop's own habit, how far it may lie from the published one."""

SPREADS = ((0.04, 0.20), (0.07, 0.30), (0.11, 0.25), (0.17, 0.15), (0.26, 0.10))
"""Spread of one job around the level, and how likely each is before any job."""
SPEEDS = ((0.0, 0.40), (0.02, 0.20), (0.05, 0.25), (0.12, 0.15))
"""Spread of the level's step from one job to the next, and how likely each is."""


class Level(Struct, frozen=True):
    """One point of the grid after all jobs: its weight, the level and its variance.

    `spread` is the variance of one job around the level; `gains` how far each job moved it.
    """

    weight: float
    mean: float
    variance: float
    spread: float
    speed: float
    gains: tuple[float, ...] = ()


def filtered(
    observations: Sequence[tuple[float, float]],
    *,
    mean: float,
    variance: float,
    spread: float,
    step: float,
    freedom: float = FREEDOM,
) -> tuple[Level, float]:
    """Filter a local-level model (random walk plus noise): the level and the log likelihood.

    An observation is r = log(actual ÷ estimate) with its variance, the oldest first.

    `spread` and `step` are variances. The noise is Student's t; with ever more degrees of freedom
    it is the plain Kalman filter.
    """
    gains = []
    likelihood = 0.0
    for at, (value, noise) in enumerate(observations):
        variance += step if at else 0.0
        own = spread + noise
        whole = variance + own
        off = value - mean
        surprise = off * off / whole
        likelihood -= 0.5 * log(whole) + (freedom + 1) / 2 * log(1 + surprise / freedom)
        own /= min(1.0, (freedom + 1) / (freedom + surprise))
        gain = variance / (variance + own)
        mean += gain * off
        variance *= 1 - gain
        gains.append(gain)
    variance += step if observations else 0.0
    return Level(1.0, mean, variance, spread, step**0.5, tuple(gains)), likelihood


def levels(observations: Sequence[tuple[float, float]]) -> tuple[Level, ...]:
    """Posterior weights over a grid of job spreads and speeds of change; they add up to one."""
    path = []
    for spread, likely in SPREADS:
        for speed, chance in SPEEDS:
            level, likelihood = filtered(
                observations, mean=CENTER, variance=VARIANCE, spread=spread**2, step=speed**2
            )
            path.append((level, log(likely * chance) + likelihood))
    best = max(weight for _, weight in path)
    weights = [exp(weight - best) for _, weight in path]
    whole = sum(weights)
    return tuple(
        Level(weight / whole, one.mean, one.variance, one.spread, speed, one.gains)
        for (one, _), weight, speed in zip(
            path, weights, [speed for _ in SPREADS for speed, _ in SPEEDS], strict=True
        )
    )


def shares(grid: Sequence[Level]) -> tuple[float, ...]:
    """How much of the level each job is, oldest first; what is missing to one is the prior's."""
    jobs = len(grid[0].gains)
    weights = [0.0] * jobs
    for level in grid:
        left = level.weight
        for at in reversed(range(jobs)):
            weights[at] += left * level.gains[at]
            left *= 1 - level.gains[at]
    return tuple(weights)

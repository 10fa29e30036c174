"""Whether the points of past estimates held: the exact binomial test of a share of jobs. Pure.

If a point covers 80 % of jobs, the number that stay under it is binomial. A record speaks against
the point where so few (or so many) would happen in 5 shops of 100 or less; with few jobs it can
hardly speak at all, and says how little. It informs: nothing else is adjusted by it.
"""

from collections.abc import Callable
from math import comb

SHARE = 0.80
RARE = 0.05
LEAST_JOBS = 5
"""Below this many jobs a record is only counted."""
NARROW = 0.60
"""The share that a range too narrow might have, to say how soon the record would show it."""
_HALVINGS = 60


def at_most(count: int, jobs: int, share: float) -> float:
    """P(X ≤ count) of so many jobs, each under with that share.

    >>> round(at_most(5, 10, 0.8), 4), round(at_most(27, 40, 0.8), 4)
    (0.0328, 0.0432)
    """
    return sum(
        comb(jobs, k) * share**k * (1 - share) ** (jobs - k) for k in range(min(count, jobs) + 1)
    )


def at_least(count: int, jobs: int, share: float) -> float:
    """The chance that at least so many of the jobs come out so: P(X ≥ count)."""
    return at_most(jobs - count, jobs, 1 - share)


def too_few(jobs: int) -> int:
    """The largest count that would be rare if the share were true; −1 where none would."""
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
    """The share from which something holds."""
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
        f"{under} of {jobs} closed job{'' if jobs == 1 else 's'} stayed under the safe point."
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

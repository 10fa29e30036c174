"""Whole minutes divided among operations, so that they always add up again. Pure."""

from collections.abc import Mapping
from fractions import Fraction


def split_minutes[K](minutes: int, weights: Mapping[K, Fraction]) -> dict[K, int]:
    """Divide minutes in proportion to the weights, by largest remainder; parts of 0 are left out.

    >>> split_minutes(100, {"SND": Fraction(2), "SPR": Fraction(1), "SBC": Fraction(0)})
    {'SND': 67, 'SPR': 33}
    """
    total = sum(weights.values())
    exact = {key: minutes * Fraction(weight) / total for key, weight in weights.items()}
    parts = {key: int(part) for key, part in exact.items()}
    left = minutes - sum(parts.values())
    nearest = sorted(exact, key=lambda key: parts[key] - exact[key])  # stable: earlier keys first
    for key in nearest[:left]:
        parts[key] += 1
    return {key: part for key, part in parts.items() if part}

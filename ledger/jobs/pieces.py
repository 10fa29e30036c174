"""Several pieces alike from one design: set-ups and office once, the rest so many times. Pure."""

from collections.abc import Mapping
from fractions import Fraction

from ledger.designs.built import Build, BuiltCount
from ledger.measures.money import Money
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.values import replace

ONCE = frozenset({
    "part_lines", "meetings", "jobs", "service_jobs", "trips", "visits", "sessions",
    "hand_sessions", "delivery", "tenon_sizes", "frame_sizes",
})  # fmt: skip
"""Drivers of work that is done once for all pieces: drawing, meeting, driving, set-ups by size."""

MOST_LESS = Fraction(30, 100)
"""A repeated piece takes at most so much less than the first: common practice, no source."""


def repeat_factor(pieces: int, less: Fraction) -> Fraction:
    """What a piece takes on average where each one takes a share less than the one before.

    >>> repeat_factor(1, Fraction(5, 100)), repeat_factor(6, Fraction(5, 100))
    (Fraction(1, 1), Fraction(7, 8))
    >>> repeat_factor(8, Fraction(5, 100)) == 1 - (Fraction(75, 100) + 2 * MOST_LESS) / 8
    True
    """
    return sum((1 - min(MOST_LESS, less * one) for one in range(pieces)), Fraction(0)) / pieces


def in_pieces(build: Build, pieces: int, less: Fraction) -> Build:
    """The build of so many pieces; a repeated count is less by what repeating saves.

    The factor is on the count, so that a set-up stays whole and what is learned from such a job is
    free of it.
    """
    if pieces == 1:
        return build
    factor = repeat_factor(pieces, less)
    return replace(
        build,
        parts=tuple(replace(one, quantity=one.quantity * pieces) for one in build.parts),
        joints=tuple(replace(one, quantity=one.quantity * pieces) for one in build.joints),
        needs=tuple(replace(one, exact=one.exact * pieces) for one in build.needs),
        counts=_repeated(build.counts, pieces, factor),
        finish=tuple(
            replace(one, area=None if one.area is None else one.area * pieces)
            for one in build.finish
        ),
        bands=tuple(
            replace(one, length=one.length * pieces, edges=one.edges * pieces)
            for one in build.bands
        ),
        finish_area=build.finish_area * pieces,
        carried={name: many * pieces for name, many in build.carried.items()},
    )


def _repeated(
    counts: Mapping[str, BuiltCount], pieces: int, factor: Fraction
) -> dict[str, BuiltCount]:
    return {
        name: count if name in ONCE else _times(count, pieces, factor)
        for name, count in counts.items()
    }


def _times(count: BuiltCount, pieces: int, factor: Fraction) -> BuiltCount:
    shown = f"{trimmed(half_up(factor, 4)):f}"
    return replace(
        count,
        quantity=count.quantity * pieces * factor,
        basis=f"{count.basis}; × {pieces} pieces × {shown} for repeating",
        repeat=factor,
    )


def step_of(step: Money, pieces: int) -> Money:
    """The step to which the price of so many pieces is rounded up: each has a price in steps.

    The price a piece and all together are then both in the shop's step, as for one piece alone.
    """
    return step * pieces

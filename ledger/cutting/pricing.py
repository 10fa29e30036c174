"""The most that a three-stage pattern can hold of given values, exactly, copies without limit.

A dynamic program over stacks of parts, strips of stacks, and the sheet of strips, the last stage
trimmed (P. C. Gilmore and R. E. Gomory, Multistage cutting stock problems of two and more
dimensions, Oper. Res. 13, 1965). Where the master's prices are the values it gives a bound: the
prices of all parts, divided by the most that a sheet can hold of them (A. A. Farley, A note on
bounding a class of linear programming problems, including cutting stock problems, Oper. Res. 38,
1990). Reckoned in whole numbers; numpy is loaded here alone.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import gcd
from typing import Any

from ledger.cutting.engine import Blank, EqualParts, First

GRID = 2048
"""A side is at most so many steps; a finer one is rounded down with all parts, never against us."""

NEVER = -(1 << 30)
"""What a place beyond the edge is worth, where no sheet can hold half as much."""

FAR_BELOW = -(1 << 60)
"""What it is worth where one can: then all is reckoned in twice as many digits, more slowly."""

type Item = tuple[int, int, int, int]
"""Length, width, value, and the number of the kind."""


def exact_price(
    kinds: Sequence[EqualParts], values: Sequence[int], blank: Blank, first: First
) -> tuple[int, tuple[int, ...]]:
    """Give the most that a pattern can hold, and how many parts of each kind that takes."""
    best, counts = 0, (0,) * len(kinds)
    for way in ("rip", "crosscut") if first == "any" else (first,):
        length, width, items = _on_grid(kinds, values, blank, way)
        if items:
            room, held = _strips(length, width, items)
            if room > best:
                best, counts = room, tuple(held[n] for n in range(len(kinds)))
    return best, counts


def can_price(kinds: Sequence[EqualParts], blanks: Sequence[Blank]) -> bool:
    """Ask whether no part is thinner than a step, which would weigh nothing."""
    thinnest = min(min(kind.length, kind.width) for kind in kinds)
    return all(thinnest >= _step(kinds, blank) for blank in blanks)


def _step(kinds: Sequence[EqualParts], blank: Blank) -> int:
    """Give the length of a step: exact where it can be."""
    sides = [side for kind in kinds for side in (kind.length, kind.width)]
    longest = max(blank.length, blank.width)
    return max(gcd(*sides, blank.length, blank.width), -(-longest // GRID))


def _on_grid(
    kinds: Sequence[EqualParts], values: Sequence[int], blank: Blank, way: First
) -> tuple[int, int, list[Item]]:
    """Turn sizes into whole steps, and a sheet that is crosscut first onto its side."""
    unit = _step(kinds, blank)
    length, width = blank.length // unit, blank.width // unit
    items = []
    for number, (kind, value) in enumerate(zip(kinds, values, strict=True)):
        ways = {(kind.length, kind.width)}
        ways |= {(kind.width, kind.length)} if kind.may_turn else set()
        for along, across in sorted(ways):
            if value > 0 and along <= blank.length and across <= blank.width:
                items.append((along // unit, across // unit, value, number))
    if way == "crosscut":
        length, width = width, length
        items = [(across, along, value, number) for along, across, value, number in items]
    return length, width, items


def _strips(length: int, width: int, items: Sequence[Item]) -> tuple[int, Counter[int]]:
    """Fill a sheet that is ripped first, stage by stage from the last, and take it apart again."""
    import numpy as np

    lengths = sorted({item[0] for item in items})
    dearest = max(Fraction(value, along * across) for along, across, value, _ in items)
    is_small = 2 * dearest * length * width < -NEVER
    never = NEVER if is_small else FAR_BELOW
    prices = np.array(
        [[item[2] if item[0] <= most else never for most in lengths] for item in items],
        dtype=np.int32 if is_small else np.int64,
    )
    stacks = _knapsack(width, [item[1] for item in items], prices)
    # A strip holds more than a lower one only where one of its stacks does.
    heights: Any = 1 + np.flatnonzero((stacks[1:] > stacks[:-1]).any(axis=1))
    strips = _knapsack(length, lengths, stacks[heights].T)
    more = np.flatnonzero(np.diff(strips[length], prepend=0) > 0)
    heights, strips = heights[more], strips[:, more]
    sheets = _knapsack(width, heights, strips[length][:, None])
    held: Counter[int] = Counter()
    for strip in _taken(sheets[:, 0], heights, strips[length]):
        height = heights[strip]
        for row in _taken(strips[:, strip], lengths, stacks[height]):
            stack = stacks[: height + 1, row]
            held.update(
                items[item][3]
                for item in _taken(stack, [item[1] for item in items], prices[:, row])
            )
    return int(sheets[width, 0]), held


def _knapsack(size: int, sides: Sequence[int], values: Any) -> Any:
    """Give for every size up to this one, and each column of the values, the most that goes in."""
    import numpy as np

    pad = max(sides)
    never = NEVER if values.dtype == np.int32 else FAR_BELOW
    table = np.full((pad + size + 1, values.shape[1]), never, dtype=values.dtype)
    table[pad] = 0
    back = np.array(sides)
    for place in range(pad + 1, pad + size + 1):
        table[place] = np.maximum(table[place - 1], (table[place - back] + values).max(axis=0))
    return table[pad:]


def _taken(table: Any, sides: Sequence[int], values: Any) -> Iterator[int]:
    """Give the numbers of what fills the largest size of a table, as often as it is taken."""
    place = len(table) - 1
    while table[place] > 0:
        if table[place] == table[place - 1]:
            place -= 1
            continue
        number = next(
            n for n, side in enumerate(sides)
            if side <= place and table[place - side] + values[n] == table[place]
        )  # fmt: skip
        yield number
        place -= sides[number]

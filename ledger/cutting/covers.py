"""What any plan must cover: bounds on the number of sheets and on their cost.

Give every part a value, and every sheet the most that a cutting pattern of it can hold of these
values. Then the sheets of a plan hold at least what all parts are worth together: a cover. Values
come from dual feasible functions along and across the sheet, each superadditive, so that no cut
gains anything, in however many stages; or from the dual prices of a master problem (`pool`).

Sources: S. P. Fekete and J. Schepers, New classes of fast lower bounds for bin packing problems,
Math. Program. 91, 2001 (the step functions, and the one that leaves small sides out);
J. Carlier, F. Clautiaux and A. Moukrim, New reduction procedures and lower bounds for the
two-dimensional bin packing problem with fixed orientation, Comput. Oper. Res. 34, 2007 (the
function that rounds to a side). All is reckoned in integers.
"""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from heapq import heappop, heappush
from itertools import product
from math import ceil, gcd
from operator import mul

from msgspec import Struct

from ledger.cutting.engine import Blank, EqualParts

MOST_STEPS = 40
"""The step functions are tried below so many steps."""

MOST_PRODUCTS = 4_000_000
"""So many products of values are formed at most; beyond, every other function is left out."""

MOST_NODES = 4096
"""So many choices of sheets are looked at before the bound reached so far is given."""


IMPOSSIBLE = 1 << 62
"""The cost of what cannot be."""


class Cover(Struct, frozen=True):
    """A sheet of each blank holds at most its `room`, and all parts together are worth `need`."""

    room: tuple[int, ...]
    need: int


class _Side(Struct, frozen=True):
    """One function's values along one side: of parts laid one way, of those that may turn."""

    fixed: tuple[int, ...]
    upright: tuple[int, ...]
    turned: tuple[int, ...]
    room: tuple[int, ...]


def dual_covers(kinds: Sequence[EqualParts], blanks: Sequence[Blank]) -> list[Cover]:
    """Give the cover of the area and the strongest of all pairs of dual feasible functions.

    A part that may turn is worth the less of its two ways. Strongest means, for each blank, the
    most sheets of it alone, and the highest cost of all blanks together.
    """
    along, across = _sides(kinds, blanks)
    while len(along) * len(across) * len(kinds) > MOST_PRODUCTS and len(along) > 2:
        # The identity stands first and stays: with it on both sides the cover is that of the area.
        along, across = [along[0], *along[1::2]], [across[0], *across[1::2]]
    costs = [[blank.cost for blank in blanks]]
    costs += [[int(n == only) for n in range(len(blanks))] for only in range(len(blanks))]
    covers: list[Cover] = []
    strengths = [0.0] * len(costs)
    strongest: list[Cover | None] = [None] * len(costs)
    for one, two in product(along, across):
        need = sum(map(mul, one.fixed, two.fixed)) + sum(
            map(min, map(mul, one.upright, two.upright), map(mul, one.turned, two.turned))
        )
        room = tuple(map(mul, one.room, two.room))
        covers = covers or [Cover(room, need)]
        for number, prices in enumerate(costs):
            cheapest = min((p / r for p, r in zip(prices, room, strict=True) if r and p), default=0)
            if need * cheapest > strengths[number]:
                strengths[number], strongest[number] = need * cheapest, Cover(room, need)
    return list(dict.fromkeys([*covers, *filter(None, strongest)]))


def least(costs: Sequence[int], most: Sequence[int], covers: Sequence[Cover]) -> int:
    """Bound from below what sheets cost that meet every cover, of each blank at most so many.

    Best first over whole numbers of sheets, one blank after the other; each choice is bounded by
    the cover that asks most of it, with divisible sheets (A. H. Land and A. G. Doig, An automatic
    method of solving discrete programming problems, Econometrica 28, 1960). Exact unless the
    limit of nodes is met; `IMPOSSIBLE` where all the sheets together do not do.
    """
    orders = [_cheapest_first(costs, cover) for cover in covers]

    def rest(blank: int, taken: int, needs: tuple[int, ...]) -> int:
        """Bound what is still needed, from blanks on of which the first was taken so often."""
        free = [0] * blank + [n - taken * (i == 0) for i, n in enumerate(most[blank:])]
        return max(
            map(_divisible, covers, orders, [costs] * len(covers), [free] * len(covers), needs)
        )

    start = tuple(cover.need for cover in covers)
    heap = [(rest(0, 0, start), 0, 0, 0, start)]
    for _ in range(MOST_NODES):
        bound, ahead, taken, cost, needs = heappop(heap)
        blank = -ahead
        if blank == len(costs) or max(needs) <= 0:
            return bound
        if taken < most[blank]:
            less = tuple(n - c.room[blank] for n, c in zip(needs, covers, strict=True))
            more = cost + costs[blank]
            heappush(
                heap,
                (max(bound, more + rest(blank, taken + 1, less)), ahead, taken + 1, more, less),
            )
        heappush(heap, (max(bound, cost + rest(blank + 1, 0, needs)), ahead - 1, 0, cost, needs))
    return heap[0][0]


def reachable(
    cost: float, costs: Sequence[int], most: Sequence[int], covers: Sequence[Cover]
) -> int:
    """Give the least that whole sheets cost which meet every cover and cost no less than this."""
    # What the last digits of a linear program say is not trusted.
    own = Cover(tuple(costs), ceil(cost - max(costs) / 1_000_000))
    return least(costs, most, [*covers, own])


def _cheapest_first(costs: Sequence[int], cover: Cover) -> list[int]:
    """Order the blanks that hold anything by what they cost for what they hold."""
    holding = [number for number, room in enumerate(cover.room) if room > 0]
    return sorted(holding, key=lambda number: Fraction(costs[number], cover.room[number]))


def _divisible(
    cover: Cover, order: Sequence[int], costs: Sequence[int], free: Sequence[int], need: int
) -> int:
    """Give the least that a need costs where sheets may be divided, rounded up."""
    cost = 0
    for number in order:
        if need <= 0:
            return cost
        room = cover.room[number]
        if need <= room * free[number]:
            return cost - (-costs[number] * need // room)
        cost += costs[number] * free[number]
        need -= room * free[number]
    return cost if need <= 0 else IMPOSSIBLE


def _sides(kinds: Sequence[EqualParts], blanks: Sequence[Blank]) -> tuple[list[_Side], list[_Side]]:
    """Give the functions along the sheets and across them, values of equal functions once."""
    fixed: list[tuple[tuple[int, int], int]] = []
    free: list[tuple[tuple[int, int], int]] = []
    for kind in kinds:
        ways = [(kind.length, kind.width)]
        ways += [(kind.width, kind.length)] if kind.may_turn else []
        fits = [way for way in ways if any(_inside(way, blank) for blank in blanks)] or ways[:1]
        (free if len(fits) > 1 else fixed).append((fits[0], kind.copies))
    along = _functions(
        [way[0] for way, _ in fixed],
        [way[0] for way, _ in free],
        [way[1] for way, _ in free],
        [blank.length for blank in blanks],
    )
    across = _functions(
        [way[1] for way, _ in fixed],
        [way[1] for way, _ in free],
        [way[0] for way, _ in free],
        [blank.width for blank in blanks],
    )
    counts = [copies for _, copies in fixed], [copies for _, copies in free]
    return along, [_times(one, *counts) for one in across]


def _inside(way: tuple[int, int], blank: Blank) -> bool:
    return way[0] <= blank.length and way[1] <= blank.width


def _times(side: _Side, fixed: Sequence[int], free: Sequence[int]) -> _Side:
    """Count every copy: multiply the values on one side by the copies."""
    return _Side(
        tuple(map(mul, side.fixed, fixed)),
        tuple(map(mul, side.upright, free)),
        tuple(map(mul, side.turned, free)),
        side.room,
    )


def _functions(
    fixed: Sequence[int], upright: Sequence[int], turned: Sequence[int], room: Sequence[int]
) -> list[_Side]:
    """Give the values of every dual feasible function over the longest side, the identity first."""
    sides: dict[_Side, None] = {}
    for function in _dual_feasible(max(room), [*fixed, *upright, *turned]):
        values = {side: function(side) for side in {*fixed, *upright, *turned, *room}}
        unit = gcd(*values.values()) or 1
        made = (
            tuple(values[side] // unit for side in row) for row in (fixed, upright, turned, room)
        )
        sides.setdefault(_Side(*made))
    return list(sides)


def _dual_feasible(whole: int, parts: Sequence[int]) -> Iterator[Callable[[int], int]]:
    """Give superadditive functions over a side, with thresholds where parts have theirs."""
    yield lambda side: side
    thresholds = {min(side, whole - side) + more for side in parts for more in (0, 1)}
    for least_side in sorted(side for side in thresholds if 0 < 2 * side <= whole):
        yield partial(left_out, whole, least_side)
        yield partial(rounded, whole, least_side)
    for steps in range(1, MOST_STEPS):
        yield partial(stepped, whole, steps)


def left_out(whole: int, least_side: int, side: int) -> int:
    """Leave sides below a threshold out, and let what leaves less than it take the whole.

    >>> [left_out(10, 3, side) for side in (2, 3, 5, 7, 8, 10)]
    [0, 3, 5, 7, 10, 10]
    """
    if side > whole - least_side:
        return whole
    return 0 if side < least_side else side


def rounded(whole: int, unit: int, side: int) -> int:
    """Count how often a unit goes into a side, twice over; beyond the half, what it takes away.

    >>> [rounded(10, 3, side) for side in (2, 3, 5, 7, 8, 10)]
    [0, 2, 3, 4, 6, 6]
    """
    if 2 * side > whole:
        return 2 * (whole // unit - (whole - side) // unit)
    return whole // unit if 2 * side == whole else 2 * (side // unit)


def stepped(whole: int, steps: int, side: int) -> int:
    """Round a side down to a step, unless it is a whole share of one more step than there are.

    >>> [stepped(10, 1, side) for side in (4, 5, 6, 10)]
    [0, 5, 10, 10]
    """
    if (steps + 1) * side % whole == 0:
        return steps * side
    return (steps + 1) * side // whole * whole

"""Bounds from the prices of the master problem: how few sheets any plan can take.

Farley's bound (see `pricing`) at prices that are averaged with the best so far, which keeps them
from leaping (P. Wentges, Weighted Dantzig-Wolfe decomposition for linear mixed-integer
programming, Int. Trans. Oper. Res. 4, 1997). The patterns that are worth most join the master,
with more copies than are wanted if need be, so its value falls toward the best such bound.
"""

from collections.abc import Sequence
from operator import mul, truediv

from ledger.cutting.covers import Cover, least, reachable
from ledger.cutting.master import Column
from ledger.cutting.pool import Pool
from ledger.cutting.pricing import can_price, exact_price

MOST_PRICINGS = 48
"""So many sheets are priced exactly at most, each in about a tenth of a second."""

SCALE = 1 << 24
"""Prices are rounded down to such a part of the dearest sheet: all that follows is exact."""


def priced_covers(pool: Pool, covers: Sequence[Cover], goal: int) -> list[Cover]:
    """Add covers until they prove a plan of the goal's cost, or no more is to be hoped for."""
    covers = list(covers)
    if not can_price(pool.kinds, pool.blanks):
        return covers
    costs = [blank.cost for blank in pool.blanks]
    most = [blank.copies for blank in pool.blanks]
    demand = [kind.copies for kind in pool.kinds]
    master = pool.master()
    best: tuple[float, list[float]] | None = None
    for _ in range(MOST_PRICINGS // len(costs)):
        solution = master.ask()
        bound = least(costs, most, covers)
        if bound >= goal or reachable(solution.cost, costs, most, covers) <= bound:
            break
        prices = [max(price, 0.0) for price in solution.prices]
        if best:
            prices = [(one + two) / 2 for one, two in zip(prices, best[1], strict=True)]
        values = [int(price / max(costs) * SCALE) for price in prices]
        packed = [exact_price(pool.kinds, values, blank, pool.first) for blank in pool.blanks]
        cover = Cover(tuple(room for room, _ in packed), sum(map(mul, values, demand)))
        covers.append(cover)
        strength = cover.need / max(map(truediv, cover.room, costs))
        if best is None or strength > best[0]:
            best = strength, prices
        # Where averaged prices bring nothing new, those of the master itself are taken next.
        added = [master.add(Column(n, counts)) for n, (_, counts) in enumerate(packed)]
        best = best if any(added) else None
    return covers

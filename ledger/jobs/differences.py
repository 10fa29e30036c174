"""What a job took of each material beside what was planned, and why the cost differs.

Freight is told apart: a price list has none of it, and what came is in the cost of the goods.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ledger.book.questions.stock import JobUse
from ledger.costing.needs import MaterialNeed, needs_of
from ledger.costing.sheet import CostLine
from ledger.costing.variance import Variance, variance
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.units import EACH

_NONE = Quantity(0)


@dataclass(frozen=True, slots=True)
class MaterialDifference:
    """One material: planned and used, and the two parts of the difference.

    `used` is what the job took and did not bring back, `scrapped` what was spoiled at its cost;
    both are in `cost`, which is without freight, and in the usage part. Pieces of the rack are a
    row of their own, counted by the piece.
    """

    item: str
    words: str
    unit: str
    planned: Quantity
    used: Quantity
    scrapped: Quantity
    planned_cost: Money
    cost: Money
    variance: Variance
    from_rack: bool = False


@dataclass(frozen=True, slots=True)
class FreightDifference:
    """Freight planned for a job's purchases, and what was paid for bringing what it took.

    `lost` of it brought goods that went back to the supplier, who did not credit it.
    """

    planned: Money
    actual: Money
    lost: Money

    @property
    def variance(self) -> Money:
        """What was paid above the plan; positive is unfavorable."""
        return self.actual - self.planned


def material_differences(
    lines: Iterable[CostLine], used: Iterable[JobUse]
) -> tuple[MaterialDifference, ...]:
    """The plan's needs beside what the job took, by material; what was not planned comes last."""
    needs = {need.item: need for need in needs_of(lines)}
    goods: dict[str, list[JobUse]] = {}
    pieces: dict[str, list[JobUse]] = {}
    for use in used:
        if use.category == "freight":
            continue  # it brought goods and is none
        if use.freight_lost and use.freight_lost == use.full:
            continue  # the goods went back; only what bringing them cost is left
        place = pieces if use.source == "offcut" else goods
        place.setdefault(use.material or use.words, []).append(use)
    differences = []
    for item in dict.fromkeys([*needs, *goods, *pieces]):
        differences += _goods(item, needs.get(item), goods.get(item, []))
        differences += _pieces(item, needs.get(item), pieces.get(item, []))
    return tuple(differences)


def _goods(
    item: str, need: MaterialNeed | None, uses: Sequence[JobUse]
) -> list[MaterialDifference]:
    """New goods of one material: all planned lines of it together."""
    planned, cost = (need.quantity, need.full) if need else (_NONE, Money(0))
    if not (planned or uses):
        return []
    words, unit = (need.words, need.unit) if need else (uses[0].words, uses[0].unit)
    return [_difference(item, words, unit, planned, cost, uses)]


def _pieces(
    item: str, need: MaterialNeed | None, uses: Sequence[JobUse]
) -> list[MaterialDifference]:
    """Pieces of the rack of one material, at what they carry."""
    planned = Quantity.of(len(need.lots)) if need else _NONE
    cost = need.rack_full if need else Money(0)
    if not (planned or uses):
        return []
    words = f"{need.words if need else uses[0].words}, from the rack"
    return [_difference(item, words, EACH, planned, cost, uses, from_rack=True)]


def _difference(
    item: str,
    words: str,
    unit: str,
    planned: Quantity,
    planned_cost: Money,
    uses: Sequence[JobUse],
    *,
    from_rack: bool = False,
) -> MaterialDifference:
    gone = sum((use.quantity for use in uses), _NONE)
    scrapped = sum((use.scrapped for use in uses), _NONE)
    cost = total(use.full - use.freight for use in uses)
    return MaterialDifference(
        item=item,
        words=words,
        unit=unit,
        planned=planned,
        used=gone - scrapped,
        scrapped=scrapped,
        planned_cost=planned_cost,
        cost=cost,
        variance=variance(cost, gone.fraction, planned_cost, planned.fraction),
        from_rack=from_rack,
    )

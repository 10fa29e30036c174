"""What a job took of each material beside what was planned, and why the cost differs.

Freight is told apart: a price list has none of it, and what came is in the cost of the goods.

The hours of a job beside its plan, operation by operation, and which cannot be believed.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct

from ledger.book.questions.labor import WorkSum
from ledger.book.questions.stock import JobUse
from ledger.costing.afterwards import Variance, variance
from ledger.costing.needs import MaterialNeed, needs_of
from ledger.costing.sheet import CostLine, CostSheet, SheetHours
from ledger.jobs.answers import NO_GOODS
from ledger.labor.observations import Lesson
from ledger.labor.plan import COUNTED
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.units import EACH

_NONE = Quantity(0)


class MaterialDifference(Struct, frozen=True):
    """One material: planned and used, and the two parts of the difference.

    `used` is what the job took and did not bring back, `scrapped` what was spoiled at its cost;
    both are in `cost`, which is without freight and without tax that is planned on a line of its
    own, and in the usage part. `fee` is the part of `cost` that suppliers kept of goods that went
    back. Pieces of the rack are a row of their own, counted by the piece.
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
    fee: Money = Money(0)

    @property
    def told_apart(self) -> Variance:
        """The difference without the fee: of the price where there is a planned one, else usage."""
        has_price = self.planned and (self.used or self.scrapped)
        fee = Variance(self.fee, Money(0)) if has_price else Variance(Money(0), self.fee)
        return Variance(self.variance.price - fee.price, self.variance.usage - fee.usage)


class FreightDifference(Struct, frozen=True):
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


class TaxDifference(Struct, frozen=True):
    """Tax that the plan has on a line of its own, and what was paid and is owed."""

    planned: Money
    actual: Money

    @property
    def variance(self) -> Money:
        """What was paid and is owed above the plan; positive is unfavorable."""
        return self.actual - self.planned


def material_differences(
    lines: Iterable[CostLine],
    used: Iterable[JobUse],
    of_others: Iterable[tuple[str, str, Money]] = (),
) -> tuple[MaterialDifference, ...]:
    """The plan's needs beside what the job took, by material; what was not planned comes last.

    `of_others` is the planned work of others that came as goods of its name, and what answered
    consumables came as: as much as came.
    """
    ordered = {words.casefold(): cost for _, words, cost in of_others}
    needs = {need.item: need for need in needs_of(lines)}
    goods: dict[str, list[JobUse]] = {}
    pieces: dict[str, list[JobUse]] = {}
    for use in used:
        if use.category in NO_GOODS:
            continue
        if use.freight_lost and use.freight_lost == use.full:
            continue  # the goods went back; only what bringing them cost is left
        place = pieces if use.source == "offcut" else goods
        place.setdefault(use.material or use.words, []).append(use)
    differences = []
    for item in dict.fromkeys([*needs, *goods, *pieces]):
        named = ordered.get(item.casefold())
        differences += _goods(item, needs.get(item), goods.get(item, []), named)
        differences += _pieces(item, needs.get(item), pieces.get(item, []))
    return tuple(differences)


def _goods(
    item: str, need: MaterialNeed | None, uses: Sequence[JobUse], named: Money | None
) -> list[MaterialDifference]:
    """New goods of one material: all planned lines of it together."""
    planned, cost = (need.quantity, need.full) if need else (_NONE, Money(0))
    if need is None and named is not None:
        planned, cost = sum((use.quantity for use in uses), _NONE), named
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
    cost = total(use.full - use.freight - use.tax for use in uses)
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
        fee=total(use.fee_before_tax for use in uses),
    )


class HoursDifference(Struct, frozen=True):
    """One operation: hours planned and minutes worked, rework and change orders apart."""

    operation: str
    name: str
    group: str
    planned: Decimal
    minutes: int
    standard: Decimal = Decimal("0.00")
    is_believed: bool = True

    @property
    def actual(self) -> Decimal:
        """The minutes worked as hours, as they are shown."""
        return to_hours(self.minutes)


def hours_differences(
    sheet: CostSheet, work: Iterable[WorkSum], names: Mapping[str, str]
) -> tuple[HoursDifference, ...]:
    """The lines of the plan beside their minutes, then what was not planned.

    `names` has the name of each operation; hours of a whole group have the group's.
    """
    minutes: dict[str, int] = {}
    groups: dict[str, str] = {}
    for row in work:
        if row.kind in COUNTED and (row.operation or row.group):
            name = row.operation or row.group or ""
            minutes[name] = minutes.get(name, 0) + row.minutes
            groups[name] = row.group or ""
    planned = {line.operation: line for line in sheet.hours}
    differences = [_beside(line, minutes.get(line.operation, 0)) for line in planned.values()]
    differences += [
        HoursDifference(
            name,
            names.get(name, f"{name.replace('_', ' ')} as a whole"),
            groups[name],
            Decimal("0.00"),
            worked,
        )
        for name, worked in minutes.items()
        if name not in planned
    ]
    return tuple(differences)


def _beside(line: SheetHours, minutes: int) -> HoursDifference:
    """A planned line beside its minutes, and whether so many can be true of its standard."""
    lesson = Lesson("", date.min, line.operation, line.group, line.standard, minutes)
    return HoursDifference(
        line.operation, line.name, line.group, line.estimate, minutes, line.standard,
        lesson.is_believed,
    )  # fmt: skip


def not_believed_words(line: HoursDifference) -> str:
    """What is wrong with hours that nothing is learned from, and what to do about it."""
    return (
        f"Not believed, and nothing is learned from it: {line.name} {line.actual} h against"
        f" {line.standard} h by the standard. Check the entry; if it is right, correct the count"
        " (job count --built) or the standard (standards set)."
    )

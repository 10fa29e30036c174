"""What a job cost beside what its price counted on, by what it was for.

What was planned and never booked stands apart: it may be saved, or only not noted.
"""

from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from ledger.book.questions.stock import JobUse
from ledger.book.tables.answers import JobCost
from ledger.costing.afterwards import Done
from ledger.costing.needs import needs_of
from ledger.costing.sheet import CostSheet, OtherCost
from ledger.jobs.answers import (
    COST_KINDS,
    DRIVEN,
    FEE,
    FEES,
    NO_GOODS,
    OUTSIDE_WORK,
    bills_of_others,
    goods_named,
    is_bill_for,
    is_bill_of_others,
    kind_names,
)
from ledger.jobs.lines import OUTSIDE
from ledger.jobs.other_costs import (
    PRICE_RISE,
    TAX,
    is_consumables,
    kind_named,
    kind_of,
    line_named,
)
from ledger.measures.driving import driving
from ledger.measures.money import Money, split, total
from ledger.measures.values import replace

type NamedAmounts = tuple[tuple[str, Money], ...]

MATERIAL, HELPER, OTHER, USE_TAX = "material", "helper", "other costs", "use tax"
MATERIAL_TAX = "tax on material"
"""The line of tax where the plan had one: what was paid with the goods and the use tax owed."""

CONSUMED = frozenset({"abrasive", "adhesive", "supply"})
"""Categories of goods that are consumables."""


class PlannedCosts(Struct, frozen=True):
    """What a price counted on beside the owner's hours; `material` is (item, words, full value)."""

    material: Sequence[tuple[str, str, Money]]
    freight: Money
    helper: Money
    others: Sequence[OtherCost]

    @property
    def goods(self) -> Money:
        """The material at full value."""
        return total(cost for _, _, cost in self.material)

    @property
    def amount(self) -> Money:
        """All of it."""
        return self.goods + self.freight + self.helper + total(one.cost for one in self.others)


class CostDifference(Struct, frozen=True):
    """One kind of cost beside its plan; `parts` of a difference add up to it."""

    name: str
    planned: Money
    actual: Money
    parts: NamedAmounts = ()

    @property
    def amount(self) -> Money:
        """What was spent above the plan; positive is unfavorable."""
        return self.actual - self.planned


class CostDifferences(Struct, frozen=True):
    """The costs of a job beside their plan.

    Planned and never booked are `not_taken`, by material, and `not_noted`, by other cost.
    `maybe_bills` are goods among the material that may be a bill of others that is missing;
    `maybe_twice` are bills of others of the same amount noted as a cost and on a receipt.
    """

    lines: tuple[CostDifference, ...]
    not_taken: NamedAmounts = ()
    not_noted: NamedAmounts = ()
    maybe_bills: NamedAmounts = ()
    maybe_twice: tuple[Money, ...] = ()

    @property
    def unbooked(self) -> Money:
        """What was planned of costs of which nothing was booked."""
        return total(amount for _, amount in (*self.not_taken, *self.not_noted))

    @property
    def amount(self) -> Money:
        """All costs less all that was planned."""
        return total(line.amount for line in self.lines) - self.unbooked

    def maybe_words(self, show: Callable[[Money], str]) -> str:
        """Say which material may be the bill of outside work that is missing; else nothing."""
        if not self.maybe_bills:
            return ""
        named = ", ".join(f"{name} {show(amount)}" for name, amount in self.maybe_bills)
        return f"Counted as material, and perhaps the bill of the outside work: {named}"

    def twice_words(self, show: Callable[[Money], str]) -> str:
        """Say which bill of outside work is counted twice where both are one; else nothing."""
        if not self.maybe_twice:
            return ""
        named = " and ".join(map(show, self.maybe_twice))
        return f"count {named} of outside work twice, by a cost and by a receipt, perhaps one bill"

    def of(self, name: str) -> Money:
        """The difference of one kind of cost."""
        return total(line.amount for line in self.lines if line.name == name)


def tax_planned(others: Iterable[OtherCost]) -> Money:
    """The tax that a plan has on a line of its own: worked out or answered."""
    return total(one.cost for one in others if kind_of(one) == TAX)


def tax_noted(others: Iterable[OtherCost], noted: Iterable[JobCost]) -> list[JobCost]:
    """The tax that was noted as a cost where the plan has a line of it; else it is any cost."""
    return [row for row in noted if kind_of(row) == TAX] if tax_planned(others) else []


def with_planned_tax(used: Iterable[JobUse], others: Iterable[OtherCost]) -> list[JobUse]:
    """What a job took, its tax told only where the plan has a line for it; else it is a price's.

    Tax and freight on a bill of others are part of it, and none of material.
    """
    has_line, none = bool(tax_planned(others)), Money(0)
    return [
        use._replace(tax=none, freight=none, freight_lost=none)
        if is_bill_of_others(use)
        else use
        if has_line
        else use._replace(tax=none)
        for use in used
    ]


def planned_costs(sheet: CostSheet) -> PlannedCosts:
    """What a cost sheet counts on."""
    totals, rates = sheet.totals, sheet.rates
    return counted_on(
        totals.full_cost - rates.break_even.times(totals.owner_hours),
        material=[
            (need.item, need.words, need.full + need.rack_full) for need in needs_of(sheet.lines)
        ],
        freight=totals.freight,
        helper=rates.helper_cost.times(totals.helper_hours),
        others=sheet.others,
    )


def counted_on(
    amount: Money,
    material: Sequence[tuple[str, str, Money]],
    freight: Money,
    helper: Money,
    others: Sequence[OtherCost],
) -> PlannedCosts:
    """Planned costs of an amount; what is left of it is what card payments were to cost."""
    plan = PlannedCosts(material, freight, helper, others)
    fees = amount - plan.amount
    return replace(plan, others=(*others, OtherCost(FEE, FEES, "", fees, fees))) if fees else plan


def with_goods_of_others(plan: PlannedCosts, used: Iterable[JobUse]) -> PlannedCosts:
    """The plan, with the work of others that came as goods on a receipt among the material."""
    bought = goods_named(used)
    goods = [one for one in plan.others if one.kind == OUTSIDE and one.words.casefold() in bought]
    if not goods:
        return plan
    return replace(
        plan,
        material=[*plan.material, *((one.words, one.words, one.cost) for one in goods)],
        others=[one for one in plan.others if one not in goods],
    )


def with_consumables(
    plan: PlannedCosts, used: Iterable[JobUse], noted: Iterable[JobCost]
) -> PlannedCosts:
    """The plan, with answered consumables among the material where they came as unplanned goods.

    What was planned is divided among such goods by their cost; not where it was noted as a cost.
    """
    lines = [one for one in plan.others if is_consumables(one)]
    there = {item.casefold() for item, _, _ in plan.material}
    goods: dict[str, tuple[str, int]] = {}
    for use in used:
        item = use.material or use.words
        is_planned = item.casefold() in there or use.source == "offcut"
        if use.category in CONSUMED and not is_planned and use.full > Money(0):
            goods[item] = use.words, goods.get(item, ("", 0))[1] + use.full.minor
    if not lines or not goods or any(is_consumables(row) for row in noted):
        return plan
    shares = split(total(one.cost for one in lines), [worth for _, worth in goods.values()])
    came = [(item, words, share)
            for (item, (words, _)), share in zip(goods.items(), shares, strict=True)]  # fmt: skip
    return replace(
        plan,
        material=[*plan.material, *came],
        others=[one for one in plan.others if one not in lines],
    )


def cost_differences(
    plan: PlannedCosts,
    done: Done,
    used: Sequence[JobUse],
    noted: Sequence[JobCost],
    missing: NamedAmounts,
    units: str,
) -> CostDifferences:
    """The costs of a job beside its plan; `missing` are planned other costs that nobody noted.

    The tax of `used` stands where the plan has a line of it: see `with_planned_tax`.
    """
    taken = {(use.material or use.words).casefold() for use in used}
    not_taken = tuple(
        (words, cost)
        for item, words, cost in plan.material
        if item.casefold() not in taken and cost
    )
    is_helped = done.helper_minutes or done.helper or not plan.helper
    helper, not_noted = plan.helper, missing
    if not is_helped:
        helper, not_noted = Money(0), (*missing, (HELPER, plan.helper))
    freight, paid_tax = total(use.freight for use in used), total(use.tax for use in used)
    planned_tax, taxes = tax_planned(plan.others), tax_noted(plan.others, noted)
    name = MATERIAL_TAX if planned_tax else USE_TAX
    planned_tax -= total(cost for called, cost in missing if kind_named(called) == TAX)
    goods = plan.goods - total(cost for _, cost in not_taken)
    material = CostDifference(
        MATERIAL,
        goods + plan.freight,
        done.material - paid_tax - done.credit,
        (
            ("taken", done.material - paid_tax - freight - goods),
            ("freight", freight - plan.freight),
            ("offcuts kept", -done.credit),
        ),
    )
    bills, rest = bills_of_others(used), [row for row in noted if row not in taxes]
    paid_tax += done.use_tax + total(row.amount for row in taxes)
    lines = [
        material,
        CostDifference(HELPER, helper, done.helper),
        *_others(plan.others, rest, missing, units, bills),
        CostDifference(name, planned_tax, paid_tax),
    ]
    return CostDifferences(
        tuple(line for line in lines if line.planned or line.actual or line.amount),
        not_taken,
        not_noted,
        maybe_bills(plan, used, missing),
        noted_twice(noted, used),
    )


def noted_twice(noted: Iterable[JobCost], used: Iterable[JobUse]) -> tuple[Money, ...]:
    """The amounts of the work of others that are noted as a cost and stand on a receipt too."""
    left, twice = list(used), []
    for row in noted:
        same = [use for use in left if row.kind == OUTSIDE and is_bill_for(use, row.amount)][:1]
        for use in same:
            left.remove(use)
            twice.append(row.amount)
    return tuple(twice)


def maybe_bills(plan: PlannedCosts, used: Iterable[JobUse], missing: NamedAmounts) -> NamedAmounts:
    """Goods without a code and without a plan, where a bill of others is missing that they may be.

    They stand among the material; with their receipt entered as outside work they would not.
    """
    if not any(name.partition(" ")[0] == OUTSIDE for name, _ in missing):
        return ()
    planned = {words.casefold() for _, words, _ in plan.material}
    return tuple(
        (use.words, use.full)
        for use in used
        if use.material is None and use.category not in NO_GOODS
        and use.full > Money(0) and use.words.casefold() not in planned
    )  # fmt: skip


def _others(
    others: Iterable[OtherCost], noted: Iterable[JobCost], missing: NamedAmounts, units: str,
    bills: Sequence[Money],
) -> list[CostDifference]:  # fmt: skip
    """Driving, the work of others, fees and the rest, each beside what was planned and noted.

    `bills` are those of others that stand on receipts. A price rise that was counted on stands by
    itself: it came with the price of the material.
    """
    driven = driving(units).many
    names = kind_names(units)
    planned: dict[str, Money] = {}
    actual: dict[str, Money] = {}
    for one in others:
        if kind_of(one) != TAX:
            is_own = one.kind == "answered" and one.words in {driven, PRICE_RISE}
            name = one.words if is_own else names.get(kind_of(one), OTHER)
            planned[name] = planned.get(name, Money(0)) + one.cost
    for called, cost in missing:
        kind = DRIVEN if called == driven else called.partition(" ")[0]
        kind = kind_named(called) or kind
        if kind == TAX:
            continue
        name = names.get(kind, OTHER) if kind in COST_KINDS else OTHER
        name = PRICE_RISE if called == PRICE_RISE else name
        planned[name] = planned.get(name, Money(0)) - cost
    for row in noted:
        name = PRICE_RISE if line_named(row) == PRICE_RISE else names.get(kind_of(row), OTHER)
        actual[name] = actual.get(name, Money(0)) + row.amount
    if bills:
        actual[OUTSIDE_WORK] = actual.get(OUTSIDE_WORK, Money(0)) + total(bills)
    return [
        CostDifference(name, planned.get(name, Money(0)), actual.get(name, Money(0)))
        for name in dict.fromkeys([*names.values(), OTHER, *planned, *actual])
        if name in planned or name in actual
    ]

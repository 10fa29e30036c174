"""The range of a price: points of hours carried through to cost, price and earnings. Pure.

The hours that a price must pay for, work and rework, have points that 50, 80 and 95 % of such jobs
stay under: typical, safe (8 in 10), bad case (19 in 20). At each, owner and helper work their
shares of that many hours; material and other costs stay as they are. Then

    cost   = other costs + break-even × the owner's hours + the helper's at their cost
    price  = the build-up with those hours and no contingency, rounded up to the shop's step
    earned = (firm price − other costs − helper) ÷ the owner's hours

There is no contingency in a point's price, because contingency is the money that is put aside for
hours above the estimate, and a point has those hours in it: with both, one risk would be paid for
twice. For the same reason no contingency counts as earned: at each point the hours it was for are
worked. A price reaches as far as the hours that it pays for, and to the hours at which the owner
earns just the target; the chance of more hours is the forecast's.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.costing.buildup import PriceRules, earned_an_hour, price_of_hours, shared, sum_of_hours
from ledger.costing.rates import Rates, margin_between
from ledger.costing.sheet import CostSheet, Prospect, Totals
from ledger.measures.money import Money
from ledger.measures.rounding import half_up


class PricePoint(Struct, frozen=True):
    """So many hours, what they make the job cost the owner, and the price that pays for them.

    `earned` is what the firm price then leaves the owner an hour, before and after overhead;
    `margin` its part above the cost.
    """

    hours: Decimal
    cost: Money
    price: Money
    earned: Money | None
    after_overhead: Money | None
    margin: Fraction | None


class PriceRange(Struct, frozen=True):
    """What 50, 80 and 95 % of such jobs stay under; the past jobs behind it.

    `standard` is the point of the standard hours, where the price is built on them.
    """

    p50: PricePoint
    p80: PricePoint
    p95: PricePoint
    jobs: int
    standard: PricePoint | None = None


def price_range(sheet: CostSheet, rules: PriceRules) -> PriceRange:
    """The points of a cost sheet's price and cost, by the rules it was priced with."""
    spread = sheet.range
    p50, p80, p95 = (
        _point(sheet, rules, *shared(spread, hours))
        for hours in (spread.p50, spread.p80, spread.p95)
    )
    standard = None
    if sheet.estimate_from == "standards":
        totals = sheet.totals
        standard = _point(sheet, rules, totals.owner_hours, totals.helper_hours)
    return PriceRange(p50, p80, p95, spread.jobs, standard)


def _point(sheet: CostSheet, rules: PriceRules, owner: Decimal, helper: Decimal) -> PricePoint:
    rates, fixed = sheet.rates, cost_without_hours(sheet.totals, sheet.rates)
    earned = earned_an_hour(sheet.totals.price, fixed, owner, helper, rates)
    cost = fixed + rates.break_even.times(owner) + rates.helper_cost.times(helper)
    return PricePoint(
        hours=owner + helper,
        cost=cost,
        price=price_of_hours(sheet, owner, helper, rules),
        earned=earned,
        after_overhead=None if earned is None else earned - rates.overhead,
        margin=margin_between(cost, sheet.totals.price),
    )


def cost_without_hours(totals: Totals, rates: Rates) -> Money:
    """What the job costs whatever the hours are."""
    hours = rates.break_even.times(totals.owner_hours)
    return totals.full_cost - hours - rates.helper_cost.times(totals.helper_hours)


def cash_at(sheet: CostSheet, hours: Decimal) -> Money:
    """What is still to be spent when the job takes so many hours: the helper's differ."""
    totals = sheet.totals
    _, helper = shared(sheet.range, hours)
    paid = sheet.rates.helper_cost
    return totals.cash_to_spend - paid.times(totals.helper_hours) + paid.times(helper)


def prospect_of(
    sheet: CostSheet, rules: PriceRules, chance_over: Callable[[Decimal], Fraction], price: Money
) -> Prospect | None:
    """How far a price reaches; None where the job has no hours or an hour costs nothing."""
    rates, helper = sheet.rates, sheet.range.helper
    an_hour = rates.break_even.minor * (1 - helper) + rates.helper_cost.minor * helper
    least, more = (sum_of_hours(sheet, *shared(sheet.range, h), rules) for h in _PROBES)
    if not sheet.range.p50 or an_hour <= 0 or more <= least:
        return None
    left = price - cost_without_hours(sheet.totals, rates)
    target = half_up(max(Fraction(0), Fraction(left.minor) / an_hour), 2)
    reach = Fraction((price - least).minor, (more - least).minor)
    paid = half_up(max(Fraction(0), reach) * Fraction(_PROBES[1]), 2)
    return Prospect(target, chance_over(target), paid, chance_over(paid))


_PROBES = (Decimal(0), Decimal(1000))
"""Hours at which the build-up is worked out, for between them it is a straight line."""

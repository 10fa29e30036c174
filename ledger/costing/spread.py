"""The range of a price: the points of the job's hours carried through to cost and price. Pure.

The hours have points that half, four in five and nineteen in twenty of such jobs stay under. At
each point owner and helper work their planned shares of that many hours; material and other costs
stay as they are. Then

    cost  = full cost + break-even × the owner's further hours + the helper's at their cost
    price = the build-up with those hours and no contingency, rounded up to the shop's step

There is no contingency in a point's price, because contingency is the money that is put aside for
hours above the estimate, and a point has those hours in it: with both, one risk would be paid for
twice. So where no job stands behind the range, the 50 % point is the firm price without its
contingency; and a contingency of the range (80 % − 50 % point) is what lies between the first two
points but for the helper's part. Where history foresees more hours than the estimate in use, even
the 50 % point can lie above the firm price: that is what it is there to show.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ledger.costing.buildup import PriceRules, price_of_hours
from ledger.costing.sheet import CostSheet
from ledger.measures.money import Money
from ledger.measures.rounding import half_up


@dataclass(frozen=True, slots=True)
class PricePoint:
    """So many hours, what they make the job cost the owner, and the price that pays for them."""

    hours: Decimal
    cost: Money
    price: Money


@dataclass(frozen=True, slots=True)
class PriceRange:
    """What one job in two, four in five, nineteen in twenty stay under; the past jobs behind it."""

    p50: PricePoint
    p80: PricePoint
    p95: PricePoint
    jobs: int


def price_range(sheet: CostSheet, rules: PriceRules) -> PriceRange:
    """The points of a cost sheet's price and cost, by the rules it was priced with."""
    spread = sheet.range
    p50, p80, p95 = (_point(sheet, rules, hours) for hours in (spread.p50, spread.p80, spread.p95))
    return PriceRange(p50, p80, p95, spread.jobs)


def _point(sheet: CostSheet, rules: PriceRules, hours: Decimal) -> PricePoint:
    owner, helper = _shared(sheet, hours)
    totals, rates = sheet.totals, sheet.rates
    planned = rates.break_even.times(totals.owner_hours)
    planned += rates.helper_cost.times(totals.helper_hours)
    worked = rates.break_even.times(owner) + rates.helper_cost.times(helper)
    return PricePoint(
        hours=hours,
        cost=totals.full_cost - planned + worked,
        price=price_of_hours(sheet, owner, helper, rules),
    )


def _shared(sheet: CostSheet, hours: Decimal) -> tuple[Decimal, Decimal]:
    """The owner's and the helper's part of so many hours, in the proportion of the estimate."""
    totals = sheet.totals
    if not totals.estimate_hours:
        return hours, Decimal(0)
    share = Fraction(totals.helper_hours) / Fraction(totals.estimate_hours)
    helper = half_up(Fraction(hours) * share, 2)
    return hours - helper, helper

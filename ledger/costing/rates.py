"""The three rates of an hour, from yearly figures: pay, break-even, selling.

pay = yearly pay ÷ billable hours, overhead = yearly overhead ÷ billable hours, break-even = both,
selling = break-even × (1 + profit) unless the owner sets it. Rates are rounded to the minor unit
before they are used, so that a reader can recompute every line by hand.

Markup and margin: two names for one difference, told apart on purpose.

Markup is a share of cost, margin a share of price: markup m is margin m/(1+m), margin g is markup
g/(1−g). The book stores markups and shows both.
"""

from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.errors import NotAllowed
from ledger.measures.money import Money


class Rates(Struct, frozen=True):
    """What an hour and a mile cost and sell for."""

    pay: Money
    overhead: Money
    break_even: Money
    selling: Money
    selling_by_formula: Money
    helper_cost: Money
    helper_billed: Money
    mile: Decimal


class Year(Struct, frozen=True):
    """A year of the shop: what it must earn, and the hours it can bill."""

    overhead: Money
    pay: Money
    hours: int
    billable: Fraction
    profit: Fraction

    @property
    def billable_hours(self) -> Fraction:
        """The hours of the year that can be billed."""
        return self.hours * self.billable


def hourly(
    year: Year, *, selling: Money | None, helper_cost: Money, helper_billed: Money, mile: Decimal
) -> Rates:
    """Hourly rates from yearly figures: pay, overhead, break-even and selling rate.

    Raises:
        NotAllowed: no hour of the year can be billed.
    """
    if year.billable_hours <= 0:
        raise NotAllowed("No hour of the year can be billed; set hours_year and billable first.")
    pay = year.pay.times(1 / year.billable_hours)
    overhead = year.overhead.times(1 / year.billable_hours)
    break_even = pay + overhead
    by_formula = break_even.times(1 + year.profit)
    return Rates(
        pay=pay,
        overhead=overhead,
        break_even=break_even,
        selling=by_formula if selling is None else selling,
        selling_by_formula=by_formula,
        helper_cost=helper_cost,
        helper_billed=helper_billed,
        mile=mile,
    )


def markup_between(cost: Money, price: Money) -> Fraction | None:
    """The markup of a price on a cost; None where nothing was spent."""
    return Fraction(price.minor - cost.minor, cost.minor) if cost.minor else None


def margin_between(cost: Money, price: Money) -> Fraction | None:
    """The margin of a price over a cost; None where nothing is charged."""
    return Fraction(price.minor - cost.minor, price.minor) if price.minor else None

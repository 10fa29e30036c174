"""Why a cost came out otherwise than planned: dearer or cheaper, more or less of it.

price part = (actual price − standard price) × actual quantity
usage part = (actual quantity − standard quantity) × standard price

The two always add up to actual − standard; a positive one is unfavorable. For hours the parts are
called rate and efficiency. Overhead is applied at a rate fixed beforehand; what was spent above it
is under-applied. Method and checks: standard costing as textbooks have it (OpenStax, Managerial
Accounting, 2019, chapters 4 and 8).
"""

from dataclasses import dataclass
from fractions import Fraction

from ledger.measures.money import Money


@dataclass(frozen=True, slots=True)
class Variance:
    """The two parts of a difference; `total` is their sum, actual − standard to the minor unit."""

    price: Money
    usage: Money

    @property
    def total(self) -> Money:
        """Actual cost less standard cost; positive is unfavorable."""
        return self.price + self.usage


def variance(
    actual: Money, actual_quantity: Fraction, standard: Money, standard_quantity: Fraction
) -> Variance:
    """The variance between two costs and their quantities.

    The usage part is rounded, the price part takes the rest, so that they add up. Where nothing
    was planned there is no standard price: all of it is usage; where nothing was used, too.

    >>> variance(Money(7476000), Fraction(89000), Money(7480000), Fraction(88000))
    Variance(price=Money(minor=-89000), usage=Money(minor=85000))
    """
    difference = actual - standard
    if not standard_quantity or not actual_quantity:
        return Variance(Money(0), difference)
    extra = actual_quantity - standard_quantity
    usage = standard.times(extra / standard_quantity)
    return Variance(difference - usage, usage)


@dataclass(frozen=True, slots=True)
class Overhead:
    """Overhead applied at the rate fixed beforehand, against what was really spent."""

    applied: Money
    actual: Money

    @property
    def under_applied(self) -> Money:
        """What was spent above what was applied; negative where more was applied than spent."""
        return self.actual - self.applied


def apply_overhead(
    budget: Money, budget_hours: Fraction, hours: Fraction, actual: Money
) -> Overhead:
    """Apply a budget over the hours worked; the rate itself is never rounded.

    >>> apply_overhead(Money(8500000), Fraction(24286), Fraction(24100), Money(9000000))
    Overhead(applied=Money(minor=8434901), actual=Money(minor=9000000))
    """
    return Overhead(budget.times(hours / budget_hours), actual)

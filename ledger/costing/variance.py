"""Why a cost came out otherwise than planned: dearer or cheaper, more or less of it.

price part = (actual price − standard price) × actual quantity
usage part = (actual quantity − standard quantity) × standard price

The two always add up to actual − standard; a positive one is unfavorable. For hours the parts are
called rate and efficiency. Method and checks: standard costing as textbooks have it (OpenStax,
Managerial Accounting, 2019, chapter 8).
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

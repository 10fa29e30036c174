"""Markup and margin: two names for one difference, told apart on purpose.

Markup is a share of cost, margin a share of price: markup m is margin m/(1+m), margin g is markup
g/(1−g). The book stores markups and shows both.
"""

from fractions import Fraction

from ledger.measures.money import Money


def markup_between(cost: Money, price: Money) -> Fraction | None:
    """The markup of a price on a cost; None where nothing was spent."""
    return Fraction(price.minor - cost.minor, cost.minor) if cost.minor else None


def margin_between(cost: Money, price: Money) -> Fraction | None:
    """The margin of a price over a cost; None where nothing is charged."""
    return Fraction(price.minor - cost.minor, price.minor) if price.minor else None

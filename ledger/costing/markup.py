"""Markup and margin: two names for one difference, told apart on purpose.

Markup is a share of cost, margin a share of price: markup m is margin m/(1+m), margin g is markup
g/(1−g). The book stores markups and shows both.
"""

from fractions import Fraction

from ledger.errors import BadValue
from ledger.measures.money import Money


def price_at_markup(cost: Money, markup: Fraction) -> Money:
    """The price of a cost at a markup, rounded once.

    >>> price_at_markup(Money(93100), Fraction(40, 100))
    Money(minor=130340)
    """
    return cost.times(1 + markup)


def price_at_margin(cost: Money, margin: Fraction) -> Money:
    """The price of a cost at a margin, rounded once.

    Raises:
        BadValue: a margin of 100 % or more has no price.

    >>> price_at_margin(Money(93100), Fraction(40, 100))
    Money(minor=155167)
    """
    return cost.times(1 + markup_of_margin(margin))


def margin_of_markup(markup: Fraction) -> Fraction:
    """The margin that a markup makes.

    >>> margin_of_markup(Fraction(25, 100))
    Fraction(1, 5)
    """
    return markup / (1 + markup)


def markup_of_margin(margin: Fraction) -> Fraction:
    """The markup that a margin needs.

    Raises:
        BadValue: a margin of 100 % or more cannot be reached.
    """
    if margin >= 1:
        raise BadValue("A margin is less than 100 % of the price; a markup may be more.")
    return margin / (1 - margin)


def markup_between(cost: Money, price: Money) -> Fraction | None:
    """The markup of a price on a cost; None where nothing was spent."""
    return Fraction(price.minor - cost.minor, cost.minor) if cost.minor else None


def margin_between(cost: Money, price: Money) -> Fraction | None:
    """The margin of a price over a cost; None where nothing is charged."""
    return Fraction(price.minor - cost.minor, price.minor) if price.minor else None

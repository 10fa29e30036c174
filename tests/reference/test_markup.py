"""Markup, margin, cost-plus, break-even of rates: published examples.

Sources are named beside each check; OpenStax books are CC BY-NC-SA 4.0, only numbers are taken.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.costing.buildup import round_up
from ledger.costing.markup import (
    margin_between,
    margin_of_markup,
    markup_between,
    markup_of_margin,
    price_at_margin,
    price_at_markup,
)
from ledger.errors import BadValue
from ledger.measures.money import Money, total


def percent(text: str) -> Fraction:
    """A share written in percent."""
    return Fraction(text) / 100


@pytest.mark.parametrize(
    ("cost", "markup", "price"),
    [
        (6200, "15", 7130),
        (75000, "45", 108750),
        (130, "60", 208),
        (885, "20", 1062),
        (1180, "125", 2655),
        (2500, "18", 2950),
    ],
)
def test_a_marked_up_price(cost: int, markup: str, price: int) -> None:
    """Source: OpenStax, Contemporary Mathematics (2023), section 6.2."""
    assert price_at_markup(Money(cost), percent(markup)) == Money(price)


@pytest.mark.parametrize(
    ("cost", "price", "markup"), [(9000, 10350, "15"), (48000, 84000, "75"), (5000, 7500, "50")]
)
def test_the_markup_of_a_price(cost: int, price: int, markup: str) -> None:
    """Source: OpenStax, Contemporary Mathematics (2023), section 6.2, and Marketing (2023)."""
    assert markup_between(Money(cost), Money(price)) == percent(markup)


def test_five_twenty_to_nine_ninety_is_a_markup_of_90_38_percent() -> None:
    """Source: OpenStax, Contemporary Mathematics (2023), section 6.2."""
    markup = markup_between(Money(520), Money(990))
    assert markup is not None
    assert round(Decimal(markup.numerator) / markup.denominator, 4) == Decimal("0.9038")


@pytest.mark.parametrize(
    ("markup", "margin"),
    [
        ("25", Fraction(1, 5)),
        ("50", Fraction(1, 3)),
        ("100", Fraction(1, 2)),
        ("150", Fraction(3, 5)),
    ],
)
def test_markup_and_margin_are_one_difference(markup: str, margin: Fraction) -> None:
    """Source: identities m/(1+m) and g/(1-g); values recomputed, from memory."""
    assert margin_of_markup(percent(markup)) == margin
    assert markup_of_margin(margin) == percent(markup)


def test_931_at_40_percent_margin_and_at_40_percent_markup() -> None:
    """Source: cost of job MAC001, OpenStax, Managerial Accounting (2019), section 4.2."""
    assert price_at_margin(Money(93100), percent("40")) == Money(155167)
    assert price_at_markup(Money(93100), percent("40")) == Money(130340)


def test_the_job_sold_at_2000_has_its_published_margin_and_markup() -> None:
    """Source: job MAC001, OpenStax, Managerial Accounting (2019), sections 4.2 and 4.5.

    Materials 700, labor 66, overhead 165: cost 931, sold at 2,000.
    """
    cost = total([Money(70000), Money(6600), Money(6600).times(Fraction(5, 2))])
    assert cost == Money(93100)
    margin, markup = margin_between(cost, Money(200000)), markup_between(cost, Money(200000))
    assert margin == Fraction(5345, 10000)
    assert markup is not None
    assert round(Decimal(markup.numerator) / markup.denominator, 6) == Decimal("1.148228")


def test_the_repair_quote() -> None:
    """Source: OpenStax, Managerial Accounting (2019), section 4.8: part 42, sold 70; 3 h at 80."""
    assert markup_between(Money(4200), Money(7000)) == Fraction(2, 3)
    bill = price_at_markup(Money(4200), Fraction(2, 3)) + Money(8000) * 3
    cost = Money(4200) + Money(2500) * 3 + Money(7500)
    assert (cost, bill) == (Money(19200), Money(31000))
    margin = margin_between(cost, bill)
    assert margin is not None
    assert round(Decimal(margin.numerator) / margin.denominator, 6) == Decimal("0.380645")


@pytest.mark.parametrize(
    ("cost", "markup", "price"),
    [(1000, "30", 1300), (1200, "30", 1560), (800, "20", 960), (900, "20", 1080)],
)
def test_cost_plus(cost: int, markup: str, price: int) -> None:
    """Source: OpenStax, Managerial Accounting (2019), section 9.4."""
    assert price_at_markup(Money(cost), percent(markup)) == Money(price)


def test_a_margin_of_everything_has_no_price() -> None:
    """Source: identity g/(1-g), from memory: a margin of 100 % or more cannot be reached."""
    with pytest.raises(BadValue, match="less than 100 %"):
        price_at_margin(Money(100), Fraction(1))


def test_a_price_is_rounded_up_to_the_step_never_down() -> None:
    """Common practice, no source: a shop rounds its price up to a step of its own."""
    assert round_up(Money(696893), Money(2000)) == Money(698000)
    assert round_up(Money(698000), Money(2000)) == Money(698000)
    assert round_up(Money(698001), Money(2000)) == Money(700000)

"""Markup, margin and cost-plus: published examples, through the build-up that makes every price.

Sources are named beside each check; OpenStax books are CC BY-NC-SA 4.0, only numbers are taken.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.costing.buildup import Priced, PriceRules, build_price, round_up
from ledger.costing.rates import Rates
from ledger.costing.sheet import CostLine, SheetHours
from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.stock.materials import KINDS

USD = currency("USD")
FREE = Rates(
    pay=Money(0), overhead=Money(0), break_even=Money(0), selling=Money(0),
    selling_by_formula=Money(0), helper_cost=Money(0), helper_billed=Money(0), mile=Decimal(0),
)  # fmt: skip
ONE = Quantity.of(1)


def percent(text: str) -> Fraction:
    """A share written in percent."""
    return Fraction(text) / 100


def part(cost: int) -> CostLine:
    """A piece of hardware of that cost in cents."""
    return CostLine(
        group="hardware", item="PART", words="Part", kind="hardware", net=ONE, quantity=ONE,
        unit="each", unit_cost=Decimal(cost) / 100, full=Money(cost), cash=Money(cost),
        price=Money(0), basis="",
    )  # fmt: skip


def work(hours: str) -> SheetHours:
    """So many hours of the owner."""
    time = Decimal(hours)
    return SheetHours(
        operation="ASM", name="Assemble", group="assembly", driver=Fraction(1), unit="joint",
        estimate=time, owner=time, helper=Decimal(0), standard=time, history=time,
        ratio=Fraction(1), past_jobs=0, basis="",
    )  # fmt: skip


def priced(
    cost: int, markup: Fraction, *, step: int = 1, hours: str = "0", rates: Rates = FREE
) -> Priced:
    """A part of that cost sold at a markup, the sum rounded up to a step."""
    rules = PriceRules(
        markups=dict.fromkeys(KINDS, markup), markup_outside=Fraction(0), contingency=Fraction(0),
        step=Money(step), minimum=Money(0),
    )  # fmt: skip
    return build_price([part(cost)], [work(hours)], [], rates, rules, USD)


# Source: OpenStax, Contemporary Mathematics (2023), section 6.2; the last four Managerial
# Accounting (2019), section 9.4, cost-plus of variable and of full cost.
@pytest.mark.parametrize(
    ("cost", "markup", "price"),
    [
        (6200, "15", 7130), (75000, "45", 108750), (130, "60", 208), (885, "20", 1062),
        (1180, "125", 2655), (2500, "18", 2950),
        (1000, "30", 1300), (1200, "30", 1560), (800, "20", 960), (900, "20", 1080),
    ],
)  # fmt: skip
def test_a_marked_up_price(cost: int, markup: str, price: int) -> None:
    found = priced(cost, percent(markup))
    assert (found.totals.price, found.lines[0].price) == (Money(price), Money(price))


# Source: OpenStax, Contemporary Mathematics (2023), section 6.2, and Marketing (2023); a step of
# the price stands for the price that was asked.
@pytest.mark.parametrize(
    ("cost", "price", "markup"),
    [(9000, 10350, "0.15"), (48000, 84000, "0.75"), (5000, 7500, "0.5"), (520, 990, "0.9038")],
)
def test_the_markup_of_a_price(cost: int, price: int, markup: str) -> None:
    found = priced(cost, Fraction(0), step=price).totals
    assert found.price == Money(price)
    assert found.markup is not None
    assert half_up(found.markup, 4) == Decimal(markup)


# Source: identities m/(1+m) and g/(1-g); values recomputed, from memory.
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
    found = priced(84000, percent(markup)).totals
    assert (found.markup, found.margin) == (percent(markup), margin)


def test_931_at_40_percent_margin_and_at_40_percent_markup() -> None:
    """Source: cost of job MAC001, OpenStax, Managerial Accounting (2019), section 4.2."""
    assert priced(93100, percent("40")).totals.price == Money(130340)
    assert priced(93100, Fraction(2, 3)).totals.price == Money(155167)  # two thirds of cost


def test_the_job_sold_at_2000_has_its_published_margin_and_markup() -> None:
    """Source: job MAC001, OpenStax, Managerial Accounting (2019), sections 4.2 and 4.5.

    Materials 700, labor 66, overhead 165 (2.50 a dollar of labor): cost 931, sold at 2,000.
    """
    rates = Rates(
        pay=Money(1650), overhead=Money(4125), break_even=Money(5775), selling=Money(5775),
        selling_by_formula=Money(5775), helper_cost=Money(0), helper_billed=Money(0),
        mile=Decimal(0),
    )  # fmt: skip
    found = priced(70000, Fraction(0), step=200000, hours="4.00", rates=rates).totals
    assert (found.full_cost, found.price) == (Money(93100), Money(200000))
    assert found.margin == Fraction(5345, 10000)
    assert found.markup is not None
    assert half_up(found.markup, 6) == Decimal("1.148228")


def test_the_repair_quote() -> None:
    """Source: OpenStax, Managerial Accounting (2019), section 4.8: part 42, sold 70; 3 h at 80.

    The hour costs 25 of pay and 25 of overhead.
    """
    rates = Rates(
        pay=Money(2500), overhead=Money(2500), break_even=Money(5000), selling=Money(8000),
        selling_by_formula=Money(8000), helper_cost=Money(0), helper_billed=Money(0),
        mile=Decimal(0),
    )  # fmt: skip
    found = priced(4200, Fraction(2, 3), hours="3.00", rates=rates)
    assert found.lines[0].price == Money(7000)
    assert (found.totals.full_cost, found.totals.price) == (Money(19200), Money(31000))
    assert found.totals.margin is not None
    assert half_up(found.totals.margin, 6) == Decimal("0.380645")


def test_a_price_is_rounded_up_to_the_step_never_down() -> None:
    """Common practice, no source: a shop rounds its price up to a step of its own."""
    assert round_up(Money(696893), Money(2000)) == Money(698000)
    assert round_up(Money(698000), Money(2000)) == Money(698000)
    assert round_up(Money(698001), Money(2000)) == Money(700000)

"""The price build-up adds up to the cent, line by line."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from ledger.costing.buildup import PriceRules, build_price
from ledger.costing.rates import Rates
from ledger.costing.sheet import CostLine, OtherCost, SheetHours
from ledger.labor.hours_range import HoursRange
from ledger.measures.money import Money, currency, total
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.stock.materials import KINDS

USD = currency("USD")
RATES = Rates(
    pay=Money(4861), overhead=Money(1910), break_even=Money(6771), selling=Money(7300),
    selling_by_formula=Money(7313), helper_cost=Money(2688), helper_billed=Money(4200),
    mile=Decimal("0.70"),
)  # fmt: skip
RULES = PriceRules(
    markups={kind: Fraction(15 if kind == "hardware" else 20, 100) for kind in KINDS},
    markup_outside=Fraction(1, 10), contingency=Fraction(6, 100), step=Money(2000),
    minimum=Money(0),
)  # fmt: skip


def line(minor: int, kind: str = "sheet") -> CostLine:
    """A line of so much."""
    return CostLine(
        group="hardware" if kind == "hardware" else "material", item=f"{kind}{minor}", words=kind,
        kind=kind, net=Quantity.of(1), quantity=Quantity.of(1), unit="each",
        unit_cost=Decimal(minor) / 100, full=Money(minor), cash=Money(minor), price=Money(0),
        basis="",
    )  # fmt: skip


def hours(owner: str, helper: str = "0.00") -> SheetHours:
    """Hours of one operation."""
    both = Decimal(owner) + Decimal(helper)
    return SheetHours(
        operation="ASM", name="Assemble", group="assembly", driver=Fraction(1), unit="joint",
        estimate=both, owner=Decimal(owner), helper=Decimal(helper), standard=both, history=both,
        ratio=Fraction(1), past_jobs=0, basis="",
    )  # fmt: skip


MILES = OtherCost("miles", "miles", "44 × 0.70", Money(3080), Money(3080))


def test_the_worked_example_comes_to_its_price() -> None:
    lines = [line(122960), line(52326, "hardware")]
    priced = build_price(lines, [hours("59.29", "6.50")], [MILES], RATES, RULES, USD)
    amounts = [built.amount.minor for built in priced.build_up]
    assert amounts == [147552, 60175, 432817, 27300, 3080, 25969]
    assert priced.totals.build_up == Money(696893)
    assert priced.totals.price == Money(698000)
    assert priced.totals.earned_per_hour == Money(8470)
    assert priced.totals.earned_after_overhead == Money(6560)


def test_full_cost_takes_the_owner_at_break_even_and_no_markup() -> None:
    priced = build_price([line(100000)], [hours("10.00")], [], RATES, RULES, USD)
    assert priced.totals.full_cost == Money(100000 + 67710)
    assert priced.totals.cash_cost == Money(100000)


def test_sponsored_material_costs_no_cash_and_is_priced_in_full() -> None:
    given_line = replace(line(48000), cash=Money(0))
    priced = build_price([given_line], [hours("1.00")], [], RATES, RULES, USD)
    assert priced.totals.material_cash == Money(0)
    assert priced.totals.material_full == Money(48000)
    assert priced.lines[0].price == Money(57600)


def test_a_card_fee_is_taken_of_the_price_that_contains_it() -> None:
    rules = replace(RULES, card_fee=Fraction(29, 1000), card_fee_fixed=Money(30),
                    card_share=Fraction(1), step=Money(1), contingency=Fraction(0))  # fmt: skip
    priced = build_price([line(100000)], [], [], RATES, rules, USD)
    fee = next(built.amount for built in priced.build_up if built.name == "card fee")
    kept = priced.totals.build_up.times(1 - rules.card_fee) - rules.card_fee_fixed
    assert fee == priced.totals.build_up - Money(120000)
    assert kept == Money(120000)


def test_a_contingency_up_to_a_point_is_its_further_hours_and_may_be_negative() -> None:
    rules = replace(RULES, contingency="p80")
    for point, amount in (("12.00", 14600), ("9.00", -7300)):
        spread = HoursRange(Decimal("9.00"), Decimal(point), Decimal("15.00"), 3)
        priced = build_price([], [hours("10.00")], [], RATES, rules, USD, spread=spread)
        assert priced.build_up[-1].amount == Money(amount)
    helped = build_price([], [hours("8.00", "2.00")], [], RATES, rules, USD, spread=spread)
    assert "9.00 h − 10.00 h" in helped.build_up[-1].calculation


@given(st.lists(st.tuples(st.integers(0, 10**7), st.sampled_from(KINDS)), max_size=12))
def test_the_lines_prices_add_up_to_the_marked_up_sums(rows: list[tuple[int, str]]) -> None:
    lines = [line(minor, kind) for minor, kind in rows]
    priced = build_price(lines, [], [], RATES, RULES, USD)
    marked = total(b.amount for b in priced.build_up if b.name.startswith(("materials", "hardw")))
    assert total(one.price for one in priced.lines) == marked


@given(st.integers(0, 10**8), st.integers(1, 10**5))
def test_the_price_is_a_whole_number_of_steps(minor: int, step: int) -> None:
    rules = replace(RULES, step=Money(step))
    priced = build_price([line(minor)], [hours("1.00")], [], RATES, rules, USD)
    assert priced.totals.price.minor % step == 0
    assert Money(0) <= priced.totals.price - priced.totals.build_up < Money(step)

"""The range of a price: the hours' points carried through to the owner's cost and the price."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.costing.buildup import PriceRules, build_price
from ledger.costing.rates import Rates
from ledger.costing.sheet import CostLine, CostSheet, HoursLine, OtherCost
from ledger.costing.spread import price_range
from ledger.labor.learning import HoursRange, predict
from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.stock.materials import KINDS

USD = currency("USD")
RATES = Rates(
    pay=Money(4861), overhead=Money(1910), break_even=Money(6771), selling=Money(7300),
    selling_by_formula=Money(7313), helper_cost=Money(2688), helper_billed=Money(4200),
    mile=Decimal("0.70"),
)  # fmt: skip
RULES = PriceRules(
    markups={kind: Fraction(15 if kind == "hardware" else 20, 100) for kind in KINDS},
    markup_outside=Fraction(0), contingency=Fraction(6, 100), step=Money(2000), minimum=Money(0),
)  # fmt: skip
CENT = replace(RULES, step=Money(1))
MILES = OtherCost("miles", "miles", "44 × 0.70", Money(3080), Money(3080))


def cost_sheet(owner: str, helper: str, spread: HoursRange, rules: PriceRules) -> CostSheet:
    """The bed's material and miles, with so many hours and such a range."""
    lines = [
        CostLine(
            group=group, item=kind, words=kind, kind=kind, net=Quantity.of(1), unit="each",
            quantity=Quantity.of(1), unit_cost=Decimal(1), full=Money(cost), cash=Money(cost),
            price=Money(0), basis="",
        )
        for group, kind, cost in (("material", "sheet", 122960), ("hardware", "hardware", 52326))
    ]  # fmt: skip
    both = Decimal(owner) + Decimal(helper)
    hours = HoursLine(
        operation="ASM", name="Assemble", group="assembly", driver=Fraction(1), unit="joint",
        estimate=both, owner=Decimal(owner), helper=Decimal(helper), standard=both, history=both,
        ratio=Fraction(1), past_jobs=0, basis="",
    )  # fmt: skip
    priced = build_price(
        lines, [hours], [MILES], RATES, rules, USD, range_hours=Fraction(spread.p80 - spread.p50)
    )
    return CostSheet(
        job="J-2507", title="Bed", as_of=date(2025, 4, 25), currency=USD, units="inch",
        design="bed version 1", estimate_from="standards", lines=priced.lines, hours=(hours,),
        others=(MILES,), rates=RATES, build_up=priced.build_up, totals=priced.totals, range=spread,
    )  # fmt: skip


def bed(rules: PriceRules = RULES) -> CostSheet:
    """The bed as it was priced, with no past job behind it."""
    return cost_sheet("59.29", "6.50", predict(Decimal("65.79"), []), rules)


def test_with_no_history_half_of_the_jobs_are_paid_by_the_price_without_contingency() -> None:
    found = price_range(bed(), RULES).p50
    # 6,968.93 less the contingency of 259.69 is 6,709.24, rounded up to the step of 20.
    assert (found.hours, found.price) == (Decimal("65.79"), Money(672000))
    assert found.cost == bed().totals.full_cost


def test_the_four_in_five_point_takes_a_fifth_more_hours_in_the_same_proportion() -> None:
    found = price_range(bed(), RULES).p80
    # 78.95 h, of which 6.50 ÷ 65.79 are the helper's: 7.80 h at 42.00, 71.15 h at 73.00.
    # 1,475.52 + 601.75 + 30.80 + 5,193.95 + 327.60 = 7,629.62.
    assert (found.hours, found.price) == (Decimal("78.95"), Money(764000))
    # 5,972.91 + 11.86 h × 67.71 + 1.30 h × 26.88.
    assert found.cost == Money(681089)


def test_the_jobs_behind_it_are_told() -> None:
    spread = HoursRange(Decimal(67), Decimal(73), Decimal(80), 5)
    assert price_range(cost_sheet("59.29", "6.50", spread, RULES), RULES).jobs == 5


def test_a_contingency_of_the_range_is_what_lies_between_the_first_two_points() -> None:
    rules = replace(CENT, contingency=None)
    sheet = cost_sheet("50.00", "0.00", predict(Decimal("50.00"), []), rules)
    found = price_range(sheet, rules)
    assert found.p80.price == sheet.totals.price
    assert found.p80.price - found.p50.price == sheet.build_up[-1].amount


def test_the_card_fee_follows_the_price_and_not_the_cost() -> None:
    rules = replace(CENT, card_fee=Fraction(3, 100), card_share=Fraction(1))
    found, without = price_range(bed(rules), rules), price_range(bed(CENT), CENT)
    kept = found.p80.price.times(1 - rules.card_fee)
    assert abs(kept - without.p80.price) <= Money(1)
    paid = bed(rules).totals.full_cost - bed(CENT).totals.full_cost
    assert found.p80.cost - without.p80.cost == paid


def test_a_job_without_hours_costs_the_same_at_every_point() -> None:
    found = price_range(cost_sheet("0", "0", predict(Decimal(0), []), CENT), CENT)
    assert found.p50 == found.p80 == found.p95
    assert found.p50.price == Money(147552 + 60175 + 3080)


@pytest.mark.parametrize("fee", [Fraction(0), Fraction(29, 1000)])
@given(
    owner=st.decimals(0, 400, places=2), helper=st.decimals(0, 400, places=2),
    points=st.lists(st.decimals(0, 900, places=2), min_size=3, max_size=3).map(sorted),
    step=st.sampled_from([0, 1, 500, 2000]),
)  # fmt: skip
def test_a_point_with_more_hours_never_costs_less(
    fee: Fraction, owner: Decimal, helper: Decimal, points: list[Decimal], step: int
) -> None:
    rules = replace(RULES, card_fee=fee, card_share=Fraction(1, 2), step=Money(step))
    half, four_in_five, most = points
    spread = HoursRange(half, four_in_five, most, 3)
    found = price_range(cost_sheet(str(owner), str(helper), spread, rules), rules)
    assert found.p50.price <= found.p80.price <= found.p95.price
    assert found.p50.cost <= found.p80.cost <= found.p95.cost

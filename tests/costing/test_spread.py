"""The range of a price: the hours' points carried through to the owner's cost and the price."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.costing.buildup import PriceRules, build_price
from ledger.costing.rates import Rates
from ledger.costing.sheet import CostLine, CostSheet, OtherCost, SheetHours
from ledger.costing.spread import price_range, prospect_of
from ledger.labor.hours_range import HoursRange
from ledger.measures.money import Money, currency
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
    hours = SheetHours(
        operation="ASM", name="Assemble", group="assembly", driver=Fraction(1), unit="joint",
        estimate=both, owner=Decimal(owner), helper=Decimal(helper), standard=both, history=both,
        ratio=Fraction(1), past_jobs=0, basis="",
    )  # fmt: skip
    priced = build_price(lines, [hours], [MILES], RATES, rules, USD, spread=spread)
    return CostSheet(
        job="J-2507", title="Bed", as_of=date(2025, 4, 25), currency=USD, units="inch",
        design="bed version 1", estimate_from="standards", lines=priced.lines, hours=(hours,),
        others=(MILES,), rates=RATES, build_up=priced.build_up, totals=priced.totals, range=spread,
    )  # fmt: skip


def points(p50: str, p80: str, p95: str, helper: Fraction = Fraction(0)) -> HoursRange:
    """A range of three past jobs."""
    return HoursRange(Decimal(p50), Decimal(p80), Decimal(p95), 3, helper=helper)


BED = points("76.80", "83.17", "91.78", Fraction("6.50") / Fraction("65.79"))


def bed(rules: PriceRules = RULES) -> CostSheet:
    """The bed as it was priced by the standards, and the range that five past jobs gave it."""
    return cost_sheet("59.29", "6.50", BED, rules)


def test_the_firm_price_stays_what_the_standards_and_the_share_make_it() -> None:
    assert bed().totals.price == Money(698000)


def test_a_point_works_its_hours_in_the_helpers_proportion() -> None:
    found = price_range(bed(), RULES).p80
    # 83.17 h, of which 6.50 ÷ 65.79 are the helper's: 8.22 h at 42.00, 74.95 h at 73.00.
    # 1,475.52 + 601.75 + 30.80 + 5,471.35 + 345.24 = 7,924.66.
    assert (found.hours, found.price) == (Decimal("83.17"), Money(794000))
    # 1,752.86 + 30.80 + 74.95 h × 67.71 + 8.22 h × 26.88.
    assert found.cost == Money(707947)


def test_what_the_owner_earns_an_hour_is_told_at_the_hours_of_the_points() -> None:
    found = price_range(bed(), RULES)
    # Worked out apart from this code: 53.04 and 47.29 after overhead at a price of 6,980.
    assert abs((found.p50.after_overhead or MILES.cost) - Money(5304)) <= Money(1)
    assert abs((found.p80.after_overhead or MILES.cost) - Money(4729)) <= Money(1)
    assert bed().totals.earned_after_overhead == found.p50.after_overhead


def test_the_price_reaches_to_the_hours_that_leave_just_the_target() -> None:
    asked: list[Decimal] = []

    def chance(hours: Decimal) -> Fraction:
        asked.append(hours)
        return Fraction(26, 100)

    found = prospect_of(bed(), RULES, chance, bed().totals.price)
    assert found is not None
    assert abs(found.target_hours - Decimal("81.61")) <= Decimal("0.01")
    assert found.over_target == Fraction(26, 100)
    assert asked == [found.target_hours, found.paid_hours]
    # 6,980 less 2,108.07 of material and miles, at 69.94 for an hour of both.
    assert abs(found.paid_hours - Decimal("69.66")) <= Decimal("0.01")


@pytest.mark.parametrize("point", ["p50", "p80", "p95"])
@pytest.mark.parametrize(
    ("owner", "helper"), [("59.29", "6.50"), ("67.66", "7.42"), ("90.00", "9.00")]
)
def test_a_price_that_covers_a_point_is_the_same_whichever_estimate_is_in_use(
    point: str, owner: str, helper: str
) -> None:
    rules = replace(CENT, contingency=point)
    sheet = cost_sheet(owner, helper, BED, rules)
    assert sheet.totals.price == getattr(price_range(sheet, rules), point).price


def test_the_contingency_is_the_hours_from_the_estimate_to_the_point() -> None:
    rules = replace(CENT, contingency="p80")
    sheet = cost_sheet("50.00", "0.00", points("50.00", "60.00", "70.00"), rules)
    assert sheet.build_up[-1].amount == Money(73000)  # 10 h at 73.00
    assert "8 in 10" in sheet.build_up[-1].calculation


def test_the_jobs_behind_it_are_told() -> None:
    assert price_range(bed(), RULES).jobs == 3


def test_the_card_fee_follows_the_price_and_not_the_cost() -> None:
    rules = replace(CENT, card_fee=Fraction(3, 100), card_share=Fraction(1))
    found, without = price_range(bed(rules), rules), price_range(bed(CENT), CENT)
    kept = found.p80.price.times(1 - rules.card_fee)
    assert abs(kept - without.p80.price) <= Money(1)
    paid = bed(rules).totals.full_cost - bed(CENT).totals.full_cost
    assert found.p80.cost - without.p80.cost == paid


def test_a_job_without_hours_costs_the_same_at_every_point() -> None:
    found = price_range(cost_sheet("0", "0", points("0", "0", "0"), CENT), CENT)
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
    spread = HoursRange(*points, jobs=3, helper=Fraction(1, 7))
    found = price_range(cost_sheet(str(owner), str(helper), spread, rules), rules)
    assert found.p50.price <= found.p80.price <= found.p95.price
    assert found.p50.cost <= found.p80.cost <= found.p95.cost

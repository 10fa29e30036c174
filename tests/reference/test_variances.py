"""Variances and overhead: every published case, and the parts always add up.

Material goes through the comparison that closes a job, overhead through the shop's yearly figures
and the after-calculation; what the whole shop spent above what it applied, the book does not keep.

Source of all cases: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (2019).
Where the print does not recompute, the recomputed value stands (section 8.3 prints the favorable
total as unfavorable; section 8.4 rounds a rate early).
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.book.questions.stock import JobUse
from ledger.costing.afterwards import Done, account_afterwards, variance
from ledger.costing.rates import Year, hourly
from ledger.costing.sheet import CostLine
from ledger.jobs.differences import material_differences
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


def dollars(text: str) -> Money:
    """So many dollars."""
    return Money(int(Fraction(text) * 100))


def planned_line(cost: Money, quantity: str) -> CostLine:
    """A line of the plan."""
    amount = Quantity.of(Fraction(quantity))
    return CostLine(
        group="material", item="RAW", words="Raw material", kind="supply", net=amount,
        quantity=amount, unit="each", unit_cost=Decimal(0), full=cost, cash=cost, price=Money(0),
        basis="",
    )  # fmt: skip


def taken(cost: Money, quantity: str) -> JobUse:
    """What a job took."""
    amount = Quantity.of(Fraction(quantity))
    return JobUse("RAW", "Raw material", "supply", "each", "receipt", 1, amount, cost, cost)


@pytest.mark.parametrize(
    ("actual", "used", "standard", "planned", "price", "usage"),
    [
        ("120", "20", "140", "20", "-20", "0"),
        ("180", "20", "140", "20", "40", "0"),
        ("1.40", "1/5", "1.75", "1/4", "0", "-0.35"),
        ("3.50", "1/2", "1.75", "1/4", "0", "1.75"),
        ("4.50", "1/2", "1.75", "1/4", "1.00", "1.75"),
        ("74760", "89000", "74800", "88000", "-890", "850"),
        ("800000", "50000", "600000", "40000", "50000", "150000"),
    ],
)
def test_material_price_and_usage(
    actual: str, used: str, standard: str, planned: str, price: str, usage: str
) -> None:
    """Source: OpenStax, Managerial Accounting (2019), sections 8.2 and 8.5."""
    line, use = planned_line(dollars(standard), planned), taken(dollars(actual), used)
    (found,) = material_differences([line], [use])
    assert (found.variance.price, found.variance.usage) == (dollars(price), dollars(usage))


@pytest.mark.parametrize(
    ("actual", "worked", "standard", "planned", "rate", "efficiency"),
    [
        ("0.75", "1/10", "0.80", "1/10", "-0.05", "0"),
        ("0.95", "1/10", "0.80", "1/10", "0.15", "0"),
        ("0.40", "1/20", "0.80", "1/10", "0", "-0.40"),
        ("1.60", "1/5", "0.80", "1/10", "0", "0.80"),
        ("1.90", "1/5", "0.80", "1/10", "0.30", "0.80"),
        ("565600", "16000", "577500", "16500", "5600", "-17500"),
        ("450000", "25000", "400000", "20000", "-50000", "100000"),
        ("7000", "2500", "4000", "2000", "2000", "1000"),
        ("3500", "1800", "4000", "2000", "-100", "-400"),
    ],
)
def test_labor_rate_and_efficiency(
    actual: str, worked: str, standard: str, planned: str, rate: str, efficiency: str
) -> None:
    """Source: OpenStax, Managerial Accounting (2019), sections 8.3, 8.4 and 8.5."""
    found = variance(dollars(actual), Fraction(worked), dollars(standard), Fraction(planned))
    assert (found.price, found.usage) == (dollars(rate), dollars(efficiency))


@pytest.mark.parametrize(
    ("budget", "hours", "worked", "applied"),
    [
        ("250000", 100000, 100000, "250000"),
        ("209040", 6240, 6240, "209040"),
        ("100000", 25000, 26000, "104000"),
        ("110000", 27500, 29000, "116000"),
        ("350000", 50000, 49000, "343000"),
        ("450000", 75000, 77000, "462000"),
        ("75000", 25000, 24000, "72000"),
        ("598000", 25000, 25000, "598000"),
    ],
)
def test_overhead_is_applied_at_the_rate_of_the_year(
    budget: str, hours: int, worked: int, applied: str
) -> None:
    """Source: OpenStax, Managerial Accounting (2019), sections 4.4 and 4.6 and exercises.

    Those whose rate is not whole cents are left out: here a rate is rounded before it is used.
    """
    year = Year(dollars(budget), Money(0), hours, Fraction(1), Fraction(0))
    nothing = Money(0)
    rates = hourly(
        year, selling=nothing, helper_cost=nothing, helper_billed=nothing, mile=Decimal(0)
    )
    done = Done(
        price=nothing, changes=nothing, material=nothing, material_cash=nothing, credit=nothing,
        credit_cash=nothing, helper=nothing, other=nothing, owner_minutes=worked * 60,
        helper_minutes=0, rework_minutes=0, rework_material=nothing, content_minutes=0,
        content=nothing,
    )  # fmt: skip
    assert account_afterwards(done, rates).overhead_applied == dollars(applied)


money = st.integers(0, 10**9).map(Money)
quantity = st.fractions(0, 10**4, max_denominator=1000)


@given(money, quantity, money, quantity)
def test_the_parts_always_add_up(
    actual: Money, used: Fraction, standard: Money, planned: Fraction
) -> None:
    """Source: identity of standard costing, from memory: the parts add to actual − standard."""
    assert variance(actual, used, standard, planned).total == actual - standard


def test_nothing_planned_is_all_usage_and_divides_by_nothing() -> None:
    """Source: from memory; a zero standard quantity has no standard price."""
    found = variance(Money(500), Fraction(2), Money(0), Fraction(0))
    assert (found.price, found.usage) == (Money(0), Money(500))


def test_what_was_only_rounded_is_no_price() -> None:
    """By hand, common practice, no source: 2 of 3 at 1.00 together cost 0.66, no cheaper each."""
    found = variance(Money(66), Fraction(2), Money(100), Fraction(3))
    assert (found.price, found.usage) == (Money(0), Money(-34))
    dearer = variance(Money(70), Fraction(2), Money(100), Fraction(3))
    assert (dearer.price, dearer.usage) == (Money(3), Money(-33))

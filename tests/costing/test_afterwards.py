"""The after-calculation of the worked example, to the cent."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from ledger.costing.afterwards import Done, account_afterwards
from ledger.costing.rates import Rates
from ledger.measures.money import Money
from ledger.measures.values import replace

RATES = Rates(
    pay=Money(4861), overhead=Money(1910), break_even=Money(6771), selling=Money(7300),
    selling_by_formula=Money(7313), helper_cost=Money(2688), helper_billed=Money(4200),
    mile=Decimal("0.70"),
)  # fmt: skip
BED = Done(
    price=Money(698000), changes=Money(12000), material=Money(178968),
    material_cash=Money(130968), credit=Money(5114), credit_cash=Money(4124),
    helper=Money(19891), other=Money(9940 + 2402), owner_minutes=4398, helper_minutes=444,
    rework_minutes=156, rework_material=Money(1666), content_minutes=2280, content=Money(185546),
)  # fmt: skip


def test_the_owner_earned_in_full_and_in_cash() -> None:
    found = account_afterwards(BED, RATES)
    assert found.full.amount == Money(503913)
    assert (found.full.hour, found.full.after_overhead) == (Money(6875), Money(4965))
    assert (found.cash.amount, found.cash.hour) == (Money(550923), Money(7516))


def test_content_and_in_kind_close_the_identity() -> None:
    found = account_afterwards(BED, RATES)
    assert found.content_hour == Money(4883)
    assert found.in_kind == Money(47010)
    assert found.together == Money(736469)
    assert found.full.amount + BED.content + found.in_kind == found.together


def test_rework_is_priced_at_break_even_with_its_material() -> None:
    assert account_afterwards(BED, RATES).rework == Money(19271)


def test_no_hours_is_no_hourly_figure() -> None:
    found = account_afterwards(replace(BED, owner_minutes=0, content_minutes=0), RATES)
    assert found.full.hour is None
    assert found.content_hour is None


money = st.integers(-(10**8), 10**8).map(Money)


@given(money, money, money, money, money)
def test_cash_and_full_differ_by_what_was_used_in_kind(
    price: Money, material: Money, cash: Money, credit: Money, credit_cash: Money
) -> None:
    found = account_afterwards(
        replace(BED, price=price, material=material, material_cash=cash, credit=credit,
                credit_cash=credit_cash),
        RATES,
    )  # fmt: skip
    assert found.in_kind == (material - cash) - (credit - credit_cash)

"""Rates an hour from a year's figures."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.costing.rates import Year, hourly
from ledger.errors import NotAllowed
from ledger.measures.money import Money


def year(**changes: object) -> Year:
    """The example workshop's year: 22,000 overhead, 56,000 pay, 1,920 h, 60 % billable, 8 %."""
    facts: dict[str, object] = {
        "overhead": Money(2_200_000),
        "pay": Money(5_600_000),
        "hours": 1920,
        "billable": Fraction(60, 100),
        "profit": Fraction(8, 100),
    }
    return Year(**(facts | changes))  # type: ignore[arg-type]


def rates(of: Year, selling: Money | None = None) -> object:
    """Rates of a year with a helper at 26.88, billed at 42.00."""
    return hourly(
        of, selling=selling, helper_cost=Money(2688), helper_billed=Money(4200),
        mile=Decimal("0.70"),
    )  # fmt: skip


def test_break_even_is_pay_and_overhead_over_the_billable_hours() -> None:
    made = rates(year())
    assert (made.overhead, made.pay, made.break_even) == (Money(1910), Money(4861), Money(6771))


def test_the_selling_rate_follows_the_profit_unless_the_owner_sets_it() -> None:
    assert rates(year()).selling == Money(7313)
    own = rates(year(), Money(7300))
    assert (own.selling, own.selling_by_formula) == (Money(7300), Money(7313))


def test_a_year_without_billable_hours_has_no_rates() -> None:
    with pytest.raises(NotAllowed, match="billable"):
        rates(year(billable=Fraction(0)))

"""Money adds up in minor units, splits without loss, and rounds once."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.money import Money, currency, sales_tax, split, total

amounts = st.integers(-(10**12), 10**12).map(Money)
weights = st.lists(
    st.one_of(
        st.integers(0, 10**6),
        st.fractions(0, 1000, max_denominator=1000),
        st.decimals(0, 1000, places=3),
    ),
    min_size=1,
    max_size=12,
).filter(any)


@given(amounts, weights)
def test_what_is_split_adds_up_again(amount, shares):
    assert total(split(amount, shares)) == amount


@given(amounts, weights)
def test_no_piece_is_a_whole_cent_away_from_its_exact_share(amount, shares):
    whole = sum(Fraction(share) for share in shares)

    for piece, share in zip(split(amount, shares), shares, strict=True):
        assert abs(piece.minor - amount.minor * Fraction(share) / whole) < 1


@given(amounts, weights)
def test_a_zero_weight_takes_nothing(amount, shares):
    for piece, share in zip(split(amount, shares), shares, strict=True):
        assert share or not piece


@given(amounts, weights)
def test_a_refund_splits_like_its_charge(amount, shares):
    assert split(-amount, shares) == [-piece for piece in split(amount, shares)]


def test_equal_remainders_go_to_the_earlier_piece():
    assert split(Money(2), [1, 1, 1]) == [Money(1), Money(1), Money(0)]


@pytest.mark.parametrize("shares", [[], [0], [0, Fraction(0)]], ids=["none", "zero", "zeros"])
def test_weights_that_come_to_nothing_are_refused(shares):
    with pytest.raises(BadValue, match="add up to zero"):
        split(Money(100), shares)


def test_a_negative_weight_is_refused():
    with pytest.raises(BadValue, match="negative weight"):
        split(Money(100), [3, -1])


@given(st.lists(amounts))
def test_a_total_is_the_sum_of_the_minor_units(parts):
    assert total(parts).minor == sum(part.minor for part in parts)


def test_money_has_the_arithmetic_of_whole_numbers():
    five = Money(500)

    assert five + Money(1) - Money(2) == Money(499)
    assert five * 3 == 3 * five == Money(1500)
    assert abs(-five) == five
    assert sorted([five, Money(-1)]) == [Money(-1), five]
    assert five and not Money(0)


def test_a_factor_rounds_half_up_away_from_zero():
    assert Money(5).times(Fraction(1, 2)) == Money(3)
    assert Money(-5).times(Decimal("0.5")) == Money(-3)


@given(amounts, st.fractions(0, 1, max_denominator=10_000))
def test_cutting_at_the_third_decimal_is_half_up_of_the_exact_tax(amount, rate):
    assert sales_tax(amount, rate, currency("USD")) == amount.times(rate)


@given(amounts, st.sampled_from(["USD", "JPY", "KWD", "CLF"]))
def test_a_shown_amount_reads_back_the_same(amount, code):
    money = currency(code)

    assert money.parse(money.show(amount)) == amount
    assert money.parse(money.show(amount, symbol=True)) == amount
    assert money.money(money.decimal(amount)) == amount

"""Rounding goes to the nearest, and away from zero at the half."""

from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from ledger.measures.rounding import half_up, half_up_whole, scaled, trimmed

decimals = st.decimals(min_value=-(10**9), max_value=10**9, allow_nan=False, places=6)


@given(decimals, st.integers(0, 6))
def test_half_up_agrees_with_the_decimal_module(value, places):
    expected = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)

    assert half_up(value, places) == expected


@given(st.fractions(), st.integers(0, 8))
def test_rounding_moves_a_value_by_half_a_place_at_most(value, places):
    moved = abs(Fraction(half_up(value, places)) - value)

    assert moved <= Fraction(1, 2 * 10**places)


@given(st.fractions())
def test_rounding_treats_both_signs_alike(value):
    assert half_up_whole(-value) == -half_up_whole(value)


def test_a_narrow_decimal_context_cuts_nothing():
    with localcontext(prec=3):
        assert half_up(Decimal("1234567.125"), 2) == Decimal("1234567.13")


@given(st.integers(), st.integers(0, 8))
def test_a_scaled_number_keeps_its_places_and_its_value(whole, places):
    number = scaled(whole, places)

    assert number.as_tuple().exponent == -places
    assert Fraction(number) == Fraction(whole, 10**places)


@given(decimals)
def test_trimming_changes_the_spelling_and_not_the_value(value):
    spelled = f"{trimmed(value)}"

    assert Decimal(spelled) == value
    assert "E" not in spelled
    assert not ("." in spelled and spelled.endswith("0"))

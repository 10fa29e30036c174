"""Quantities are exact to a millionth and never guessed at."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.quantity import Quantity, parse_quantity, show_quantity

quantities = st.integers(0, 10**15).map(Quantity)


@given(quantities.filter(lambda quantity: quantity.millionths % 1_000_000_000))
def test_a_shown_quantity_reads_back_unless_it_would_be_ambiguous(quantity):
    shown = show_quantity(quantity)
    if len(shown.partition(".")[2]) == 3:
        shown += "0"

    assert parse_quantity(shown) == quantity


@given(quantities)
def test_the_decimal_and_the_fraction_are_the_same_number(quantity):
    assert Fraction(quantity.decimal) == quantity.fraction
    assert "E" not in str(quantity.decimal)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("36", "36"),
        ("1,5", "1.5"),
        ("½", "0.5"),
        ("2 1/4", "2.25"),
        ("1/3", "0.333333"),
        ("0", "0"),
        (".25", "0.25"),
        ("0,125", "0.125"),
        ("12,345.5", "12345.5"),
        ("1 000", "1000"),
        ("0.000001", "0.000001"),
    ],
)
def test_a_quantity_reads_in_the_usual_spellings(text, value):
    assert parse_quantity(text).decimal == Decimal(value)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is written"),
        ("1,234", "write 1234 or 1.2340"),
        ("1.234", "write 1234 or 1.2340"),
        ("-1", "negative"),
        ("1/0", "divides by zero"),
        ("0.0000001", "more than six decimals"),
        ("5 sheets", "“5 sheets” carries a unit; write 5 alone"),
        ("5sheets", "carries a unit"),
        ("some", "is not a quantity"),
        ("1e9", "is not a quantity"),
        ("9999999999", "more than a thousand million"),
        ("½½", "is not a quantity"),
    ],
)
def test_what_is_no_quantity_is_refused_with_the_reason(text, reason):
    with pytest.raises(BadValue, match=reason):
        parse_quantity(text)


def test_quantities_have_the_arithmetic_of_whole_millionths():
    half = Quantity.of(Fraction(1, 2))

    assert half + half - Quantity.of(1) == Quantity(0)
    assert 3 * half == half * 3 == Quantity.of(Decimal("1.5"))
    assert -half < half
    assert half and not Quantity(0)

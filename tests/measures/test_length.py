"""Lengths read as spoken, add up without rounding, and show as taped."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.area import Area, show_area
from ledger.measures.length import (
    Length,
    parse_allowance,
    parse_length,
    parse_size,
    show_length,
)

lengths = st.integers(0, 10**11).map(Length)
taped = st.integers(0, 32 * 3900).map(lambda steps: Length.of(Fraction(steps, 32), "in"))

SPELLINGS = {
    '24"': "24",
    "24 in.": "24",
    "24 inches": "24",
    "24-1/2 INCHES": "49/2",
    "24 1/2in": "49/2",
    "24\u00a01/2": "49/2",
    "24½″": "49/2",
    "¾": "3/4",
    "2-⅞": "23/8",
    "1⁄2 in": "1/2",
    "3/2": "3/2",
    ".5": "1/2",
    "31,6875": "507/16",
    "2' 7-11/16''": "507/16",
    "2 feet 7 11/16 inches": "507/16",
    "2ft7.6875in": "507/16",
    "6' - 3\"": "75",
    "5'": "60",
    "1.5 ft": "18",
    "0' 0\"": "0",
    "25.4mm": "1",
    "2,54 cm": "1",
    "0,0254 m": "1",
    "254 millimeters": "10",
    "0.254 metres": "10",
}


@pytest.mark.parametrize(("text", "inches"), SPELLINGS.items(), ids=list(SPELLINGS))
def test_a_length_reads_as_it_is_spoken(text, inches):
    assert parse_length(text, "inch").inches == Fraction(inches)


REFUSALS = {
    "": "Nothing is written here",
    "   ": "Nothing is written here",
    "two feet": "is not a length",
    "24 x 48": "is not a length",
    "24..5": "is not a length",
    "1/2/3": "is not a length",
    "1 2": "is not a length",
    "1/0": "divides by zero",
    "3-9/8": "write 4-1/8",
    "-1": "negative",
    "−1": "negative",
    "4' 12\"": "write 5' 0",
    "4' 6' 3\"": "is not a length",
    "2,440 mm": "may be 2440 or 2.440",
    "10 yards": "not a unit of length",
    "10 kg": "not a unit of length",
    "1e3": "is not a length",
    "٣ mm": "is not a length",
    "24\u200b": "cannot be seen",
    "2\x0024": "cannot be seen",
    "=24": "is not a length",
    "200 km": "not a unit of length",
    "200000 m": "longer than 100 km",
    "9" * 61: "longer than 60 characters",
    "9" * 60: "longer than 100 km",
}


@pytest.mark.parametrize(
    ("text", "reason"),
    REFUSALS.items(),
    ids=lambda value: ascii(value)[:24],
)
def test_what_is_no_length_is_refused_with_the_reason(text, reason):
    with pytest.raises(BadValue, match=reason):
        parse_length(text, "inch")


def test_a_bare_number_without_the_unit_of_a_book_is_refused():
    with pytest.raises(BadValue, match=r"“24-1/2” .* 24-1/2 in or 24-1/2 mm"):
        parse_length("24-1/2", None)


def test_a_bare_number_takes_the_unit_of_the_book():
    assert parse_length("622", "mm") == Length.of(622, "mm")
    assert parse_length("622", "inch") == Length.of(622, "in")


def test_a_size_is_more_than_zero_and_an_allowance_may_be_zero():
    assert parse_allowance("0", "mm") == Length(0)
    with pytest.raises(BadValue, match="more than zero"):
        parse_size("0", "mm")


@pytest.mark.parametrize("read", [parse_size, parse_allowance])
def test_a_hundred_meters_is_the_most_a_workshop_measures(read):
    assert read("100 m", None) == Length.of(100, "m")
    with pytest.raises(BadValue, match="longer than 100 m"):
        read("100001 mm", None)


@given(taped)
def test_a_taped_length_reads_back_exactly(length):
    shown = show_length(length, "inch")

    assert not shown.startswith("~")
    assert parse_length(shown, "inch") == length
    assert parse_length(show_length(length, "inch", suffix=True), None) == length


@given(st.integers(0, 10**6).map(lambda tenths: Length(tenths * 100_000)))
def test_a_length_in_tenths_of_a_millimeter_reads_back_exactly(length):
    assert parse_length(show_length(length, "mm"), "mm") == length
    assert parse_length(show_length(length, "mm", suffix=True), None) == length


@given(lengths)
def test_the_tilde_stands_exactly_where_a_length_was_rounded(length):
    shown = show_length(length, "inch")
    read = parse_length(shown.removeprefix("~"), "inch")

    assert shown.startswith("~") == (read != length)
    assert abs(read.inches - length.inches) <= Fraction(1, 64)


@given(st.fractions(0, 1000, max_denominator=64))
def test_inches_go_to_millimeters_and_back_exactly_down_to_64ths(inches):
    inches = Fraction(round(inches * 64), 64)
    millimeters = Length.of(inches, "in").mm

    assert Length.of(millimeters, "mm").inches == inches


@given(st.lists(lengths))
def test_lengths_add_up_like_their_nanometers(parts):
    assert sum(parts, Length(0)).nm == sum(part.nm for part in parts)


def test_a_difference_may_be_negative_and_says_so():
    short = Length.of(1, "in") - Length.of(Fraction(5, 2), "in")

    assert show_length(short, "inch") == "-1-1/2"
    assert -short > short


def test_lengths_multiply_by_counts_and_shares_and_divide_into_a_ratio():
    foot = Length.of(1, "ft")

    assert foot * 3 == 3 * foot == Length.of(3, "ft")
    assert foot * Fraction(1, 3) == Length.of(4, "in")
    assert foot / Length.of(4, "in") == 3
    assert bool(foot) and not Length(0)


def test_an_unknown_unit_is_refused_in_code_too():
    with pytest.raises(BadValue, match="use in, ft, mm, cm or m"):
        Length.of(1, "furlong")
    with pytest.raises(BadValue, match="shown in inch or mm"):
        show_length(Length(1), "cm")
    with pytest.raises(BadValue, match="shown for inch or mm"):
        show_area(Area(1), "cm")


@given(lengths, lengths, lengths)
def test_areas_share_out_over_a_sum_of_lengths(width, left, right):
    assert width * (left + right) == width * left + width * right
    assert width * (left + right) - width * left == width * right


def test_an_area_shows_one_decimal_half_up():
    strip = Length.of(1, "ft") * Length.of(Decimal("0.6"), "in")

    assert strip.square_feet == Fraction(1, 20)
    assert show_area(strip, "inch") == "0.1 sq ft"
    assert show_area(2 * strip, "mm") == "0.0 m²"
    assert bool(strip) and not Area(0)

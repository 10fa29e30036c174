"""Unit factors against published values.

Sources:
- 16 CFR 500.19, conversion table of the US Fair Packaging rules: the rows marked so below.
- NIST Special Publication 811 (2008), appendix B, and NIST Handbook 44, appendix C: the exact
  definitions. Recalled from memory; they agree with 16 CFR 500.19 to its six figures.
- Board foot: NIST Handbook 130 and American Softwood Lumber Standard PS 20-20. From memory.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.measures.length import Length
from ledger.measures.units import board_feet, convert

# NIST SP 811 and Handbook 44 (from memory): exact by definition.
DEFINITIONS = [
    ("in", "mm", "25.4"),
    ("ft", "m", "0.3048"),
    ("yd", "m", "0.9144"),
    ("sq ft", "m²", "0.09290304"),
    ("cu ft", "m³", "0.028316846592"),
    ("cu in", "mL", "16.387064"),
    ("gal", "cu in", "231"),
    ("gal", "L", "3.785411784"),
    ("gal", "quart", "4"),
    ("gal", "pint", "8"),
    ("fl oz", "mL", "29.5735295625"),
    ("lb", "kg", "0.45359237"),
    ("oz", "g", "28.349523125"),
    ("mil", "mm", "0.0254"),
    ("bd ft", "cu in", "144"),
    ("bd ft", "m³", "0.002359737216"),
]
# 16 CFR 500.19: printed to six figures.
PRINTED = [
    ("gal", "L", "3.78541"),
    ("lb", "g", "453.592"),
    ("kg", "lb", "2.20462"),
    ("m²", "sq ft", "10.7639"),
]


@pytest.mark.parametrize(("source", "target", "factor"), DEFINITIONS)
def test_a_defined_factor_is_met_exactly(source, target, factor):
    assert convert(1, source, target) == Fraction(factor)


@pytest.mark.parametrize(("source", "target", "printed"), PRINTED)
def test_a_printed_factor_is_met_to_its_last_figure(source, target, printed):
    last_figure = Fraction(10) ** Decimal(printed).as_tuple().exponent

    assert abs(convert(1, source, target) - Fraction(printed)) <= last_figure / 2


def test_a_gallon_is_the_us_one_and_never_the_imperial_one():
    imperial = Fraction("4.54609")  # liters; UK Units of Measurement Regulations 1995, from memory

    assert convert(1, "gallons", "litres") < imperial


@given(st.fractions())
def test_inches_to_millimeters_and_back_lose_nothing(inches):
    """Source: an inch is 25.4 mm exactly, NIST SP 811 (from memory)."""
    assert convert(convert(inches, "in", "mm"), "mm", "in") == inches


@pytest.mark.parametrize(
    ("thickness", "width", "feet", "expected"),
    [("1", 8, 10, "20/3"), ("2", 4, 8, "16/3"), ("5/4", 6, 12, "15/2")],
)
def test_board_feet_of_nominal_sizes(thickness, width, feet, expected):
    """Nominal sizes: 6.6667, 5.3333 and 7.5 board feet. Source: PS 20-20, from memory."""
    board = (Length.of(Fraction(thickness), "in"), Length.of(width, "in"), Length.of(feet, "ft"))

    assert board_feet(*board) == Fraction(expected)


def test_a_dressed_board_holds_fewer_board_feet_than_its_nominal_size():
    """A nominal 1×8 is 3/4 × 7-1/4 in. when dressed dry: 4.5313 board feet in 10 ft.

    Source: American Softwood Lumber Standard PS 20-20, from memory.
    """
    ten_feet = Length.of(10, "ft")
    dressed = board_feet(
        Length.of(Fraction(3, 4), "in"), Length.of(Fraction(29, 4), "in"), ten_feet
    )

    assert abs(dressed - Fraction("4.5313")) <= Fraction(1, 20_000)
    assert dressed < board_feet(Length.of(1, "in"), Length.of(8, "in"), ten_feet)


def test_a_four_by_eight_sheet_is_not_its_metric_neighbor():
    """4 × 8 ft is 2.97289728 m², a 1220 × 2440 mm sheet 2.9768 m².

    Source: computed from the exact inch of NIST SP 811, from memory.
    """
    american = Length.of(4, "ft") * Length.of(8, "ft")
    metric = Length.of(1220, "mm") * Length.of(2440, "mm")

    assert american.square_meters == Fraction("2.97289728")
    assert metric.square_meters == Fraction("2.9768")


def test_a_birch_sheet_of_five_feet_is_twenty_five_square_feet():
    """Birch plywood, 60 × 60 in. or 1525 × 1525 mm: 25 sq ft and 2.325625 m².

    Source: sizes of trade listings, from memory; areas computed.
    """
    assert (Length.of(60, "in") * Length.of(60, "in")).square_feet == 25
    assert (Length.of(1525, "mm") * Length.of(1525, "mm")).square_meters == Fraction("2.325625")

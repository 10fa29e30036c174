"""Stock units come from a closed list; only measured ones turn into one another."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.units import ask_pint, board_feet, convert, kind, unit

MEASURED = {
    "length": ["in", "ft", "yd", "mil", "mm", "cm", "m"],
    "area": ["sq ft", "m²"],
    "volume": ["bd ft", "cu in", "cu ft", "m³", "gal", "quart", "pint", "fl oz", "L", "mL"],
    "mass": ["lb", "oz", "kg", "g"],
}
COUNTED = ["each", "set", "pair", "lot", "sheet", "roll", "pack", "box", "tube", "bottle", "disc"]
PAIRS = [pair for names in MEASURED.values() for pair in product(names, names)]


@pytest.mark.parametrize(("source", "target"), PAIRS)
def test_a_kept_factor_is_what_pint_says(source, target):
    assert convert(1, source, target) == ask_pint(source, target)


@settings(deadline=None)
@given(st.fractions(), st.sampled_from(PAIRS))
def test_a_conversion_and_its_return_are_exact(value, pair):
    source, target = pair

    assert convert(convert(value, source, target), target, source) == value


@pytest.mark.parametrize(("source", "target"), [("gal", "lb"), ("ft", "sq ft"), ("each", "ft")])
def test_units_of_different_kinds_are_refused_in_our_own_words(source, target):
    with pytest.raises(BadValue, match=f"{source} is an? .* and {target} an? .*; one cannot"):
        convert(1, source, target)


@pytest.mark.parametrize("target", [name for name in COUNTED if name != "box"])
def test_counted_units_turn_into_one_another_only_by_pack_size(target):
    with pytest.raises(BadValue, match="pack size"):
        convert(1, "box", target)


@pytest.mark.parametrize("name", COUNTED)
def test_a_counted_unit_is_itself_in_the_plural(name):
    plural = {"each": "pcs", "box": "boxes"}.get(name, f"{name}s")

    assert unit(name) == unit(plural.upper()) == name
    assert kind(plural) == "count"
    assert convert(3, plural, name) == 3


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Ft.", "ft"),
        ("'", "ft"),
        ('"', "in"),
        ("Board Feet", "bd ft"),
        ("bd.ft.", "bd ft"),
        ("SQ FT", "sq ft"),
        ("ft²", "sq ft"),
        ("m2", "m²"),
        ("Litres", "L"),
        ("ml", "mL"),
        ("qt", "quart"),
        ("fluid ounces", "fl oz"),
        ("lbs", "lb"),
        ("Millimetres", "mm"),
    ],
)
def test_a_unit_has_one_name_and_many_spellings(text, name):
    assert unit(text) == name


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("shets", "the nearest is sheet"),
        ("galons", "the nearest is gal"),
        ("imperial gallon", "is not a unit of this list"),
        ("meter ** 2", "is not a unit of this list"),
        ("", "Nothing is written"),
        ("zorkmid", "write a unit such as"),
    ],
)
def test_an_unknown_unit_is_refused_with_the_nearest_names(text, reason):
    with pytest.raises(BadValue, match=reason):
        unit(text)


@settings(deadline=None)
@given(*[st.integers(1, 2000).map(lambda steps: Length.of(Fraction(steps, 16), "in"))] * 3)
def test_board_feet_of_a_board_are_its_volume(thickness, width, length):
    volume = thickness.meters * width.meters * length.meters

    assert board_feet(thickness, width, length) == convert(volume, "m³", "bd ft")

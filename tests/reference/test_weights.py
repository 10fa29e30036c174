"""Densities, and when help is called for, against published values.

Sources:
- USDA Wood Handbook, FPL-GTR-282 (2021), tables 5-3a and 5-3b: specific gravity at 12 % moisture,
  read in an open copy; density = 62.4 × G × 1.12 lb/cu ft, chapter 4, formula from memory.
- HSE L23, Manual handling, paragraph 120: a team of two does about two thirds of the sum of what
  its members do, three about half; read in a copy.
- NIOSH 94-110, Applications Manual for the Revised Lifting Equation: load constant 51 lb, 23 kg.
- American plywood practice, 3.0 lb a square foot and inch, and birch plywood of 680 kg/m³: from
  memory.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.materials import Material
from ledger.costing.weights import (
    LOAD_CONSTANT,
    TEAM_SHARES,
    help_for,
    team_capacity,
    weigh,
)
from ledger.costing.woods import SPECIFIC_GRAVITY, pounds_per_cubic_foot, wood_density
from ledger.designs.build import build
from ledger.designs.model import Design, Part
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up

# Wood Handbook: species, G, lb/cu ft, lb/bd ft.
WOODS = [
    ("red alder", "0.41", "28.65", "2.388"), ("sugar maple", "0.63", "44.03", "3.669"),
    ("white ash", "0.60", "41.93", "3.494"), ("northern red oak", "0.63", "44.03", "3.669"),
    ("quaking aspen", "0.38", "26.56", "2.213"), ("white oak", "0.68", "47.52", "3.960"),
    ("basswood", "0.37", "25.86", "2.155"), ("yellow-poplar", "0.42", "29.35", "2.446"),
    ("beech", "0.64", "44.73", "3.727"), ("shagbark hickory", "0.72", "50.32", "4.193"),
    ("paper birch", "0.55", "38.44", "3.203"), ("sitka spruce", "0.40", "27.96", "2.330"),
    ("sweet birch", "0.65", "45.43", "3.786"), ("longleaf pine", "0.59", "41.23", "3.436"),
    ("black cherry", "0.50", "34.94", "2.912"), ("yellow birch", "0.62", "43.33", "3.611"),
]  # fmt: skip


# USDA Wood Handbook, tables 5-3a and 5-3b.
@pytest.mark.parametrize(("wood", "gravity", "cubic_foot", "board_foot"), WOODS)
def test_the_handbooks_densities_are_met(wood, gravity, cubic_foot, board_foot):
    assert SPECIFIC_GRAVITY[wood] == gravity
    pounds = pounds_per_cubic_foot(Fraction(gravity))

    assert half_up(pounds, 2) == Decimal(cubic_foot)
    assert half_up(pounds / 12, 3) == Decimal(board_foot)


# USDA Wood Handbook, tables 5-3.
def test_a_woods_density_names_the_handbook():
    density = wood_density("Sugar maple 8/4")

    assert half_up(density.value, 0) == 705  # 44.03 lb/cu ft × 16.0185
    assert "Wood Handbook" in density.source


# HSE L23, 120, on 32.33 lb each: two do 43.11, three 48.50, and no team does 180.
def test_a_team_does_less_than_the_sum_of_its_members():
    each = Fraction("32.33")

    assert half_up(team_capacity([each] * 2), 2) == Decimal("43.11")
    assert half_up(team_capacity([each] * 3), 2) == Decimal("48.50")
    assert team_capacity([each] * 4) is None


# HSE L23, paragraph 120, on 32.33 lb each.
def test_a_carcass_of_180_lb_has_no_team_answer():
    pound = Fraction("0.45359237")
    each = Fraction("32.33") * pound

    assert help_for(180 * pound, Length.of(30, "in"), each) == "lift"
    assert help_for(45 * pound, Length.of(30, "in"), each) == "help"
    assert help_for(32 * pound, Length.of(30, "in"), each) == ""


# NIOSH 94-110, page 1, and HSE L23, paragraph 120.
def test_the_load_constant_is_23_kg_and_is_never_a_divisor():
    assert LOAD_CONSTANT == 23
    assert max(TEAM_SHARES) == 3


# From memory: a plywood handbook's mean of 680 kg/m³ for birch plywood.
def test_a_birch_plywood_sheet_of_18_mm_weighs_36_436_kg():
    sheet = Material(
        code="PLY18", name="Birch ply 18 mm", kind="sheet", unit="sheet", pack=Quantity.of(1),
        thickness=Length.of(18, "mm"), density=Decimal(680), density_source="a handbook's mean",
    )  # fmt: skip
    whole = Part("A1", "Whole sheet", "1", "2440", "1220", "PLY18")
    made = build(Design("sheet", "Sheet", "mm", parts=(whole,)), {}, "mm")

    (weight,) = weigh(made, {"PLY18": sheet})

    assert half_up(weight.kilograms, 3) == Decimal("36.436")
    assert half_up(weight.pounds, 2) == Decimal("80.33")

"""What a plan calls its joints, says of its parts, and measures for a buyer."""

from fractions import Fraction
from typing import Any

import pytest

from ledger.book.tables.materials import Material
from ledger.designs.built import BuiltJoint, BuiltPart, Guide
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.reports.plan_buying import _measure, purchases
from ledger.reports.plan_parts import _kind, _notes, _scale

DEEP, WIDE = Length.of(6, "mm"), Length.of(9, "mm")


@pytest.mark.parametrize(
    ("kind", "sizes", "called"),
    [
        ("other", {"deep": DEEP, "wide": WIDE, "up": Length.of(10, "mm")}, "groove"),
        ("other", {"deep": DEEP, "wide": WIDE, "up": Length(0)}, "rabbet"),
        ("other", {}, "glued or screwed"),
        ("dowel", {"deep": DEEP}, "dowel"),
        ("tenon", {"deep": DEEP}, "tenon"),
    ],
)
def test_a_joint_is_called_by_its_kind_or_by_what_is_cut(
    kind: str, sizes: dict[str, Length], called: str
) -> None:
    assert _kind(BuiltJoint("A-B", kind, Length(0), 1, sizes=sizes)) == called


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({}, []),
        ({"cut": "turned"}, ["turned"]),
        ({"cut": "bought"}, ["bought ready made"]),
        ({"strips": 3, "cut": "glued"}, ["glued up from 3 strips"]),
        ({"tapers": 1}, ["1 face tapered"]),
    ],
)
def test_a_part_is_said_to_be_made_otherwise_than_cut(
    facts: dict[str, Any], said: list[str]
) -> None:
    part = BuiltPart("A", "Knob", 1, DEEP, DEEP, "ASH", **facts)
    assert list(_notes(part, {}, "inch")) == said


@pytest.mark.parametrize(
    ("unit", "units", "said"),
    [
        ("ft", "inch", "10 ft (3 m)"),
        ("ft", "mm", "3 m (10 ft)"),
        ("m", "inch", "32.8 ft (10 m)"),
        ("m", "mm", "10 m (32.8 ft)"),
    ],
)
def test_a_buyer_reads_the_measure_of_the_edition_first(unit: str, units: str, said: str) -> None:
    assert _measure(Fraction(10), unit, units) == said


PLY = {"kind": "sheet", "unit": "sheet"}
FULL = {"length": Length.of(96, "in"), "width": Length.of(48, "in")}


@pytest.mark.parametrize(
    ("facts", "pack", "need", "said"),
    [
        ({"kind": "fastener", "unit": "each"}, 100, 150, "2 packs of 100"),
        ({"kind": "fastener", "unit": "each"}, 1, 150, "150"),
        (PLY | FULL, 1, Fraction(12, 5), "3 sheets of 96 × 48 in (2438.5 × 1219 mm)"),
        (PLY, 1, 3, "3 sheets"),
    ],
)
def test_a_buyer_buys_whole_packs_and_sheets(
    facts: dict[str, Any], pack: int, need: Fraction, said: str
) -> None:
    known = {"X": Material(code="X", name="Oak ply", pack=Quantity.of(pack), **facts)}
    bought = purchases({"X": Quantity.of(need)}, known, {}, Guide(), "inch")
    assert [line.quantity for line in bought] == [said]


def test_a_sheet_is_drawn_at_the_largest_usual_scale_at_which_it_fits() -> None:
    # In inches a length of 9.6 in fills the room at full scale: 692 pt
    long = [19, 28, 38, 48, 76, 96, 115, 144, 192, 240, 288, 384, 480, 600]
    scales = [_scale(Length.of(inches, "in"), Length.of(1, "in"), "inch") for inches in long]
    assert scales == [2, 3, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 50]
    assert _scale(Length.of(96, "in"), Length.of(60, "in"), "inch") == 15  # 346 pt high

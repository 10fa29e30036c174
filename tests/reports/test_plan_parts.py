"""What a plan calls its joints, says of its parts, and measures for a buyer."""

from fractions import Fraction
from typing import Any

import pytest

from ledger.designs.built import BuiltJoint, BuiltPart
from ledger.measures.length import Length
from ledger.reports.plan_buying import _measure
from ledger.reports.plan_parts import _kind, _notes

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

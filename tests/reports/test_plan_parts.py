"""What a plan calls its joints."""

import pytest

from ledger.designs.built import BuiltJoint
from ledger.measures.length import Length
from ledger.reports.plan_parts import _kind

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

"""A joint of a plan is drawn to its scale, with the sizes that the design says."""

import re

from ledger.designs.built import BuiltJoint, BuiltPart
from ledger.measures.length import Length, parse_length
from ledger.reports.joint_drawing import joint_drawing


def size(words: str) -> Length:
    return parse_length(words, None)


ALONG = re.compile(r"M[\d.]+ ([\d.]+) H[\d.]+ m0 -3")
"""The height of a dimension from left to right."""

APRON = BuiltPart("R1", "Apron", 2, size("16 in"), size("4 in"), "WAL44")


def joint(kind: str, **sizes: str) -> BuiltJoint:
    held = {name: size(words) for name, words in sizes.items()}
    return BuiltJoint("L1-R1", kind, Length(0), 4, sizes=held)


def test_a_tenon_is_drawn_to_scale_from_two_sides():
    said = {"long": "3/4 in", "thick": "1/4 in", "wide": "3 in", "down": "1/2 in"}
    drawn = joint_drawing(joint("tenon", **said), APRON, size("3/4 in"), "inch")

    assert drawn is not None
    assert (drawn.part, drawn.scale) == ("R1 Apron", 3)
    inch = 72 / drawn.scale
    boxes = re.findall(
        r'<rect x="[\d.]+" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"', drawn.svg
    )
    # the part itself is drawn beside its tenon, 26 points of its length and all its width
    left, above, right, below = re.findall(
        r'd="M([\d.]+) ([\d.]+) H([\d.]+) V([\d.]+) ', drawn.svg
    )[0]
    assert float(right) - float(left) == 26
    assert float(below) - float(above) == 4 * inch
    (top, *face), (middle, *edge) = [[float(one) for one in box] for box in boxes]
    assert face == [0.75 * inch, 3 * inch]
    assert edge == [0.75 * inch, 0.25 * inch]
    assert (top, middle) == (28 + inch / 2, 28 + inch / 4)
    assert re.findall(r">([\d/-]+)</text>", drawn.svg) == ["3", "1/2", "4", "3/4", "1/4", "3/4"]
    foot = float(re.findall(r' y="([\d.]+)"[^>]*>4</text>', drawn.svg)[0])
    assert foot == 28 + 2 * inch + 3  # letters of 9 points stand 3 below the middle of their height
    assert ALONG.findall(drawn.svg) == ["22.0"]  # 6 points above the part, which begins at 28


def test_a_groove_is_drawn_in_the_part_cut_across():
    drawn = joint_drawing(
        joint("other", deep="6 mm", wide="9 mm", up="10 mm"), APRON, size("3/4 in"), "mm"
    )

    assert drawn is not None
    assert set(re.findall(r">([\d.]+)</text>", drawn.svg)) == {"6", "9", "10", "19"}
    # 1 to 1, cut off 112 points below its upper rim at 28: the groove begins 19 mm above 140
    assert drawn.scale == 1
    groove = 140 - 19 * 72 / 25.4
    assert ALONG.findall(drawn.svg) == [f"{groove - 6:.1f}", "22.0"]


def test_what_says_too_little_is_not_drawn():
    assert joint_drawing(joint("dovetail", long="1/2 in"), APRON, size("3/4 in"), "inch") is None
    assert joint_drawing(joint("tenon"), APRON, size("3/4 in"), "inch") is None

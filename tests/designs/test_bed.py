"""The fold-down bed closes: every size follows from the mattress, and the known one is exact."""

from fractions import Fraction
from pathlib import Path

import pytest

from ledger.designs.build import build
from ledger.designs.built import Build
from ledger.designs.model import Design
from ledger.errors import BadValue
from ledger.measures.length import Length, parse_size, show_length
from ledger.workbooks.readers.design import read_design

BED = Path(__file__).parents[2] / "sample_data" / "bed"
THREE_QUARTER, HALF, QUARTER = Fraction(23, 32), Fraction(15, 32), Fraction(7, 32)
SIZES = [("60", "80"), ("54", "75"), ("76", "80"), ("38", "75"), ("39", "80"), ("72", "84")]
"""Mattress sizes as sold in the United States, inches: public consumer pages agree on them."""

QUEEN = """
A1 2 88 16-1/2 PLY34 L1 2 | A2 1 63-11/16 16-1/2 PLY34 L1 2 | A3 1 63-11/16 6 PLY34 - 1
A4 1 63-11/16 30 PLY34 L1 1 | A5 1 63-11/16 6 PLY34 - 1 | A6 1 63-11/16 3-1/2 PLY34 L1 1
B1 2 82-7/16 4-3/4 PLY34 - 2 | B2 2 61 4-3/4 PLY34 - 2 | B3 9 61 2-1/4 PLY34 - 0
B4 8 9-1/4 3 PLY34 - 0 | B5 16 9-1/4 1-1/2 PLY34 - 0
B6 2 82-7/16 31-11/16 PLY12 L1+L2+W1+W2 1 | B7 2 60-7/8 40-7/16 PLY14 - 1
B8 2 82-7/16 23/32 BIRCH44 - 0 | B9 2 61 23/32 BIRCH44 - 0
C1 4 88 12 PLY34 L1 2 | C2 6 16-9/16 11-3/4 PLY34 L1 2 | C3 6 16-7/16 11-1/2 PLY34 L1 2
C4 2 84-1/2 17-1/4 PLY14 - 1 | C5 2 16-9/16 3-1/2 PLY34 - 1
"""


@pytest.fixture(scope="module")
def bed() -> Design:
    return read_design(BED, "inch")


def inches(built: Build, part: str) -> tuple[Fraction, Fraction]:
    """Length and width of a part."""
    found = next(line for line in built.parts if line.id == part)
    return found.length.inches, found.width.inches


def test_the_queen_bed_has_the_known_parts_list(bed: Design) -> None:
    rows = [line.split() for line in QUEEN.replace("\n", "|").split("|") if line.strip()]
    built = build(bed, {})

    got = [
        [
            part.id, str(part.quantity), show_length(part.length, "inch"),
            show_length(part.width, "inch"), part.material, "+".join(part.banded) or "-",
            str(part.faces),
        ]
        for part in built.parts
    ]  # fmt: skip
    assert got == rows
    for part, row in zip(built.parts, rows, strict=True):
        assert (part.length, part.width) == (parse_size(row[2], "inch"), parse_size(row[3], "inch"))


def test_the_queen_beds_counts_are_those_counted_by_hand(bed: Design) -> None:
    built = build(bed, {})
    counts = {name: count.quantity for name, count in built.counts.items()}

    for driver, right in {
        "part_lines": 20, "pocket_holes": 106, "dowels": 16, "joints": 51, "pins": 160,
        "board_feet": 3,
        "mechanisms": 1, "fittings": 14, "pieces": 18, "sessions": 3, "meetings": 2, "trips": 2,
        "jobs": 1, "install": Fraction(19, 2), "delivery": Fraction(7, 2),
    }.items():  # fmt: skip
        assert counts[driver] == right, driver
    for driver, right in {
        "rabbet": "28.2", "solid_edge": "23.9", "band": "114.5", "sand": "276.1", "spray": "828.4",
    }.items():  # fmt: skip
        assert f"{float(counts[driver]):.1f}" == right
    bands = [(b.material, f"{float(b.length.feet):.1f}", b.edges) for b in built.bands]
    assert bands == [("EDGE78", "76.4", 21), ("EDGE58", "38.0", 8)]


def test_pocket_holes_and_joints_split_over_cabinet_tray_and_towers(bed: Design) -> None:
    from ledger.designs.counting_rules import pocket_holes

    built = build(bed, {})
    found: dict[str, list[int]] = {"A": [0, 0], "B": [0, 0], "C": [0, 0]}
    for joint in built.joints:
        room = found[joint.id[0]]
        room[0] += joint.quantity
        room[1] += pocket_holes(joint.length) * joint.quantity if joint.kind == "pocket" else 0
    assert found == {"A": [11, 38], "B": [22, 36], "C": [18, 32]}


def test_net_areas_are_the_known_ones(bed: Design) -> None:
    built = build(bed, {})
    for material, right in {"PLY34": "114.8", "PLY12": "36.3", "PLY14": "54.4"}.items():
        feet = sum(part.area.square_feet for part in built.parts if part.material == material)
        assert f"{float(feet):.1f}" == right


def test_supplies_follow_their_rules(bed: Design) -> None:
    needs = {need.material: need.quantity.decimal for need in build(bed, {}).needs}
    assert needs == {
        "DISC5": 36, "GLUE": 1, "PSCREW": 106, "ASSORT": 1, "MASK": 1, "WRAP": 1, "PIVOT": 1,
        "LEGS": 1, "PULL8": 2, "STRAPS": 1, "BOLT": 8, "PIN14": 24, "WALLSCREW": 24, "SHIMS": 1,
    }  # fmt: skip


def test_the_quote_may_say_the_overall_size(bed: Design) -> None:
    facts = build(bed, {}).facts
    assert facts["overall size"] == "101-1/8 in W × 88 in H × 16-1/2 in D"
    assert facts["mattress"] == "60 in × 80 in, at most 10 in thick"


@pytest.mark.parametrize(("width", "length"), SIZES)
def test_every_mattress_closes(bed: Design, width: str, length: str) -> None:
    built = build(bed, {"mattress_width": width, "mattress_length": length})
    wide, long = Fraction(width) + 1, Fraction(length) + 1
    opening = inches(built, "A2")[0]

    assert inches(built, "B2")[0] == wide  # half an inch round the mattress
    assert inches(built, "B1")[0] == long + 2 * THREE_QUARTER
    assert opening == wide + 2 * THREE_QUARTER + 2 * Fraction(5, 8)
    for between in ("A3", "A4", "A5", "A6"):
        assert inches(built, between)[0] == opening
    face = inches(built, "B6")
    assert 2 * face[1] + Fraction(1, 16) + 2 * Fraction(1, 8) == opening
    assert face[0] == inches(built, "B1")[0]
    assert built.parameters["cabinet_width"].startswith(str(int(opening + 2 * THREE_QUARTER)))
    side = inches(built, "A1")[0]
    assert side == Fraction(17, 4) + inches(built, "B1")[0] + Fraction(19, 32) + THREE_QUARTER
    deck = inches(built, "B7")
    assert deck[0] == wide - Fraction(1, 8)
    assert 2 * deck[1] == long - Fraction(1, 8)


@pytest.mark.parametrize(("width", "length"), SIZES)
def test_the_ribs_leave_bays_that_their_blocks_fit(bed: Design, width: str, length: str) -> None:
    built = build(bed, {"mattress_width": width, "mattress_length": length})
    bay = (Fraction(length) + 1 - 9 * THREE_QUARTER) / 8

    assert bay > 0
    for block in ("B4", "B5"):
        air = bay - inches(built, block)[0]
        assert Fraction(1, 16) <= air < Fraction(1, 8)


@pytest.mark.parametrize(("width", "length"), SIZES)
def test_the_towers_do_not_change_with_the_mattress(bed: Design, width: str, length: str) -> None:
    built = build(bed, {"mattress_width": width, "mattress_length": length})
    queen = build(bed, {})

    assert [p for p in built.parts if p.id[0] == "C"] == [p for p in queen.parts if p.id[0] == "C"]
    assert inches(built, "C4")[1] == inches(built, "C2")[0] + 2 * Fraction(3, 8) - Fraction(1, 16)


@pytest.mark.parametrize(("width", "length"), SIZES)
def test_every_part_comes_from_a_sheet(bed: Design, width: str, length: str) -> None:
    built = build(bed, {"mattress_width": width, "mattress_length": length})
    for part in built.parts:
        assert part.length <= Length.of(Fraction(191, 2), "in"), part.id
        assert part.width <= Length.of(Fraction(95, 2), "in"), part.id


def test_a_measured_thickness_moves_what_lies_between(bed: Design) -> None:
    built = build(bed, {"t34": "18 mm"})
    assert inches(built, "B1")[0] == 81 + 2 * Length.of(18, "mm").inches
    assert inches(built, "C2")[0] == 18 - 2 * Length.of(18, "mm").inches


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"mattress_thickness": "10-1/2"}, "mattress_thickness is 10-1/2 in; it must be at most"),
        ({"mattress_width": "96"}, "mattress_width is 96 in; it must be at most 78 in"),
        ({"mattress_length": "60"}, "mattress_length is 60 in; it must be at least 74 in"),
        ({"ribs": "8"}, "there must be an odd number of ribs"),
        ({"ribs": "3"}, "rib_bay is"),
        ({"opening": "64 in"}, "cannot be set"),
        ({"t34": "23/32"}, ""),
    ],
)
def test_what_would_not_turn_or_hold_is_refused(
    bed: Design, values: dict[str, str], said: str
) -> None:
    if not said:
        assert build(bed, values) == build(bed, {})
        return
    with pytest.raises(BadValue, match=said):
        build(bed, values)


def test_a_deeper_cabinet_takes_a_thicker_mattress(bed: Design) -> None:
    built = build(bed, {"cabinet_depth": "18-1/2", "mattress_thickness": "12"})
    assert inches(built, "A1")[1] == Fraction(37, 2)
    assert built.facts["mattress"] == "60 in × 80 in, at most 12 in thick"

"""Lumber in the take-off: by tally, by whole boards, as solid edging, and what no board gives."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ledger.book.tables.materials import Material
from ledger.costing.assumptions import assumptions
from ledger.costing.gaps import WorkCounts, find_gaps
from ledger.costing.sheet import SheetHours
from ledger.costing.taken import Taken
from ledger.costing.takeoff import Allowances, take_off
from ledger.costing.woods import shop_wood, waste_advice
from ledger.designs.build import build
from ledger.designs.built import Build
from ledger.designs.model import Design, Need, Part
from ledger.errors import NotAllowed
from ledger.labor.standards import starting_standards
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity

KERF = Length.of(Fraction(1, 8), "in")


def inches(text: str) -> Length:
    """A length in inches."""
    return Length.of(Fraction(text), "in")


def lumber(code: str = "ASH", **facts: Any) -> Material:
    """Rough 4/4 boards of 6 in × 8 ft, a quarter of them waste; `facts` change that."""
    usual: dict[str, Any] = {
        "code": code, "name": "White ash 4/4", "kind": "lumber", "unit": "bd ft",
        "pack": Quantity.of(1), "length": inches("96"), "width": inches("6"),
        "thickness": inches("1"), "allowance": Fraction(1, 4), "allowance_on": "bought",
    }  # fmt: skip
    return Material(**usual | facts)


def taken(material: Material, *parts: Part, units: str = "inch") -> tuple[Taken, Build]:
    """The one line of the take-off of parts of a material."""
    ply = lumber("PLY", kind="sheet", name="Birch ply", unit="sheet", allowance=None)
    known = {material.code: material, "PLY": ply}
    piece = build(Design("p", "P", "inch", parts=parts), {}, units, shop_wood(known, KERF, "tenon"))
    lines = take_off(piece, {}, known, Allowances(Fraction(0), Fraction(0)), KERF)
    return next(line for line in lines if line.material == material.code), piece


def part(length: str, width: str, thickness: str = "3/4", **facts: Any) -> Part:
    """One line of four such parts."""
    return Part("A", "Rail", "4", f"{length} in", f"{width} in", "ASH", f"{thickness} in", **facts)


def test_thick_stock_is_tallied_on_its_rough_size() -> None:
    """By hand: 2 × 1-1/2 × 21-1/4 ÷ 144 × 4 = 1.771 bd ft; ÷ 0.65 = 2.724."""
    thick = lumber(thickness=inches("2"), allowance=Fraction("0.35"), by_tally=True)
    line, _ = taken(thick, part("85/4", "3/2", "3/2"))
    assert (round(line.net.decimal, 3), line.charged.decimal) == (Decimal("1.771"), 3)
    assert "÷ (1 − 35 %) = 2.724" in line.basis


@pytest.mark.parametrize(
    ("waste", "on", "bought"), [("1/2", "bought", 7), ("1/2", "net", 5), ("0", "bought", 4)]
)
def test_waste_is_a_share_of_what_is_bought_or_of_what_is_needed(
    waste: str, on: str, bought: int
) -> None:
    """By hand: 4 × 24 × 5 ÷ 144 = 3.33 bd ft, blanks 4 × 25 × 5-1/4 ÷ 144 = 3.65."""
    ash = lumber(allowance=Fraction(waste), allowance_on=on, by_tally=True)
    assert taken(ash, part("24", "5"))[0].charged.decimal == bought


def test_a_tally_is_never_less_than_the_blanks_cut_oversize() -> None:
    """By hand: 4 × 35 × 5 ÷ 144 = 4.86 bd ft, blanks 4 × 36 × 5-1/4 ÷ 144 = 5.25."""
    ash = lumber(allowance=Fraction(0), by_tally=True)
    assert taken(ash, part("35", "5"))[0].charged.decimal == 6


def test_solid_edging_is_bought_by_the_board_foot() -> None:
    """By hand: 4 × (24 + 6) × 7/16 ÷ 144 = 0.365 bd ft, ÷ 3/4 = 0.486: one whole one."""
    shelf = Part("S", "Shelf", "4", "24 in", "12 in", "PLY", banded=("L1",), edging="ASH")
    line, piece = taken(lumber(by_tally=True), shelf)
    assert (round(line.net.decimal, 3), line.charged.decimal) == (Decimal("0.365"), 1)
    assert "band" not in piece.counts
    whole, _ = taken(lumber(), shelf)
    assert (whole.charged.decimal, whole.basis[:13]) == (4, "1 rough board")


def test_a_panel_is_laid_on_boards_strip_by_strip() -> None:
    """Four panels 20 in wide are 16 strips of 5 in, three 25 in long on each board: 6 boards."""
    line, _ = taken(lumber(allowance=None, allowance_on=None), part("24", "20"))
    assert line.charged.decimal == 6 * 4
    assert "glued up of 4 strips 5 in wide" in line.trace[0]


def test_thin_parts_ask_whether_to_resaw_and_save_nothing_by_themselves() -> None:
    thin, _ = taken(lumber(by_tally=True), part("24", "5", "3/8"))
    full, _ = taken(lumber(by_tally=True), part("24", "5", "3/4"))
    assert thin.trace[0].endswith("(resaw?)")
    assert not full.trace[0].endswith("(resaw?)")
    assert thin.charged == full.charged


def test_what_no_board_gives_names_the_board_that_would() -> None:
    with pytest.raises(NotAllowed, match=r"A Rail: 1 in thick.* take 5/4, or make the part 13/16"):
        taken(lumber(), part("24", "5", "1"))
    surfaced = lumber(thickness=inches("5/4"), surfaced=inches("17/16"), by_tally=True)
    assert taken(surfaced, part("24", "5", "17/16"))[0].charged.decimal > 0
    with pytest.raises(NotAllowed, match="boards of 101 in"):
        taken(lumber(by_tally=True), part("100", "5"))


@pytest.mark.parametrize("units", ["inch", "mm"])
def test_a_sheet_is_not_dressed_and_gives_no_solid_part(units: str) -> None:
    veneer = lumber(kind="sheet", name="Ash veneer", unit="sheet", thickness=Length.of(3, "mm"))
    words = r"^A Rail: cut glued is of solid boards, and ASH Ash veneer is a sheet, which is not"
    with pytest.raises(NotAllowed, match=words):
        taken(veneer, part("24", "5", "1/8", cut="glued"), units=units)


def test_lumber_thinner_than_flattening_takes_off_is_used_as_it_comes() -> None:
    """1/8 in less 3/16 in would be less than nothing."""
    with pytest.raises(NotAllowed, match=r"3/16 in thick.* of 1/8 in ends at 1/8 in"):
        taken(lumber(thickness=inches("1/8")), part("24", "5", "3/16"))
    assert taken(lumber(thickness=inches("1/8")), part("24", "5", "1/8"))[0].charged.decimal > 0


def test_parts_bought_ready_made_are_charged_by_their_own_unit() -> None:
    legs = lumber(unit="each", allowance=None, allowance_on=None, name="Turned leg")
    line, piece = taken(legs, part("28", "2", "2", cut="bought"))
    assert (line.charged.decimal, "blanks" in piece.counts) == (4, False)
    assert line.basis == "bought ready made: 4 of A Rail"
    by_foot = lumber(unit="ft", allowance=None, allowance_on=None)
    assert taken(by_foot, part("30", "2", "1/2", cut="bought"))[0].net.decimal == 10


@pytest.mark.parametrize(
    ("grade", "name", "is_painted", "share"),
    [
        ("FAS", "White ash", False, "25 %"), ("FAS", "Walnut", False, "35 %"),
        ("No. 1", "Poplar", False, "40 %"), ("No. 1", "Poplar", True, "25 %"),
        ("S4S", "Pine", False, "10 %"), ("", "Ash", False, "25 %"),
    ],
)  # fmt: skip
def test_waste_that_is_not_said_is_told_with_what_is_usual(
    grade: str, name: str, is_painted: bool, share: str
) -> None:
    bare = lumber(grade=grade, name=name, allowance=None, allowance_on=None)
    assert f"ASH {share} (" in waste_advice([bare], is_painted=is_painted)
    assert not waste_advice([lumber(grade=grade)], is_painted=is_painted)


def test_work_of_the_lists_that_no_operation_counts_is_told() -> None:
    ash = lumber()
    _, piece = taken(ash, part("24", "20", shaped=("L1",)), Part("B", "Leg", "1", "9", "2", "ASH"))
    new = {"gluing up panels", "shaping edges"}
    known = {row.code: row for row in starting_standards()}
    for operations, told in (({}, new), (known, set[str]())):
        counts = WorkCounts(operations, piece.counts, frozenset())
        gaps = find_gaps("J-1", piece, {"ASH": ash}, counts, ())
        assert {gap.what for gap in gaps} & new == told


def test_assumptions_are_told_with_what_would_settle_them() -> None:
    bare = lumber(allowance=None, allowance_on=None, by_tally=True)
    _, piece = taken(bare, part("24", "20"), Part("B", "Leg", "4", "20 in", "2 in", "ASH"))
    told = list(assumptions("Oak table in ash", piece, {"ASH": bare}, ()))
    assert [sentence.split()[0] for sentence in told] == [
        "A", "Oak", "Assumed:", "Assumed:", "Nothing",
    ]  # fmt: skip
    assert told[1].startswith("Oak is asked for") and bare.name in told[1]
    assert "4 joints for B" in told[2]


@pytest.mark.parametrize(
    ("joint", "own", "listed", "told"),
    [("tenon", 4, 20, "1.60 h"), ("tenon", 4, 0, "9.00 h"), ("dowel", 8, 40, "1.60 h")],
)
def test_an_assumed_joint_takes_its_share_of_hours_that_others_are_in(
    joint: str, own: int, listed: int, told: str
) -> None:
    """By hand: 4 of 24 joints take a sixth of 6.00 and, of 20, a fifth of 3.00 h: 1.00 + 0.60."""
    ash = lumber(allowance=None, allowance_on=None, by_tally=True)
    known = shop_wood({"ASH": ash}, KERF, joint)
    parts = (part("24", "20"), Part("B", "Leg", "4", "20 in", "2 in", "ASH"))
    piece = build(Design("p", "P", "inch", parts=parts), {}, "inch", known)
    basis = "joints; 4 joints assumed for B"
    hours = [
        SheetHours(
            operation=group, name=group, group=group, driver=Fraction(count), unit="joint",
            estimate=Decimal(took), owner=Decimal(took), helper=Decimal(0), standard=Decimal(took),
            history=Decimal(took), ratio=Fraction(1), past_jobs=0, basis=basis,
        )
        for group, count, took in (
            ("joinery", own + listed, "6.00"), ("assembly", 20 if listed else 4, "3.00"),
        )
    ]  # fmt: skip
    told_of = [one for one in assumptions("", piece, {"ASH": ash}, hours) if "joints for B" in one]
    assert len(told_of) == 1 and f"(joinery; {told} with assembly)" in told_of[0]


def test_counted_fasteners_are_bought_to_the_next_whole_one() -> None:
    """By hand: 72 and a tenth are 79.2, so 80 are needed."""
    screws = lumber("SCREW", name="Screws", kind="fastener", unit="each", allowance=Fraction(1, 10))
    bought = Part("A", "Knob", "1", "2 in", "2 in", "SCREW", cut="bought")
    piece = build(
        Design("p", "P", "inch", parts=(bought,), needs=(Need("SCREW", "72"),)), {}, "inch"
    )
    line, *_ = take_off(piece, {}, {"SCREW": screws}, Allowances(Fraction(0), Fraction(0)), KERF)
    assert line.charged == Quantity.of(80)


@pytest.mark.parametrize(
    ("name", "is_opaque"),
    [("White lacquer", True), ("Black satin lacquer", True), ("Pigmented lacquer", True),
     ("Cabinet enamel", True), ("Clear lacquer", False), ("Lacquer for white oak", False),
     ("Water-white lacquer", False), ("White shellac", False)],
)  # fmt: skip
def test_a_lacquer_is_opaque_where_a_color_stands_before_it(name, is_opaque):
    """A water-white lacquer is a clear one, and so is white, that is bleached, shellac."""
    coat = Material(code="COAT", name=name, kind="finish", unit="gal")
    assert ("COAT" in shop_wood({"COAT": coat}, KERF, "tenon").paints) == is_opaque

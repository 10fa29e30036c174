"""Solid wood, joints and fittings counted from the lists, and what is assumed without them.

Expected figures are worked out by hand in the comments.
"""

from fractions import Fraction
from typing import Any

import pytest

from ledger.costing.assumptions import assumptions
from ledger.designs.build import build
from ledger.designs.built import Build
from ledger.designs.model import Coat, Count, Design, Joint, Need, Part
from ledger.designs.store import from_json, to_json
from ledger.designs.wood import Board, ShopWood
from ledger.errors import BadValue, LedgerError
from ledger.measures.length import Length
from ledger.measures.values import replace

ASH = Board(Length.of(6, "in"), Length.of(1, "in"), Length.of(Fraction(13, 16), "in"))
WOOD = ShopWood({"ASH": ASH}, kerf=Length.of(Fraction(1, 8), "in"))
LEG = Part("L", "Leg", "4", "28 in", "2 in", "ASH", "3/4 in", faces=2)
RAIL = Part("R", "Rail", "4", "20 in", "3 in", "ASH", "3/4 in", faces=2)
SHELF = Part("S", "Shelf", "1", "24 in", "12 in", "PLY", "3/4 in", faces=2)


def made(*parts: Part, wood: ShopWood = WOOD, **tables: Any) -> Build:
    """A piece of those parts in a shop with one board, its ash."""
    return build(Design("piece", "Piece", "inch", parts=parts, **tables), {}, "inch", wood)


def counted(piece: Build, driver: str) -> Fraction:
    """What is counted of a driver, nothing where it is none."""
    return piece.counts[driver].quantity if driver in piece.counts else Fraction(0)


@pytest.mark.parametrize(
    ("parts", "joints"),
    [
        ((LEG, RAIL), 8),  # the base of a table: one a piece
        ((LEG, RAIL, SHELF), 10),  # a case: 1-1/4 a piece, of its 8 solid ones
        ((LEG, Part("T", "Slat", "7", "20 in", "2 in", "ASH", "3/4 in")), 20),  # 1.8 × 11 = 19.8
        ((LEG,), 0),  # a single part is joined to nothing
    ],
)
def test_solid_parts_that_nothing_joins_are_assumed_joined(
    parts: tuple[Part, ...], joints: int
) -> None:
    piece = made(*parts)
    assert (counted(piece, "tenons"), counted(piece, "joints")) == (joints, joints)
    if joints:
        assert piece.counts["tenons"].is_assumed
        assert f"{joints} joints assumed for L" in piece.counts["joints"].basis


@pytest.mark.parametrize(
    ("kind", "driver", "each"), [("dowel", "dowels", 2), ("pocket", "pocket_holes", 2)]
)
def test_an_assumed_joint_is_of_the_shops_usual_kind(kind: str, driver: str, each: int) -> None:
    piece = made(LEG, RAIL, wood=ShopWood(WOOD.boards, default_joint=kind))
    assert counted(piece, driver) == 8 * each


@pytest.mark.parametrize("answer", ["loose", "hardware", "in R", "glued on", "screwed on"])
def test_a_part_that_says_how_it_is_held_is_not_assumed(answer: str) -> None:
    leg = Part("L", "Leg", "4", "28 in", "2 in", "ASH", "3/4 in", joined=answer)
    piece = made(leg, RAIL, joints=(Joint("R-X", "other", "3 in", "4"),))
    assert not any(joint.is_assumed for joint in piece.joints)
    assert counted(piece, "joints") == 4 + (4 if answer.endswith(" on") else 0)


def test_thin_glued_turned_and_bought_parts_are_not_assumed() -> None:
    parts = (
        Part("A", "Panel", "1", "24 in", "12 in", "ASH", "3/4 in"),
        Part("B", "Thin", "2", "24 in", "2 in", "ASH", "7/16 in"),
        Part("C", "Knob", "1", "2 in", "2 in", "ASH", "2 in", cut="turned"),
        Part("D", "Foot", "4", "4 in", "2 in", "ASH", "2 in", cut="bought"),
    )
    assert made(*parts).joints == ()


def test_a_design_that_counts_its_solid_work_gets_none_derived() -> None:
    for driver in ("board_feet", "solid_edge"):
        piece = made(LEG, RAIL, counts=(Count(driver, "3"),))
        assert (piece.joints, counted(piece, "blanks")) == ((), 0)
    assert made(LEG, RAIL, counts=(Count("solid_edge", "3 ft"),)).counts["solid_edge"].fixed


def test_joints_that_name_no_part_leave_nothing_assumed() -> None:
    assert len(made(LEG, RAIL, joints=(Joint("corners", "tenon", "3 in", "8"),)).joints) == 1


def test_blanks_are_cut_oversize_strip_by_strip() -> None:
    """A top 24 × 16 in of 6 in boards, 5-1/2 in jointed: 3 strips 5-1/3 in, each 25 × 5-7/12."""
    piece = made(Part("T", "Top", "2", "24 in", "16 in", "ASH", "3/4 in"))
    assert (piece.parts[0].strips, counted(piece, "blanks")) == (3, 6)
    assert counted(piece, "glue_line") == 2 * 2 * 2
    assert counted(piece, "board_feet") == 6 * Fraction(25) * Fraction(67, 12) / 144
    assert piece.notes[0].startswith("T Top is 16 in wide")
    assert not made(Part("T", "Top", "2", "24 in", "16 in", "ASH", cut="glued")).notes


@pytest.mark.parametrize(
    ("width", "cut", "strips"),
    [("5-1/2", "", 1), ("5-9/16", "", 2), ("5-3/4", "board", 1), ("5-13/16", "board", 2),
     ("5", "glued", 1), ("9", "turned", 1), ("9", "bought", 1)],
)  # fmt: skip
def test_a_part_as_wide_as_its_jointed_board_is_in_one_piece(
    width: str, cut: str, strips: int
) -> None:
    """A board of 6 in gives 5-1/2 in jointed; 5-3/4 in where the design says it is one board."""
    assert made(Part("T", "Top", "1", "24 in", f"{width} in", "ASH", cut=cut)).parts[0].strips == (
        strips
    )


def test_edges_of_seen_solid_parts_are_sanded_and_finished_too() -> None:
    """A rail 20 × 3 × 3/4 in: two faces 120, four edges 34.5 sq in; times 4 ÷ 144 = 4.29 sq ft."""
    piece = made(RAIL, finish=(Coat("OIL", 2, "wipe"), Coat("VARNISH", 3, "wipe")))
    area = Fraction(4 * 309, 2 * 144)
    assert (counted(piece, "sand_solid"), counted(piece, "solid_pieces")) == (area, 4)
    assert (counted(piece, "wipe"), counted(piece, "hand_sessions")) == (5 * area, 5)
    assert counted(piece, "scuff") == 0
    film = ShopWood(WOOD.boards, films=frozenset({"VARNISH"}))
    coats = (Coat("OIL", 2, "wipe"), Coat("VARNISH", 3, "wipe"))
    assert counted(made(RAIL, wood=film, finish=coats), "scuff") == 2 * area


def test_sheets_under_paint_and_faces_sanded_bare_are_counted_apart() -> None:
    bare = Part("B", "Box side", "1", "12 in", "12 in", "PLY", faces=0, sanded=2)
    piece = made(SHELF, bare, tags=frozenset({"painted"}))
    assert (counted(piece, "sand"), counted(piece, "sand_painted")) == (0, 2 * 2 + 2)
    assert piece.finish_area.square_feet == 4


def test_sheets_under_an_opaque_coat_over_all_are_sanded_for_paint() -> None:
    """A shelf with both faces of 2 sq ft; paint on a part of it leaves the sanding for clear."""
    wood = ShopWood(WOOD.boards, paints=frozenset({"PAINT"}))
    drivers = ("sand", "sand_painted")
    painted = made(SHELF, wood=wood, finish=(Coat("PAINT", 2, "spray"),))
    assert [counted(painted, driver) for driver in drivers] == [0, 4]
    clear = made(SHELF, wood=wood, finish=(Coat("OIL", 2, "wipe"),))
    assert [counted(clear, driver) for driver in drivers] == [4, 0]
    in_part = (Coat("PAINT", 2, "spray", area="1 ft * 1 ft"), Coat("OIL", 2, "wipe"))
    mixed = made(SHELF, wood=wood, finish=in_part)
    assert [counted(mixed, driver) for driver in drivers] == [4, 0]


def test_joints_are_counted_by_kind_size_and_width() -> None:
    joints = (
        Joint("L-R", "tenon", "3 in", "4"), Joint("L-R low", "tenon", "2 in", "4"),
        Joint("S-L", "dovetail", "20 in", "2"), Joint("S-R", "dovetail", "1 in", "2"),
        Joint("R-S", "frame", "2 in", "8"), Joint("L-S", "joiner tenon", "2 in", "3"),
    )  # fmt: skip
    piece = made(LEG, RAIL, SHELF, joints=joints)
    names = ("tenons", "tenon_sizes", "dovetails", "frame_corners", "frame_sizes", "joiner_tenons")
    assert [counted(piece, name) for name in names] == [8, 2, 4, 8, 1, 3]
    assert counted(piece, "dovetail_width") == 2 * 20 + 2 * Fraction(5, 2)  # 1 in as 2-1/2


def test_turned_shaped_and_tapered_parts_are_counted() -> None:
    parts = (
        Part("A", "Spindle", "3", "24 in", "2 in", "ASH", "2 in", cut="turned"),
        Part("B", "Bowl", "1", "10 in", "10 in", "ASH", "3 in", cut="turned"),
        Part("D", "Finial", "2", "5 in", "4 in", "ASH", "4 in", cut="turned"),
        Part("C", "Leg", "4", "24 in", "2 in", "ASH", shaped=("L1", "W1"), tapers="2"),
    )
    piece = made(*parts)
    assert (counted(piece, "spindle"), counted(piece, "bowl")) == (6, 10 + 2 * 5)
    assert (counted(piece, "shaped"), counted(piece, "tapers")) == (Fraction(26 * 4, 12), 8)


def test_fittings_take_their_own_minutes_unless_the_design_counts_them() -> None:
    needs = (Need("BUTTON", "8", minutes="3"), Need("BOLT", "2", minutes="20"), Need("WAX", "1"))
    assert counted(made(RAIL, needs=needs), "fitting_minutes") == 64
    fixed = made(RAIL, needs=needs, counts=(Count("fittings", "9"),))
    assert (counted(fixed, "fittings"), counted(fixed, "fitting_minutes")) == (9, 0)


def test_solid_edging_is_ripped_wider_than_it_ends() -> None:
    """1/4 in lip + 1/16 flush + 1/8 kerf = 7/16 in; 24 + 6 in long, of two edges."""
    shelf = Part("S", "Shelf", "2", "24 in", "12 in", "PLY", banded=("L1",), edging="ASH")
    piece = made(shelf)
    assert (counted(piece, "solid_edge"), counted(piece, "band")) == (4, 0)
    assert counted(piece, "board_feet") == Fraction(60) * Fraction(7, 16) / 144


@pytest.mark.parametrize(
    ("column", "value", "sentence"),
    [
        ("joined", "nailed", "“nailed” is none of loose, hardware, glued on, screwed on"),
        ("joined", "in Q", "No part is called “Q”"),
        ("tapers", "5", "0 to 4 tapered faces"),
        ("tapers", "1/2", "0 to 4 tapered faces"),
    ],
)
def test_what_cannot_be_is_told(column: str, value: str, sentence: str) -> None:
    part = replace(LEG, **{column: value})
    with pytest.raises(BadValue, match=sentence):
        made(part)


def test_a_design_with_the_new_columns_is_kept_whole_and_an_old_one_as_it_was() -> None:
    new = Design("n", "N", "inch", parts=(Part("L", "Leg", "4", "28", "2", "ASH", tapers="2"),),
                 needs=(Need("B", "8", minutes="3"),))  # fmt: skip
    assert from_json(to_json(new), 4) == new
    assert "tapers" not in to_json(Design("o", "O", "inch", parts=(RAIL,)))


def test_a_glued_top_that_nothing_holds_gets_buttons() -> None:
    """By hand: 2 × 3 ft of length, 3 min each; not where needs or the design say their own."""
    top = Part("T", "Top", "1", "30 in", "20 in", "ASH", "3/4 in")
    piece = made(top, RAIL)
    assert (counted(piece, "fitting_minutes"), counted(piece, "fittings")) == (18, 0)
    assert piece.counts["fitting_minutes"].is_assumed
    told = next(words for words in assumptions("", piece, {}, ()) if "buttons for T" in words)
    assert "No button is priced" in told
    assert counted(made(replace(top, joined="hardware"), RAIL), "fitting_minutes") == 0
    assert counted(made(top, RAIL, counts=(Count("fittings", "8"),)), "fitting_minutes") == 0
    timed = made(top, RAIL, needs=(Need("BUTTON", "8", minutes="3"),)).counts["fitting_minutes"]
    assert (timed.quantity, timed.is_assumed) == (24, False)


def test_a_joint_counted_by_the_joint_needs_no_length() -> None:
    joint = Joint("L-R", "tenon", "", "8")
    assert counted(made(LEG, RAIL, joints=(joint,)), "tenons") == 8
    with pytest.raises(LedgerError, match=r"pocket joint .* length"):
        made(LEG, RAIL, joints=(replace(joint, kind="pocket"),))

"""Small parts leave short pieces for long waste, on the same sheets and at the same cost."""

from fractions import Fraction

import pytest

from ledger.cutting import CutPart, Layout, Problem, Stock, check_layout, finish, solve
from ledger.cutting.arrange import Filled, Shop, arrangements
from ledger.cutting.finish import Spot
from ledger.cutting.hardship import hardship
from ledger.cutting.layout import SQUARE_FOOT
from ledger.cutting.moving import Mover
from ledger.cutting.sequence import cut_list
from ledger.cutting.slicing import Box
from ledger.cutting.tools import INCH

# Sample workshop: three-quarter ply of the fold-down bed, invented for this project.
BED = (
    ("A1", 2, "88", "33/2"), ("A2", 1, "1019/16", "33/2"), ("A3", 1, "1019/16", "6"),
    ("A4", 1, "1019/16", "30"), ("A5", 1, "1019/16", "6"), ("A6", 1, "1019/16", "7/2"),
    ("B1", 2, "1319/16", "19/4"), ("B2", 2, "61", "19/4"), ("B3", 9, "61", "9/4"),
    ("B4", 8, "37/4", "3"), ("B5", 16, "37/4", "3/2"), ("C1", 4, "88", "12"),
    ("C2", 6, "265/16", "47/4"), ("C3", 6, "263/16", "23/2"), ("C5", 2, "265/16", "7/2"),
)  # fmt: skip
PROBLEM = Problem(
    "PLY34",
    tuple(
        CutPart(name, name, int(Fraction(length) * INCH), int(Fraction(width) * INCH), count)
        for name, count, length, width in BED
    ),
    (Stock("new", 96 * INCH, 48 * INCH, INCH // 4, 9600),),
    INCH // 8,
    grams_per_m2=12_414,  # 23/32 in at 680 kg/m³
)


def hard(layout: Layout) -> int:
    """How hard the sheets are to hold, all together."""
    return sum(hardship(PROBLEM, sheet).awkward for sheet in layout.sheets)


def test_the_last_glue_blocks_of_the_bed_are_cut_from_long_strips() -> None:
    layout = solve(PROBLEM)
    counts = cut_list(PROBLEM, layout).counts

    check_layout(PROBLEM, layout)
    assert len(layout.sheets) == 5
    assert (counts.no_tool, counts.clamped, hard(layout)) == (0, 0, 0)
    assert len(cut_list(PROBLEM, layout).cuts) <= 97
    assert counts.fence_settings <= 12
    assert counts.stops <= 7
    assert counts.station_changes <= 6


def test_without_moving_the_bed_is_harder_to_cut_or_leaves_less(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    moved = solve(PROBLEM)
    monkeypatch.setattr(Mover, "moved", lambda _, sheets: sheets)
    kept = solve(PROBLEM)
    rests = [plan.largest_leftover for plan in (moved, kept)]
    areas = [rest.area if rest else 0 for rest in rests]

    assert (len(kept.sheets), kept.cost) == (len(moved.sheets), moved.cost)
    assert (-hard(moved), areas[0]) > (-hard(kept), areas[1])
    assert areas[0] >= 25 * SQUARE_FOOT


def test_blocks_that_move_share_a_strip_and_a_stop_rather_than_taking_one_each() -> None:
    mm = 1_000_000
    sizes = (("A", 2, 2000, 560), ("B", 5, 760, 540), ("C", 4, 760, 90), ("D", 2, 2003, 408))
    pieces = [CutPart(name, name, long * mm, wide * mm, n) for name, n, long, wide in sizes]
    blocks = CutPart("E", "Block", 90 * mm, 40 * mm, 14, may_turn=True)
    sheet = Stock("new", 2500 * mm, 1250 * mm, 10 * mm, 6800)
    problem = Problem("BB", (*pieces, blocks), (sheet,), 3 * mm)
    cuts = cut_list(problem, solve(problem)).cuts
    of_blocks = [cut for cut in cuts if cut.off and cut.off.mark == "E"]

    assert not any(cut.tool == "none" or cut.aid == "clamp" for cut in cuts)
    assert len(of_blocks) >= 13
    assert len({(cut.tool, cut.setting_nm) for cut in of_blocks}) == 1


def test_however_often_a_sheet_is_tried_its_parts_are_laid_anew_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    laid: list[tuple[Box[Spot], ...]] = []

    def counted(
        boxes: list[Box[Spot]], length: int, width: int, shop: Shop
    ) -> tuple[Filled[Spot], ...]:
        laid.append(tuple(boxes))
        return arrangements(boxes, length, width, shop)

    monkeypatch.setattr(finish, "arrangements", counted)
    solve(PROBLEM)

    assert len(laid) > 100
    assert len(set(laid)) == len(laid)

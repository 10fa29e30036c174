"""Parts of several jobs as one question: named with their job, on the sheets that all may take."""

from ledger.cutting.joining import joined, own_part
from ledger.cutting.problem import CutPart, Problem, Stock
from ledger.cutting.solve import solve
from ledger.measures.values import replace

INCH = 25_400_000
NEW = Stock("new", 96 * INCH, 48 * INCH, INCH // 4, 96_00)
RACK = Stock("rack", 40 * INCH, 20 * INCH, 0, 10_00, 1, "lot 7")
SIDE = CutPart("A1", "Side", 60 * INCH, 20 * INCH, 2)
PAIR = CutPart("B1", "Door", 30 * INCH, 15 * INCH, 2, marks=("B1-L1", "B1-R1"), group="doors")


def problem(*pieces, stocks=(NEW,)):
    return Problem("PLY34", pieces, stocks, INCH // 8)


def test_ids_that_collide_are_told_apart_by_their_job():
    both = joined({"J-1": problem(SIDE), "J-2": problem(replace(SIDE, quantity=1), PAIR)})
    assert [piece.id for piece in both.pieces] == ["J-1 A1", "J-2 A1", "J-2 B1"]
    assert both.pieces[0].copies == ("J-1 A1", "J-1 A1")
    assert both.pieces[2].marks == ("J-2 B1-L1", "J-2 B1-R1")


def test_matched_parts_stay_those_of_their_job():
    both = joined({"J-1": problem(PAIR), "J-2": problem(PAIR)})
    assert [piece.group for piece in both.pieces] == ["J-1 doors", "J-2 doors"]
    for sheet in solve(both).sheets:
        for group in ("J-1", "J-2"):
            mine = [part for part in sheet.placements if part.part.startswith(group)]
            assert len(mine) in (0, 2)


def test_only_sheets_that_every_job_may_take_are_cut():
    both = joined({"J-1": problem(SIDE, stocks=(RACK, NEW)), "J-2": problem(PAIR)})
    assert both.stocks == (NEW,)


def test_a_job_sees_its_own_parts_on_sheets_that_keep_their_numbers():
    layout = solve(joined({"J-1": problem(SIDE), "J-2": problem(replace(SIDE, quantity=4))}))
    own = own_part(layout, "J-2")
    assert len(own.sheets) == len(layout.sheets)
    assert [part.mark for _, part in own.placements()] == ["A1"] * 4
    theirs = [(n, p.x_nm, p.y_nm) for n, p in layout.placements() if p.part == "J-2 A1"]
    assert [(n, p.x_nm, p.y_nm) for n, p in own.placements()] == theirs

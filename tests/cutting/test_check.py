"""The independent check refuses every layout that could not be cut."""

import pytest

from ledger.cutting import CutPart, Layout, Problem, Stock, check_layout
from ledger.cutting.check import can_be_cut
from ledger.cutting.layout import LaidSheet, Leftover, Placement
from ledger.errors import NotAllowed
from ledger.measures.values import replace

MM = 1_000_000
STOCK = Stock("new", 1000 * MM, 500 * MM, 10 * MM, 5000)
PROBLEM = Problem(
    "PLY",
    (
        CutPart("A", "Side", 400 * MM, 200 * MM, 2, marks=("A-L", "A-R")),
        CutPart("B", "Shelf", 100 * MM, 300 * MM, 1, may_turn=True),
    ),
    (STOCK,),
    kerf_nm=4 * MM,
)


def at(x: int, y: int, length: int, width: int, mark: str, turned: bool = False) -> Placement:
    """One part at a place, in millimeters."""
    part = mark[0]
    return Placement(x * MM, y * MM, length * MM, width * MM, part, mark, turned)


GOOD = (
    at(10, 10, 400, 200, "A-L"),
    at(414, 10, 400, 200, "A-R"),
    at(10, 214, 300, 100, "B", turned=True),
)
REST = Leftover(10 * MM, 318 * MM, 980 * MM, 172 * MM)


def layout(*placements: Placement, rests: tuple[Leftover, ...] = (REST,)) -> Layout:
    """Lay parts on one sheet."""
    sheet = LaidSheet(
        "PLY", "new", 1000 * MM, 500 * MM, 10 * MM, 5000, "", placements, rests
    )  # fmt: skip
    return Layout("PLY", (sheet,), 4 * MM, fewest_possible=1, proven=True, least_cost=5000)


def test_a_good_layout_passes() -> None:
    check_layout(PROBLEM, layout(*GOOD))


@pytest.mark.parametrize(
    ("placements", "word"),
    [
        (GOOD[:2], "missing"),
        ((*GOOD, at(10, 318, 300, 100, "B", turned=True)), "too often"),
        ((GOOD[0], at(414, 10, 400, 200, "A-L"), GOOD[2]), "missing"),
        ((at(9, 10, 400, 200, "A-L"), *GOOD[1:]), "outside"),
        ((GOOD[0], at(600, 10, 400, 200, "A-R"), GOOD[2]), "outside"),
        ((GOOD[0], at(413, 10, 400, 200, "A-R"), GOOD[2]), "edge to edge"),
        ((GOOD[0], at(300, 10, 400, 200, "A-R"), GOOD[2]), "edge to edge"),
        ((GOOD[0], at(414, 10, 401, 200, "A-R"), GOOD[2]), "another size"),
        ((GOOD[0], at(414, 10, 200, 400, "A-R", turned=True), GOOD[2]), "across the grain"),
        ((*GOOD[:2], at(10, 214, 300, 100, "B")), "another size"),
    ],
)
def test_a_spoiled_layout_is_refused(placements: tuple[Placement, ...], word: str) -> None:
    with pytest.raises(NotAllowed, match=word):
        check_layout(PROBLEM, layout(*placements, rests=()))


@pytest.mark.parametrize(
    ("rest", "word"),
    [
        (replace(REST, y_nm=317 * MM), "edge to edge"),
        (replace(REST, width_nm=173 * MM), "outside"),
        (replace(REST, usable=True), "usable or scrap"),
    ],
    ids=["kerf", "trim", "usable"],
)
def test_a_wrong_leftover_is_refused(rest: Leftover, word: str) -> None:
    with pytest.raises(NotAllowed, match=word):
        check_layout(PROBLEM, layout(*GOOD, rests=(rest,)))


def test_a_sheet_that_is_not_there_is_refused() -> None:
    none = replace(PROBLEM, stocks=(replace(STOCK, copies=0), replace(STOCK, trim_nm=0)))

    with pytest.raises(NotAllowed, match="not there"):
        check_layout(none, layout(*GOOD))


def test_a_bound_above_the_answer_is_refused() -> None:
    with pytest.raises(NotAllowed, match="fewer sheets"):
        check_layout(PROBLEM, replace(layout(*GOOD), fewest_possible=2))


def test_an_empty_sheet_and_a_strange_kerf_are_refused() -> None:
    good = layout(*GOOD)
    empty = replace(good.sheets[0], placements=())

    with pytest.raises(NotAllowed, match="no part"):
        check_layout(PROBLEM, replace(good, sheets=(*good.sheets, empty)))
    with pytest.raises(NotAllowed, match="another kerf"):
        check_layout(PROBLEM, replace(good, kerf_nm=0))


def test_five_parts_around_a_core_cannot_be_cut_from_edge_to_edge() -> None:
    pinwheel = [(0, 2, 0, 1), (2, 3, 0, 2), (1, 3, 2, 3), (0, 1, 1, 3), (1, 2, 1, 2)]

    assert not can_be_cut(pinwheel, 0)
    assert can_be_cut(pinwheel[:4:2], 0)


def test_a_gap_narrower_than_the_blade_is_no_cut() -> None:
    assert can_be_cut([(0, 4, 0, 9), (6, 9, 0, 9)], 2)
    assert not can_be_cut([(0, 4, 0, 9), (5, 9, 0, 9)], 2)

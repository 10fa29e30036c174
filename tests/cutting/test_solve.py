"""The least cost over what there is, then the largest leftover, then the least effort."""

from itertools import pairwise

import pytest

from ledger.cutting import CutPart, Layout, Problem, Stock, solve
from ledger.cutting.engine import SOLVER_VERSION
from ledger.cutting.layout import SQUARE_FOOT, proof_words
from ledger.cutting.sequence import cut_list
from ledger.errors import NotAllowed
from ledger.measures.values import replace

MM = 1_000_000
NEW = Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 9600)


def piece(id: str, length: int, width: int, quantity: int = 1, **facts: object) -> CutPart:
    """One row of a parts list, sizes in millimeters."""
    return CutPart(id, id, length * MM, width * MM, quantity, **facts)  # type: ignore[arg-type]


def rack(length: int, width: int, cost: int, label: str = "R") -> Stock:
    """One offcut on the rack, sizes in millimeters, no trim."""
    return Stock("rack", length * MM, width * MM, 0, cost, 1, label)


def laid(*pieces: CutPart, stocks: tuple[Stock, ...] = (NEW,), **facts: object) -> Layout:
    """Lay pieces out with a kerf of 3 mm."""
    return solve(Problem("PLY", pieces, stocks, 3 * MM, **facts))  # type: ignore[arg-type]


def test_parts_that_fill_a_sheet_to_the_kerf_take_one_sheet() -> None:
    layout = laid(piece("A", 1213, 1210, 1), piece("B", 1213, 1210))

    assert len(layout.sheets) == 1
    assert layout.proven


def test_a_hair_more_takes_a_second_sheet_and_is_proven_to_need_it() -> None:
    layout = laid(piece("A", 1214, 1210), piece("B", 1214, 1210))

    assert len(layout.sheets) == layout.fewest_possible == 2
    assert layout.proven


def test_rack_pieces_that_are_filled_to_the_edge_are_enough() -> None:
    racks = (rack(700, 700, 1500, "R"), rack(500, 500, 900, "S"))
    whole = laid(piece("A", 700, 700), piece("B", 500, 500), stocks=(NEW, *racks))
    halves = laid(piece("A", 700, 350), piece("B", 700, 347), stocks=racks)

    assert (len(whole.sheets), whole.cost, whole.fewest_possible, whole.proven) == (
        2,
        2400,
        2,
        True,
    )
    assert (len(halves.sheets), halves.cost, halves.fewest_possible) == (1, 1500, 1)


def test_a_part_turns_only_where_it_may() -> None:
    kept = laid(piece("A", 1000, 1200, 4))
    turning = laid(piece("A", 1000, 1200, 4, may_turn=True))

    assert not any(part.turned for _, part in kept.placements())
    assert len(kept.sheets) == len(turning.sheets) == 2


def test_a_rack_piece_is_taken_where_it_saves_a_sheet() -> None:
    layout = laid(piece("A", 600, 300, 2), stocks=(NEW, rack(700, 700, 1500)))

    assert [sheet.source for sheet in layout.sheets] == ["rack"]
    assert layout.cost == layout.least_cost == 1500
    assert layout.proven


def test_a_rack_piece_that_saves_nothing_stays_on_the_rack() -> None:
    layout = laid(piece("A", 1200, 600, 4), stocks=(NEW, rack(1300, 700, 1500)))

    assert [sheet.source for sheet in layout.sheets] == ["new"]


def test_a_dear_rack_piece_gives_way_to_a_new_sheet() -> None:
    layout = laid(piece("A", 600, 300), stocks=(NEW, rack(700, 700, 9601)))

    assert [sheet.source for sheet in layout.sheets] == ["new"]


def test_the_cheapest_of_several_new_sizes_is_taken_for_each_sheet() -> None:
    small = Stock("new", 1220 * MM, 1220 * MM, 5 * MM, 5000, None, "half")
    layout = laid(piece("A", 1200, 1200, 3), stocks=(NEW, small))

    assert sorted(sheet.label for sheet in layout.sheets) == ["", "half"]
    assert layout.cost == 14_600


def test_many_small_parts_may_take_one_sheet_of_each_size() -> None:
    small = Stock("new", 1220 * MM, 1220 * MM, 5 * MM, 5000, None, "half")
    layout = laid(piece("A", 300, 200, 60), stocks=(NEW, small))

    assert sorted(sheet.label for sheet in layout.sheets) == ["", "half"]


def test_each_rack_piece_is_taken_once_at_most() -> None:
    layout = laid(piece("A", 600, 600, 10), stocks=(NEW, rack(650, 650, 10)))

    assert sorted(sheet.source for sheet in layout.sheets) == ["new", "new"]


def test_a_rack_piece_takes_what_is_too_much_for_one_sheet() -> None:
    layout = laid(piece("A", 600, 600, 9), stocks=(NEW, rack(650, 650, 10)))

    assert [sheet.source for sheet in layout.sheets] == ["rack", "new"]
    assert layout.proven


def test_of_two_equal_rack_pieces_both_are_taken_where_they_save() -> None:
    stocks = (NEW, rack(650, 650, 10, "R-1"), rack(650, 650, 10, "R-2"))
    layout = laid(piece("A", 600, 600, 2), stocks=stocks)

    assert sorted(sheet.label for sheet in layout.sheets) == ["R-1", "R-2"]


def test_too_few_sheets_are_refused() -> None:
    with pytest.raises(NotAllowed, match="not enough sheets"):
        laid(piece("A", 600, 600, 2), stocks=(rack(650, 650, 10),))


def test_the_rest_remains_in_one_large_piece() -> None:
    layout = laid(piece("A", 600, 300, 4))

    rest = layout.largest_leftover
    assert rest is not None
    assert rest.area >= 20 * SQUARE_FOOT


def test_equal_strips_share_one_fence_setting_when_the_rest_is_equal() -> None:
    layout = laid(piece("A", 2400, 400, 2), piece("B", 2400, 250))

    widths = [part.width_nm for part in sorted(layout.sheets[0].placements, key=lambda p: p.y_nm)]
    assert widths == [400 * MM, 400 * MM, 250 * MM]


def test_with_rip_first_no_cut_across_the_whole_sheet_comes_before_a_rip() -> None:
    pieces = (piece("A", 700, 1200), piece("B", 500, 200, 5), piece("C", 900, 590, 2))
    problem = Problem("PLY", pieces, (NEW,), 3 * MM)

    free, forced = solve(problem), solve(replace(problem, rip_first=True))

    assert first_ways(problem, free)[0] == "crosscut"
    assert set(first_ways(problem, forced)) == {"rip"}


def first_ways(problem: Problem, layout: Layout) -> list[str]:
    """Give the way of the first cut of each sheet once its edges are trimmed."""
    made = cut_list(problem, layout)
    numbers = range(1, len(layout.sheets) + 1)
    return [next(c.way for c in made.of_sheet(number) if not c.trims) for number in numbers]


def test_matched_parts_lie_side_by_side_on_one_sheet() -> None:
    fillers = [piece(f"F{n}", 500 + 10 * n, 300, 2) for n in range(6)]
    layout = laid(piece("D", 700, 400, 3, group="doors", marks=("D1", "D2", "D3")), *fillers)

    holders = [
        sorted((part.mark, part.x_nm, part.y_nm) for part in sheet.placements if part.part == "D")
        for sheet in layout.sheets
    ]
    doors = next(found for found in holders if found)
    assert [mark for mark, _, _ in doors] == ["D1", "D2", "D3"]
    steps = {(b[1] - a[1], b[2] - a[2]) for a, b in pairwise(doors)}
    assert steps in ({(0, 403 * MM)}, {(703 * MM, 0)})


def test_matched_parts_too_large_for_one_sheet_come_from_consecutive_sheets() -> None:
    layout = laid(piece("F", 2000, 800, 2, group="faces"), piece("A", 2400, 1150))

    holders = [
        number for number, part in layout.placements() if part.part == "F"
    ]  # fmt: skip
    assert holders[1] - holders[0] == 1
    assert "faces" in layout.notes[0]
    assert "same lot" in layout.notes[0]


def test_matched_parts_of_different_lengths_leave_their_difference_over() -> None:
    layout = laid(
        piece("D1", 700, 400, group="fronts"), piece("D2", 500, 300, group="fronts")
    )  # fmt: skip

    sizes = [(rest.length_nm // MM, rest.width_nm // MM) for rest in layout.sheets[0].leftovers]
    assert (197, 300) in sizes


def test_parts_cut_oversize_first_are_laid_in_their_larger_size() -> None:
    layout = laid(
        piece("S", 600, 300, extra_length_nm=25 * MM, extra_width_nm=6 * MM)
    )  # fmt: skip

    (placement,) = layout.sheets[0].placements
    assert (placement.length_nm, placement.width_nm) == (625 * MM, 306 * MM)


def test_the_copies_of_a_pair_carry_ids_of_their_own() -> None:
    layout = laid(piece("A1", 800, 300, 2, marks=("A1-L", "A1-R")))

    assert {part.mark for _, part in layout.placements()} == {"A1-L", "A1-R"}
    assert {part.part for _, part in layout.placements()} == {"A1"}


def test_no_parts_need_no_sheet() -> None:
    layout = laid()

    assert layout.sheets == ()
    assert layout.proven
    assert layout.cost == layout.least_cost == 0
    assert layout.sheet_yield == 0


def test_sizes_too_fine_for_the_solver_are_rounded_up_and_still_cut_true() -> None:
    layout = laid(
        CutPart("A", "A", 600 * MM + 1, 300 * MM + 7, 5), piece("B", 400, 300, 2)
    )  # fmt: skip

    assert len(layout.sheets) == 1


def test_the_same_question_gives_the_same_answer_twice() -> None:
    pieces = [piece(f"P{n}", 300 + 37 * n, 150 + 23 * n, 2) for n in range(12)]

    assert laid(*pieces) == laid(*pieces)


def test_the_search_tells_what_it_is_doing() -> None:
    told: list[str] = []
    solve(Problem("PLY", (piece("A", 600, 300),), (NEW,), 3 * MM), progress=told.append)

    assert told


def test_a_full_rack_is_weighed_without_trying_every_subset() -> None:
    full = tuple(rack(500 + 10 * n, 400 + 5 * n, 700 + 10 * n, f"R-{n}") for n in range(14))
    layout = laid(piece("A", 480, 380, 5), stocks=(NEW, *full))

    assert layout.cost <= 5 * 740
    assert layout.least_cost <= layout.cost


def test_what_is_left_is_gathered_on_one_sheet() -> None:
    layout = laid(piece("A", 2400, 500, 3), piece("B", 500, 190, 4))

    rests = [sheet.largest_leftover for sheet in layout.sheets]
    assert len(layout.sheets) == 2
    assert max(rest.area for rest in rests if rest) >= 18 * SQUARE_FOOT


def test_the_emptiest_sheet_is_what_remains_when_the_others_are_filled() -> None:
    layout = laid(piece("A", 1900, 450, 2), piece("B", 1000, 350, 4), piece("C", 1800, 250, 4))

    rests = [sheet.largest_leftover for sheet in layout.sheets]
    assert len(layout.sheets) == 3
    assert max(rest.area for rest in rests if rest) >= 25 * SQUARE_FOOT


@pytest.mark.parametrize("with_proof", [True, False])
def test_two_squares_of_birch_are_proven_cheaper_than_any_large_sheet(
    with_proof: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not with_proof:
        monkeypatch.setattr("ledger.cutting.search.solver_versions", lambda: (SOLVER_VERSION,))
    # Four parts of 958 × 688 mm, either way round: a large sheet takes three of them at most.
    stocks = (
        Stock("new", 2500 * MM, 1250 * MM, 10 * MM, 3300, label="BB/2500"),
        Stock("new", 1525 * MM, 1525 * MM, 10 * MM, 2520, label="BB/1525"),
    )
    door = CutPart("D", "Door", 958 * MM, 688 * MM, 4, may_turn=True)
    layout = solve(Problem("BB", (door,), stocks, 3 * MM))
    three = solve(Problem("BB", (replace(door, quantity=3),), stocks[:1], 3 * MM))

    assert [sheet.label for sheet in layout.sheets] == ["BB/1525", "BB/1525"]
    assert (layout.cost, layout.proven, layout.fewest_possible) == (5040, True, 2)
    assert len(three.sheets) == 1


def test_a_rack_piece_loses_its_factory_edges_and_no_other() -> None:
    rack = Stock("rack", 1000 * MM, 500 * MM, 10 * MM, 5, 1, "R-1", ("near", "right"))
    fits = CutPart("A", "Side", 990 * MM, 490 * MM)
    layout = solve(Problem("PLY", (fits,), (NEW, rack), 3 * MM))
    over = solve(Problem("PLY", (replace(fits, length_nm=991 * MM),), (NEW, rack), 3 * MM))

    (sheet,) = layout.sheets
    assert (sheet.source, sheet.factory) == ("rack", ("near", "right"))
    assert [(part.x_nm, part.y_nm) for part in sheet.placements] == [(0, 10 * MM)]
    assert [sheet.source for sheet in over.sheets] == ["new"]


@pytest.mark.parametrize(
    ("more", "proven", "words"),
    [
        ((), True, "the fewest possible"),
        ((), False, "1 can't be ruled out"),
        ((Stock("rack", 900 * MM, 600 * MM, 0, 500, 1, "lot 7"),), True, "the cheapest possible"),
        ((Stock("rack", 900 * MM, 600 * MM, 0, 500, 1, "lot 7"),), False,
         "cheaper ones can't be ruled out"),
        ((Stock("rack", 900 * MM, 600 * MM, 0, 500, 0, "lot 7"),), True, "the fewest possible"),
    ],
)  # fmt: skip
def test_fewest_is_said_of_one_size_and_cheapest_of_several(
    more: tuple[Stock, ...], proven: bool, words: str
) -> None:
    sheet = Stock("new", 2500 * MM, 1250 * MM, 10 * MM, 3300)
    problem = Problem("BB", (), (sheet, *more), 3 * MM)
    assert proof_words(problem, Layout("BB", (), 3 * MM, 1, proven, 0)) == words

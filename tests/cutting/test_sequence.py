"""One list of cuts: trimmed once, broken down, then station by station; its counts drive hours."""

from itertools import groupby, pairwise

import pytest

from ledger.cutting import CutCounts, CutPart, Layout, Problem, Stock, count_cuts, solve
from ledger.cutting.layout import LaidSheet, Leftover, Placement
from ledger.cutting.sequence import CutList, cut_list, cut_notes, setting_groups
from ledger.cutting.tools import INCH_TOOLS
from ledger.measures.values import replace

MM = 1_000_000
KERF = 3 * MM


def part(name: str, x: int, y: int, length: int, width: int) -> Placement:
    """One part on a sheet, in millimeters."""
    return Placement(x * MM, y * MM, length * MM, width * MM, name, name)


def rest(x: int, y: int, length: int, width: int) -> Leftover:
    """One leftover of a sheet, in millimeters."""
    return Leftover(x * MM, y * MM, length * MM, width * MM)


TWO_STRIPS = LaidSheet(
    "PLY", "new", 1000 * MM, 600 * MM, 5 * MM, 0, "",
    (part("A", 5, 5, 400, 200), part("B", 408, 5, 400, 200), part("C", 5, 208, 990, 200)),
    (rest(811, 5, 184, 200), rest(5, 411, 990, 184)),
)  # fmt: skip
"""Two equal strips of a sheet trimmed by 5 mm: A and B in the first, C alone in the second."""


def layout_of(*sheets: LaidSheet) -> Layout:
    """A layout of these sheets with a kerf of 3 mm."""
    return Layout("PLY", sheets, KERF, len(sheets), proven=True, least_cost=0)


def problem_of(*sheets: LaidSheet, capacity: int = 300, grams: int = 12_000) -> Problem:
    """The problem that these sheets answer, 12 kg a square meter."""
    pieces = tuple(
        CutPart(part.part, part.part, part.length_nm, part.width_nm, 1)
        for part in {part.part: part for sheet in sheets for part in sheet.placements}.values()
    )
    stock = Stock("new", 1000 * MM, 600 * MM, 5 * MM, 0)
    tools = replace(INCH_TOOLS, crosscut_capacity=capacity * MM)
    return Problem("PLY", pieces, (stock,), KERF, tools=tools, grams_per_m2=grams)


def listed(*sheets: LaidSheet, capacity: int = 300) -> CutList:
    """The list of cuts of these sheets."""
    return cut_list(problem_of(*sheets, capacity=capacity), layout_of(*sheets))


def lines(*sheets: LaidSheet, capacity: int = 300) -> list[str]:
    """Say each cut in one line: tool, way, piece, what comes off, what stays, its size in mm."""
    return [
        f"{cut.tool}: {cut.way} {cut.of.label} {cut.off.label if cut.off else '-'} "
        f"{cut.rest.label if cut.rest else '-'} {cut.size_nm // MM}"
        for cut in listed(*sheets, capacity=capacity).cuts
    ]


def test_a_sheet_is_trimmed_twice_then_cut_from_its_cut_edges_station_by_station() -> None:
    assert lines(TWO_STRIPS) == [
        "guide rail: rip 1 - 1 0",
        "guide rail: crosscut 1 - 1 0",
        "guide rail: rip 1 1A 1 200",
        "table saw: rip 1 1B 1C 200",
        "miter saw: crosscut 1B 1B1 1B 990",
        "miter saw: crosscut 1A 1A1 1A 400",
        "miter saw: crosscut 1A 1A2 1A3 400",
    ]


def test_every_piece_that_falls_is_named() -> None:
    kinds = {
        piece.label: (piece.kind, piece.mark)
        for cut in listed(TWO_STRIPS).cuts
        for piece in (cut.off, cut.rest)
        if piece and piece.kind != "piece"
    }

    assert kinds == {
        "1A1": ("part", "A"), "1A2": ("part", "B"), "1A3": ("waste", ""), "1B1": ("part", "C"),
        "1B": ("waste", ""), "1C": ("waste", ""),
    }  # fmt: skip


def test_a_clean_rack_piece_needs_no_trimming_and_no_cut_at_its_end() -> None:
    sheet = LaidSheet(
        "PLY", "rack", 803 * MM, 200 * MM, 0, 0, "R",
        (part("A", 0, 0, 400, 200), part("B", 403, 0, 400, 200)),
    )  # fmt: skip

    assert lines(sheet) == ["miter saw: crosscut 1 1A 1B 400"]


def test_only_the_factory_edges_of_a_rack_piece_are_trimmed() -> None:
    sheet = LaidSheet(
        "PLY", "rack", 803 * MM, 205 * MM, 5 * MM, 0, "R",
        (part("A", 0, 5, 400, 200), part("B", 403, 5, 400, 200)), factory=("near",),
    )  # fmt: skip
    cuts = listed(sheet).cuts

    assert [(cut.trim, cut.lost_nm // MM) for cut in cuts] == [("near", 5), ("", 3)]


@pytest.mark.parametrize(
    ("raw", "tool", "setting"), [("far", "guide rail", 8), ("right", "table saw", 289)]
)
def test_a_narrow_strip_falls_off_the_fence_unless_a_factory_edge_would_lie_there(
    raw: str, tool: str, setting: int
) -> None:
    sheet = LaidSheet(
        "PLY", "rack", 1000 * MM, 300 * MM, 5 * MM, 0, "R",
        (part("A", 0, 0, 900, 8), part("B", 0, 11, 900, 200)), factory=(raw,),
    )  # fmt: skip
    first = listed(sheet).cuts[0]

    assert (first.tool, first.setting_nm // MM) == (tool, setting)


def test_a_part_that_is_the_whole_rack_piece_needs_no_cut() -> None:
    sheet = LaidSheet(
        "PLY", "rack", 400 * MM, 200 * MM, 0, 0, "R", (part("A", 0, 0, 400, 200),)
    )  # fmt: skip
    plan = listed(sheet)

    assert plan.cuts == ()
    assert plan.counts == CutCounts()
    assert [(piece.kind, piece.mark) for piece in plan.starts] == [("part", "A")]


def test_crosscuts_wider_than_the_capacity_go_to_the_guide_rail() -> None:
    problem, layout = problem_of(TWO_STRIPS, capacity=199), layout_of(TWO_STRIPS)
    counts = count_cuts(problem, layout)

    assert (counts.wide_crosscuts, counts.narrow_crosscuts) == (3, 0)


def test_cuts_of_whole_sheets_are_break_down_and_not_paid_again_as_wide_crosscuts() -> None:
    counts = count_cuts(problem_of(TWO_STRIPS), layout_of(TWO_STRIPS))

    assert (counts.breakdown, counts.trims, counts.wide_crosscuts) == (3, 2, 0)
    assert (counts.strips, counts.narrow_crosscuts) == (1, 3)


def test_exactly_the_capacity_is_narrow_and_noted() -> None:
    problem, layout = problem_of(TWO_STRIPS, capacity=200), layout_of(TWO_STRIPS)

    assert count_cuts(problem, layout).narrow_crosscuts == 3
    assert "A, B, C" in cut_notes(problem, layout)[0]
    assert cut_notes(problem_of(TWO_STRIPS, capacity=201), layout) == ()


def test_equal_sizes_of_all_sheets_share_one_setting() -> None:
    other = replace(
        TWO_STRIPS, placements=tuple(replace(p, mark=f"{p.mark}2") for p in TWO_STRIPS.placements)
    )
    counts = listed(TWO_STRIPS, other).counts

    assert (counts.strips, counts.fence_settings) == (2, 1)
    assert (counts.narrow_crosscuts, counts.stops) == (6, 2)
    assert counts.station_changes == 2


def test_a_piece_too_heavy_to_carry_stays_at_the_guide_rail() -> None:
    sheet = replace(
        TWO_STRIPS,
        placements=tuple(part(f"P{n}", 5, 5 + 153 * n, 990, 150 - n) for n in range(3)),
        leftovers=(),
    )  # fmt: skip
    problem, layout = problem_of(sheet), layout_of(sheet)
    heavy = replace(problem, grams_per_m2=70_000)

    def tools(asked: Problem) -> list[str]:
        return [cut.tool for cut in cut_list(asked, layout).cuts if cut.way == "rip"]

    assert tools(problem)[:4] == ["guide rail", "guide rail", "table saw", "table saw"]
    assert tools(heavy)[:4] == ["guide rail"] * 3 + ["table saw"]
    weights = [cut.grams for cut in cut_list(heavy, layout).cuts if cut.tool == "table saw"]
    assert max(weights) <= heavy.tools.carry_alone < 30_000


def test_settings_go_from_wide_to_narrow_and_each_is_set_once_where_it_can_be() -> None:
    pieces = tuple(
        CutPart(f"P{n}", f"P{n}", (300 + 50 * n) * MM, width * MM, 3)
        for n, width in enumerate([90, 200, 140, 200, 90])
    )
    problem = Problem("PLY", pieces, (Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 1),), KERF)
    plan = cut_list(problem, solve(problem))

    for tool, station in groupby(plan.cuts, key=lambda cut: cut.tool):
        visits = [group[0].setting_nm for group in setting_groups(list(station))]
        if tool == "table saw":
            assert all(a > b for a, b in pairwise(visits))
    assert plan.counts.fence_settings < plan.counts.strips


def test_parts_longer_than_the_saws_reach_are_flagged() -> None:
    problem, layout = problem_of(TWO_STRIPS), layout_of(TWO_STRIPS)

    assert "support: C." in cut_notes(problem, layout, reach_nm=900 * MM)[0]
    assert cut_notes(problem, layout, reach_nm=990 * MM) == ()


def test_sheets_of_unknown_weight_are_said_to_be_so() -> None:
    (note,) = cut_notes(problem_of(TWO_STRIPS, grams=0), layout_of(TWO_STRIPS))

    assert note.startswith("No weight of these sheets is known")


def test_the_last_of_equal_cuts_stays_at_the_saw_of_those_before_it() -> None:
    parts = tuple(part(f"P{n}", 113 * n, 0, 110, 150) for n in range(5))
    sheet = LaidSheet("PLY", "rack", 562 * MM, 150 * MM, 0, 0, "R", parts)
    problem, layout = problem_of(sheet), layout_of(sheet)
    with_sled = replace(problem, tools=replace(problem.tools, sled_capacity=300 * MM))
    cuts = cut_list(with_sled, layout).cuts

    assert [(cut.tool, cut.aid) for cut in cuts] == [
        *[("miter saw", "")] * 3, ("miter saw", "clamp"),
    ]  # fmt: skip
    assert "stop: cut 4." in " ".join(cut_notes(with_sled, layout))
    unheld = replace(problem, tools=replace(problem.tools, crosscut_capacity=100 * MM))
    assert "held: cut 1–4;" in " ".join(cut_notes(unheld, layout))


def test_pieces_are_named_by_letters_and_numbers_in_turn() -> None:
    parts = [part(f"P{n}", 5, 5 + 19 * n, 990, 16) for n in range(28)]
    sheet = replace(TWO_STRIPS, placements=tuple(sorted(parts)), leftovers=())
    plan = listed(*[TWO_STRIPS] * 6, sheet)
    made = [piece for cut in plan.of_sheet(7) for piece in (cut.off, cut.rest) if piece]
    label = {piece.mark: piece.label for piece in made if piece.mark}

    assert [label["P0"], label["P25"], label["P26"]] == ["7A1", "7Z1", "7AA1"]


@pytest.mark.parametrize("more", [12 * MM, 2 * MM])
def test_parts_cut_later_are_blanks_first_and_come_to_size_in_a_second_round(more: int) -> None:
    door = CutPart(
        "D", "Door", 700 * MM, 400 * MM, 2, later=True, extra_length_nm=more, extra_width_nm=more
    )
    problem = Problem("PLY", (door,), (Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 1),), KERF)
    plan = cut_list(problem, solve(problem))
    fallen = [(cut.round, piece) for cut in plan.cuts for piece in (cut.off, cut.rest) if piece]
    sizes = {
        kind: [
            (number, piece.length // MM, piece.width // MM)
            for number, piece in fallen
            if piece.kind == kind
        ]
        for kind in ("blank", "part")
    }

    assert sizes["blank"][:2] == [(1, 700 + more // MM, 400 + more // MM)] * 2
    assert sizes["part"] == [(2, 700, 400)] * 2
    assert [cut.round for cut in plan.cuts] == sorted(cut.round for cut in plan.cuts)
    assert [cut.lost_nm for cut in plan.cuts if cut.round == 2] == [min(KERF, more)] * 4

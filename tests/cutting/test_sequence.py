"""The cuts stand in the order of the saw, and their counts drive the hours."""

from dataclasses import replace
from itertools import pairwise

from ledger.cutting import CutCounts, CutPart, Layout, Problem, Stock, count_cuts, solve
from ledger.cutting.layout import LaidSheet, Leftover, Placement
from ledger.cutting.sequence import cut_notes, cut_sequence, cut_sheet, fence_settings

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
    return Layout("PLY", sheets, KERF, len(sheets), proven=True)


def problem_of(*sheets: LaidSheet, capacity: int = 300) -> Problem:
    """The problem that these sheets answer."""
    pieces = tuple(
        CutPart(part.part, part.part, part.length_nm, part.width_nm, 1)
        for sheet in sheets
        for part in sheet.placements
    )
    stock = Stock("new", 1000 * MM, 600 * MM, 5 * MM, 0)
    return Problem("PLY", pieces, (stock,), KERF, crosscut_capacity_nm=capacity * MM)


def lines(sheet: LaidSheet, capacity: int = 300) -> list[str]:
    """Say each cut in one line: way, piece, what comes off, what stays, size in millimeters."""
    cuts = cut_sheet(sheet, 1, KERF, capacity * MM).cuts
    return [
        f"{cut.way} {cut.piece} {cut.off or '-'} {cut.rest or '-'} {cut.size_nm // MM}"
        for cut in cuts
    ]


def test_the_edge_is_trimmed_then_strips_are_ripped_then_they_are_squared_and_crosscut() -> None:
    assert lines(TWO_STRIPS) == [
        "rip 1 - 1 0",
        "rip 1 1A 1 200",
        "rip 1 1B 1C 200",
        "crosscut 1A - 1A 0",
        "crosscut 1A 1A1 1A 400",
        "crosscut 1A 1A2 1A3 400",
        "crosscut 1B - 1B 0",
        "crosscut 1B 1B1 1B 990",
    ]


def test_a_clean_rack_piece_needs_no_trimming_and_no_cut_at_its_end() -> None:
    sheet = LaidSheet(
        "PLY", "rack", 803 * MM, 200 * MM, 0, 0, "R",
        (part("A", 0, 0, 400, 200), part("B", 403, 0, 400, 200)),
    )  # fmt: skip

    assert lines(sheet) == ["crosscut 1 1A 1B 400"]


def test_a_part_that_is_the_whole_rack_piece_needs_no_cut() -> None:
    sheet = LaidSheet(
        "PLY", "rack", 400 * MM, 200 * MM, 0, 0, "R", (part("A", 0, 0, 400, 200),)
    )  # fmt: skip
    plan = cut_sheet(sheet, 1, KERF, 300 * MM)

    assert plan.cuts == ()
    assert list(plan.parts) == ["1"]


def test_crosscuts_wider_than_the_capacity_go_to_the_guide_rail() -> None:
    problem, layout = problem_of(TWO_STRIPS, capacity=199), layout_of(TWO_STRIPS)

    assert count_cuts(problem, layout) == CutCounts(2, 1, wide_crosscuts=5, narrow_crosscuts=0)


def test_exactly_the_capacity_is_narrow_and_noted() -> None:
    problem, layout = problem_of(TWO_STRIPS, capacity=200), layout_of(TWO_STRIPS)

    assert count_cuts(problem, layout) == CutCounts(2, 1, wide_crosscuts=0, narrow_crosscuts=5)
    assert "A, B, C" in cut_notes(problem, layout)[0]
    assert cut_notes(problem_of(TWO_STRIPS, capacity=201), layout) == ()


def test_every_strip_has_one_squaring_cut_and_one_cut_for_each_part() -> None:
    plan = cut_sheet(TWO_STRIPS, 1, KERF, 300 * MM)

    crosscuts = [cut for cut in plan.cuts if cut.way == "crosscut"]
    assert len(crosscuts) == plan.strips + len(TWO_STRIPS.placements)
    assert sum(cut.trims for cut in crosscuts) == plan.strips


def test_equal_sheets_are_cut_together_with_one_fence_setting() -> None:
    other = replace(
        TWO_STRIPS, placements=tuple(replace(p, mark=f"{p.mark}2") for p in TWO_STRIPS.placements)
    )
    problem, layout = problem_of(TWO_STRIPS), layout_of(TWO_STRIPS, other)

    assert count_cuts(problem, layout) == CutCounts(4, 1, wide_crosscuts=0, narrow_crosscuts=10)


def test_rips_run_from_wide_to_narrow_so_that_equal_strips_share_a_fence() -> None:
    pieces = tuple(
        CutPart(f"P{n}", f"P{n}", (300 + 50 * n) * MM, width * MM, 3)
        for n, width in enumerate([90, 200, 140, 200, 90])
    )
    problem = Problem("PLY", pieces, (Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 1),), KERF)
    layout = solve(problem)

    for plan in cut_sequence(problem, layout):
        for _, stage in _rips_by_stage(plan.cuts):
            assert all(a >= b for a, b in pairwise(stage))
        assert fence_settings(plan.cuts) <= len({c.size_nm for c in plan.cuts if c.way == "rip"})


def _rips_by_stage(cuts: tuple) -> list[tuple[int, list[int]]]:  # type: ignore[type-arg]
    """Gather fence widths of each run of rips between crosscuts."""
    runs: list[tuple[int, list[int]]] = [(0, [])]
    for cut in cuts:
        if cut.way == "crosscut":
            runs.append((cut.number, []))
        elif not cut.trims:
            runs[-1][1].append(cut.size_nm)
    return runs


def test_parts_longer_than_the_saws_reach_are_flagged() -> None:
    problem, layout = problem_of(TWO_STRIPS), layout_of(TWO_STRIPS)

    assert "support: C." in cut_notes(problem, layout, reach_nm=900 * MM)[0]
    assert cut_notes(problem, layout, reach_nm=990 * MM) == ()


def test_pieces_are_named_by_letters_and_numbers_in_turn() -> None:
    parts = [part(f"P{n}", 5, 5 + 19 * n, 990, 16) for n in range(28)]
    sheet = replace(TWO_STRIPS, placements=tuple(sorted(parts)), leftovers=())

    names = list(cut_sheet(sheet, 7, KERF, 300 * MM).parts)
    assert [names[0], names[25], names[26]] == ["7A1", "7Z1", "7AA1"]

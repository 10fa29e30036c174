"""What holds of every layout, tried on problems made up by chance."""

from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.cutting import Layout, Piece, Problem, Stock, check_layout, count_cuts, solve
from ledger.cutting.layout import LaidSheet
from ledger.cutting.record import layout_to_dict, layouts_from_dict
from ledger.cutting.sequence import SheetCuts, cut_sequence

STEP = 793_750
"""A thirty-second of an inch in nanometres."""

LAWS = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)  # fmt: skip


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Make up a small job: parts that fit, a kerf, a trim, perhaps a rack, perhaps a pair."""
    kerf = draw(st.sampled_from([0, 3, 4])) * STEP
    trim = draw(st.sampled_from([0, 8])) * STEP
    stocks = [Stock("new", 400 * STEP, 200 * STEP, trim, draw(st.integers(0, 90)))]
    for number in range(draw(st.integers(0, 2))):
        length, width = draw(st.integers(60, 300)), draw(st.integers(40, 190))
        cost = draw(st.integers(0, 40))
        stocks.append(
            Stock("rack", length * STEP, width * STEP, 0, cost, 1, f"R-{number}")
        )  # fmt: skip
    pieces = []
    for number in range(draw(st.integers(1, 7))):
        quantity = draw(st.integers(1, 4))
        mark = f"P{number}"
        paired = draw(st.booleans())
        pieces.append(
            Piece(
                mark,
                f"Part {number}",
                draw(st.integers(8, 360)) * STEP,
                draw(st.integers(8, 180)) * STEP,
                quantity,
                may_turn=draw(st.booleans()),
                marks=tuple(f"{mark}-{n}" for n in range(quantity)) if paired else (),
                group="fronts" if draw(st.integers(0, 5)) == 0 else "",
            )
        )
    return Problem(
        "PLY", tuple(pieces), tuple(stocks), kerf, rip_first=draw(st.booleans()),
        crosscut_capacity_nm=60 * STEP, usable_length_nm=80 * STEP, usable_width_nm=40 * STEP,
    )  # fmt: skip


def execute(sheet: LaidSheet, plan: SheetCuts) -> dict[str, tuple[int, int, int, int]]:
    """Cut a sheet on paper: every piece that lies on the bench in the end, as x, y, length, width.

    It knows nothing of trees: it takes the named piece, checks that the cut runs through all of
    it, and leaves the piece that comes off and the piece that stays.
    """
    bench = {plan.cuts[0].piece if plan.cuts else "": (0, 0, sheet.length_nm, sheet.width_nm)}
    for cut in plan.cuts:
        x, y, length, width = bench.pop(cut.piece)
        gone = cut.size_nm + cut.lost_nm
        if cut.way == "rip":
            assert (cut.at_nm, cut.from_nm, cut.span_nm) == (y + cut.size_nm, x, length)
            off, rest = (x, y, length, cut.size_nm), (x, y + gone, length, width - gone)
        else:
            assert (cut.at_nm, cut.from_nm, cut.span_nm) == (x + cut.size_nm, y, width)
            off, rest = (x, y, cut.size_nm, width), (x + gone, y, length - gone, width)
        for name, piece in ((cut.off, off), (cut.rest, rest)):
            assert bool(name) == (min(piece[2:]) > 0)
            if name:
                bench[name] = piece
    return bench


def inside(sheet: LaidSheet, piece: tuple[int, int, int, int]) -> tuple[int, int, int, int]:
    """Take the raw factory edges off what remains."""
    x, y, length, width = piece
    left, near = max(x, sheet.trim_nm), max(y, sheet.trim_nm)
    right = min(x + length, sheet.length_nm - sheet.trim_nm)
    far = min(y + width, sheet.width_nm - sheet.trim_nm)
    return left, near, right - left, far - near


def assert_cut_on_paper(problem: Problem, layout: Layout) -> None:
    """Execute the sequence and find exactly the parts and the leftovers on the bench."""
    for sheet, plan in zip(layout.sheets, cut_sequence(problem, layout), strict=True):
        bench = execute(sheet, plan)
        if not plan.cuts:
            bench = dict.fromkeys(plan.parts, (0, 0, sheet.length_nm, sheet.width_nm))
        parts = [bench.pop(name) for name in plan.parts]
        assert sorted(parts) == [
            (part.x_nm, part.y_nm, part.length_nm, part.width_nm) for part in sheet.placements
        ]
        rests = [inside(sheet, bench.pop(name)) for name in plan.leftovers]
        assert sorted(rests) == [
            (rest.x_nm, rest.y_nm, rest.length_nm, rest.width_nm) for rest in sheet.leftovers
        ]
        for piece in bench.values():
            assert min(inside(sheet, piece)[2:]) <= problem.kerf_nm


@LAWS
@given(problems())
def test_every_layout_passes_the_check_and_can_be_cut_on_paper(problem: Problem) -> None:
    layout = solve(problem)

    check_layout(problem, layout)
    assert_cut_on_paper(problem, layout)
    assert layouts_from_dict(layout_to_dict([(problem, layout)])) == (layout,)


@settings(LAWS, max_examples=12)
@given(problems())
def test_looking_harder_never_answers_worse(problem: Problem) -> None:
    first, harder = solve(problem), solve(problem, harder=True)

    assert (harder.cost, len(harder.sheets)) <= (first.cost, len(first.sheets))
    assert harder.fewest_possible >= first.fewest_possible
    assert_cut_on_paper(problem, harder)


@settings(LAWS, max_examples=15)
@given(problems(), st.randoms(use_true_random=False))
def test_the_order_of_the_rows_changes_nothing(problem: Problem, chance: object) -> None:
    pieces, stocks = list(problem.pieces), list(problem.stocks)
    chance.shuffle(pieces)  # type: ignore[attr-defined]
    chance.shuffle(stocks)  # type: ignore[attr-defined]

    assert solve(problem) == solve(replace(problem, pieces=tuple(pieces), stocks=tuple(stocks)))


@settings(LAWS, max_examples=15)
@given(problems())
def test_every_crosscut_and_strip_is_counted_once(problem: Problem) -> None:
    layout = solve(problem)
    counts = count_cuts(problem, layout)
    cuts = [cut for plan in cut_sequence(problem, layout) for cut in plan.cuts]

    crosscuts = [cut for cut in cuts if cut.way == "crosscut"]
    wide = [cut for cut in crosscuts if cut.span_nm > problem.crosscut_capacity_nm]
    assert counts.wide_crosscuts == len(wide)
    assert counts.narrow_crosscuts == len(crosscuts) - len(wide)
    assert counts.fence_settings <= sum(cut.way == "rip" and not cut.trims for cut in cuts)

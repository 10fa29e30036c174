"""What holds of every layout, tried on problems made up by chance."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.cutting import CutPart, Problem, Stock, check_layout, count_cuts, solve
from ledger.cutting.paper import check_cuts
from ledger.cutting.record import layout_to_dict, layouts_from_dict
from ledger.cutting.sequence import cut_list
from ledger.cutting.tools import INCH_TOOLS
from ledger.measures.values import replace

STEP = 793_750
"""A thirty-second of an inch in nanometers."""

LAWS = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)  # fmt: skip


def sizes(whole: int) -> st.SearchStrategy[int]:
    """Sizes of any kind, and such as nearly fill a sheet by twos, threes and fours."""
    near = st.builds(
        lambda share, less: whole // share - less, st.integers(1, 4), st.integers(0, 9)
    )
    return st.one_of(st.integers(8, whole), near)


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
    for number in range(draw(st.integers(1, 5))):
        quantity = draw(st.integers(1, 3))
        mark = f"P{number}"
        paired = draw(st.booleans())
        pieces.append(
            CutPart(
                mark,
                f"Part {number}",
                draw(sizes(400 - 2 * 8)) * STEP,
                draw(sizes(200 - 2 * 8)) * STEP,
                quantity,
                may_turn=draw(st.booleans()),
                marks=tuple(f"{mark}-{n}" for n in range(quantity)) if paired else (),
                group="fronts" if draw(st.integers(0, 5)) == 0 else "",
            )
        )
    return Problem(
        "PLY", tuple(pieces), tuple(stocks), kerf, rip_first=draw(st.booleans()),
        tools=replace(INCH_TOOLS, crosscut_capacity=60 * STEP),
        usable_length_nm=80 * STEP, usable_width_nm=40 * STEP,
    )  # fmt: skip


@LAWS
@given(problems())
def test_every_layout_can_be_cut_on_paper_and_every_cut_is_counted_once(problem: Problem) -> None:
    layout = solve(problem)

    check_layout(problem, layout)
    check_cuts(problem, layout)
    assert layouts_from_dict(layout_to_dict([(problem, layout)])) == (layout,)
    counts = count_cuts(problem, layout)
    cuts = cut_list(problem, layout).cuts
    assert [cut.number for cut in cuts] == list(range(1, len(cuts) + 1))
    driven = counts.breakdown + counts.strips + counts.wide_crosscuts + counts.narrow_crosscuts
    assert driven == len(cuts)
    assert counts.fence_settings <= counts.strips
    for cut in cuts:
        fence = cut.tool == "table saw"
        assert not (fence and (cut.shape.too_heavy or cut.shape.run < cut.shape.across))


@settings(LAWS, max_examples=6)
@given(problems())
def test_looking_harder_never_answers_worse(problem: Problem) -> None:
    first, harder = solve(problem), solve(problem, harder=True)

    assert (harder.cost, len(harder.sheets)) <= (first.cost, len(first.sheets))
    assert harder.fewest_possible >= first.fewest_possible
    check_cuts(problem, harder)


@settings(LAWS, max_examples=10)
@given(problems(), st.randoms(use_true_random=False))
def test_the_order_of_the_rows_changes_nothing(problem: Problem, chance: object) -> None:
    pieces, stocks = list(problem.pieces), list(problem.stocks)
    chance.shuffle(pieces)  # type: ignore[attr-defined]
    chance.shuffle(stocks)  # type: ignore[attr-defined]

    assert solve(problem) == solve(replace(problem, pieces=tuple(pieces), stocks=tuple(stocks)))

"""The second opinion on the cuts sees every way in which a sequence can be wrong."""

import pytest

from ledger.cutting import CutPart, Problem, Stock, solve
from ledger.cutting import paper as paper_of
from ledger.cutting.apart import Cut
from ledger.cutting.paper import check_cuts, execute
from ledger.cutting.sequence import cut_list
from ledger.errors import NotAllowed
from ledger.measures.values import replace

MM = 1_000_000
PROBLEM = Problem(
    "PLY",
    (CutPart("A", "Side", 900 * MM, 400 * MM, 3), CutPart("B", "Shelf", 500 * MM, 300 * MM, 2)),
    (Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 1),),
    3 * MM,
)
LAYOUT = solve(PROBLEM)
SHEET = LAYOUT.sheets[0]
PLAN = cut_list(PROBLEM, LAYOUT)


def test_the_cuts_leave_the_parts_on_the_bench() -> None:
    bench = execute(SHEET, PLAN.cuts)

    fallen = [piece for cut in PLAN.cuts for piece in (cut.off, cut.rest) if piece]
    parts = {piece.key: piece.item for piece in fallen if piece.kind == "part"}
    assert len(parts) == 5
    for key, part in parts.items():
        assert part is not None
        assert bench[key] == (part.x_nm, part.y_nm, part.length_nm, part.width_nm)


def test_a_sheet_nobody_cuts_stays_whole() -> None:
    assert execute(SHEET, ()) == {0: (0, 0, 2440 * MM, 1220 * MM)}


def spoiled(**facts: object) -> tuple[Cut, ...]:
    """The cuts with one of them changed."""
    return tuple(
        replace(cut, **facts) if cut.number == 3 else cut  # type: ignore[arg-type]
        for cut in PLAN.cuts
    )


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        ({"of": replace(PLAN.cuts[2].of, key=99)}, "not on the bench"),
        ({"of": replace(PLAN.cuts[2].of, left=1, near=1)}, "does not run through"),
        ({"shape": replace(PLAN.cuts[2].shape, run=1)}, "does not run through"),
        ({"lost_nm": 5000 * MM}, "more than there is"),
    ],
)
def test_a_cut_that_cannot_be_made_is_refused(facts: dict[str, object], word: str) -> None:
    with pytest.raises(NotAllowed, match=word):
        execute(SHEET, spoiled(**facts))


@pytest.mark.parametrize("number", range(1, len(PLAN.cuts) + 1))
def test_no_cut_can_be_left_out(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    fewer = tuple(cut for cut in PLAN.cuts if cut.number != number)
    monkeypatch.setattr(paper_of, "cut_list", lambda *_: replace(PLAN, cuts=fewer))

    with pytest.raises(NotAllowed):
        check_cuts(PROBLEM, LAYOUT)

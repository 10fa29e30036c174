"""Lay all parts at the least cost that a bounded effort finds, and say what is proven.

Given parts p with lengths lₚ, widths wₚ and copies, and sheets s with costs cₛ (each rack piece
once, new ones as many as needed), find patterns that hold every copy and minimize ∑ cₛ over the
sheets taken; among the cheapest, the fewest sheets; then the fewest cuts hard to hold; then the
largest usable leftover in one piece, in steps of one square foot; then what is easiest to cut.
Where a pool of patterns is there, an integer program chooses an easier plan from it, of the same
cost. Small parts are last moved to where they are held better, on the same sheets (`moving`).

The efforts follow one another as `ladder` has them: branching over cuts; then, where few parts
share a sheet, column generation over patterns; with `harder` both more widely, all sheets ripped
first and all crosscut first. The search stops as soon as the number of sheets meets the bound,
which is for three-stage patterns with a trimmed last stage, each sheet ripped or crosscut first
(all ripped first with `rip_first`).
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from ledger.cutting.check import check_layout
from ledger.cutting.engine import SOLVER_VERSION, solver_versions
from ledger.cutting.finish import FilledSheet, Finisher, Plan, laid_sheets, merit, together
from ledger.cutting.layout import LaidSheet, Layout, Progress
from ledger.cutting.moving import Mover
from ledger.cutting.paper import check_cuts
from ledger.cutting.problem import Problem, check_problem
from ledger.cutting.search import Search
from ledger.cutting.slicing import Way
from ledger.cutting.units import Unit, split_groups, units_of
from ledger.errors import NotAllowed

MOST_MOVED = 3
"""The small parts of so many plans are moved, of those with the largest leftovers."""


class Answer(Struct, frozen=True):
    """The best that was found for one way of setting matched parts side by side."""

    units: tuple[Unit, ...]
    sheets: tuple[LaidSheet, ...]
    worth: tuple[int, ...]
    fewest_possible: int
    bound: tuple[int, int]
    combined: bool


def lay_out(problem: Problem, *, harder: bool = False, progress: Progress | None = None) -> Layout:
    """Lay out a problem; `harder` searches more widely and never answers worse."""
    check_problem(problem)
    of = f"{problem.material}: " if problem.material else ""

    def tell(words: str) -> None:
        if progress:
            progress(f"{of}{words}")

    if not problem.pieces:
        digest = problem.digest(SOLVER_VERSION)
        return Layout(problem.material, (), problem.kerf_nm, 0, True, 0, digest)
    answers = [_answer(problem, units, harder, tell) for units in _ways(problem)]
    best = max(answers, key=lambda answer: answer.worth)
    cost = sum(sheet.cost for sheet in best.sheets)
    least_cost, fewest = min(answer.bound for answer in answers)
    if cost > least_cost:
        fewest = min(answer.fewest_possible for answer in answers)
    proven = len(best.sheets) == fewest and cost == least_cost
    combined = any(answer.combined for answer in answers)
    # A plan that was proven without the master problem comes out alike wherever it is laid.
    version = SOLVER_VERSION if proven and not combined else solver_versions()[0]
    layout = Layout(
        problem.material,
        best.sheets,
        problem.kerf_nm,
        fewest_possible=fewest,
        proven=proven,
        least_cost=least_cost,
        digest=problem.digest(version),
        notes=_notes(problem, best),
    )
    check_layout(problem, layout)
    check_cuts(problem, layout)
    return layout


def _ways(problem: Problem) -> Iterator[tuple[Unit, ...]]:
    """Give the units once for each way in which matched parts can stand side by side."""
    first = units_of(problem, "rip")
    yield first
    across: Way = "crosscut"
    second = units_of(problem, across)
    if second != first:
        yield second


def _answer(problem: Problem, units: tuple[Unit, ...], harder: bool, tell: Progress) -> Answer:
    search = Search(problem, units, tell)
    search.run(harder)
    if not search.plans:
        raise NotAllowed(
            f"There are not enough sheets of {problem.material or 'the material'} for all parts; "
            "add new ones to the rack's."
        )
    finisher = Finisher(problem, search.stocks, search.kinds, search.heaps)

    def worth(sheets: tuple[FilledSheet, ...]) -> tuple[int, ...]:
        cost = sum(search.stocks[sheet.stock].cost or 0 for sheet in sheets)
        return -cost, -len(sheets), *finisher.worth(sheets)

    mover = Mover(problem, finisher, search.kinds)

    def best_of(plans: Sequence[Plan]) -> tuple[FilledSheet, ...]:
        finished = [(finisher.finish(plan), plan) for plan in plans]
        # Few are moved and only the best is gathered: for all that took a fifth of a bed's price.
        finished.sort(key=lambda one: merit(one[0]), reverse=True)
        few = [*finished[:MOST_MOVED], max(finished, key=lambda one: worth(one[0]))]
        moved = [(mover.moved(sheets), plan) for sheets, plan in few]
        best, plan = max(moved, key=lambda one: worth(one[0]))
        return max(best, mover.moved(finisher.finish(finisher.gathered(plan))), key=worth)

    best = best_of(search.plans)
    easiest = search.easiest(finisher.effort)
    if easiest and easiest not in search.plans:
        best = max(best, best_of([easiest]), key=worth)
    sheets = laid_sheets(problem, search.stocks, search.heaps, best)
    return Answer(
        units,
        together(problem, sheets, split_groups(problem, units)),
        worth(best),
        search.fewest_possible,
        search.bound,
        search.pool is not None,
    )


def _notes(problem: Problem, answer: Answer) -> tuple[str, ...]:
    notes = []
    for group in split_groups(problem, answer.units):
        numbers = [
            number
            for number, sheet in enumerate(answer.sheets, start=1)
            if any(problem.by_id[part.part].group == group for part in sheet.placements)
        ]
        if len(numbers) > 1:
            listed = ", ".join(str(number) for number in numbers)
            notes.append(
                f"The matched parts of {group} do not fit one sheet: sheets {listed} must follow "
                "one another in the same lot."
            )
    return tuple(notes)

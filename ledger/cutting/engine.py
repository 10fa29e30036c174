"""The one place that speaks to the packing solver.

The kerf is absorbed before it is asked (sheet and parts grown by one kerf), lengths are divided
by their greatest common divisor, and effort is bounded by the width of the search, never by
seconds: so the same question gives the same answer on a busy machine too.

Patterns have three stages, the last one trimmed: for a sheet that is ripped first, rip, crosscut,
rip; for one that is crosscut first, the other way round.
"""

from collections.abc import Sequence
from functools import cache
from importlib.metadata import PackageNotFoundError, distribution
from itertools import zip_longest
from math import gcd
from typing import Any, Literal

from msgspec import Struct

from ledger.errors import NotAllowed

SOLVER_VERSION = "packingsolver 0.1.1233"
"""The release whose layouts are stored; named here so that reading them need not load it."""

PROOF_PACKAGE = "highspy"
"""What solves master problems where it is there: HiGHS, which needs numpy."""

GRID = 1 << 24
"""A sheet side is at most so many solver units: areas then stay far below 64 bits."""

type First = Literal["any", "rip", "crosscut"]
type Method = Literal["tree", "columns"]
type Goal = Literal["sheets", "cost", "value", "leftover", "length", "width"]

_FIRST = {"any": "Any", "rip": "Horizontal", "crosscut": "Vertical"}
_GOAL = {
    "sheets": "BinPacking",
    "cost": "VariableSizedBinPacking",
    "value": "Knapsack",
    "leftover": "BinPackingWithLeftovers",
    "length": "OpenDimensionX",
    "width": "OpenDimensionY",
}


class EqualParts(Struct, frozen=True):
    """Equal parts, grown by the kerf: so many of one size, with or without leave to turn."""

    length: int
    width: int
    may_turn: bool
    copies: int


class Blank(Struct, frozen=True):
    """Sheets of one size between their trims, grown by the kerf."""

    length: int
    width: int
    copies: int
    cost: int = 0


class Effort(Struct, frozen=True):
    """How widely to search: by branching over cuts, or by generating columns of patterns."""

    method: Method
    queue: int
    first: First = "any"


class LaidPart(Struct, frozen=True):
    """One part as the solver laid it."""

    kind: int
    x: int
    y: int
    turned: bool


class Pattern(Struct, frozen=True):
    """One sheet as the solver laid it, and which blank it is."""

    blank: int
    parts: tuple[LaidPart, ...]


class Found(Struct, frozen=True):
    """What the solver found: its sheets (none if it found nothing), its bound on their number."""

    patterns: tuple[Pattern, ...]
    bound: int


def pack(
    kinds: Sequence[EqualParts],
    blanks: Sequence[Blank],
    effort: Effort,
    goal: Goal = "sheets",
    values: Sequence[float] = (),
) -> Found:
    """Ask the solver once; for the goal of a value the kinds have `values` and some may stay."""
    unit, solver = _unit(kinds, blanks), _solver()
    builder = solver.InstanceBuilder()
    builder.set_objective(getattr(solver.Objective, _GOAL[goal]))
    builder.set_number_of_stages(3)
    builder.set_cut_type(solver.CutType.NonExact)
    builder.set_first_stage_orientation(getattr(solver.CutOrientation, _FIRST[effort.first]))
    for blank in blanks:
        cost = max(float(blank.cost), 0.01) if goal == "cost" else None
        length, width = blank.length // unit, blank.width // unit
        builder.add_bin_type(length, width, cost=cost, copies=blank.copies)
    for kind, profit in zip_longest(kinds, values):
        length, width = -(-kind.length // unit), -(-kind.width // unit)
        builder.add_item_type(
            length, width, oriented=not kind.may_turn, copies=kind.copies, profit=profit
        )
    output = solver.optimize(builder.build(), _parameters(solver, effort))
    exact = all(side % unit == 0 for side in _sides(kinds, blanks))
    bound = int(output.bin_packing_bound) if exact and goal == "sheets" else 0
    wanted = sum(kind.copies for kind in kinds)
    if goal != "value" and output.solution.number_of_items() != wanted:
        return Found((), bound)
    return Found(_patterns(output.solution, kinds, unit), bound)


@cache
def solver_versions() -> tuple[str, ...]:
    """Name the releases that layouts may come from, the most capable first; nothing is loaded."""
    try:
        about = distribution(PROOF_PACKAGE).read_text("METADATA") or ""
    except PackageNotFoundError:
        return (SOLVER_VERSION,)
    # `distribution(…).version` would have all of it read as an e-mail, which takes 4 ms
    number = about.partition("\nVersion: ")[2].partition("\n")[0]
    return f"{SOLVER_VERSION}, {PROOF_PACKAGE} {number}", SOLVER_VERSION


@cache
def _solver() -> Any:
    """Load the solver, the release that is known and no other: its layouts are to stay the same."""
    import packingsolver
    from packingsolver import rectangleguillotine

    installed = f"packingsolver {packingsolver.__version__}"
    if installed != SOLVER_VERSION:
        raise NotAllowed(
            f"Laying out sheets takes {SOLVER_VERSION}; installed is {installed}, so install "
            "the former."
        )
    return rectangleguillotine


def _parameters(solver: Any, effort: Effort) -> Any:
    parameters = solver.OptimizeParameters()
    parameters.verbosity_level = 0
    parameters.messages_to_stdout = False
    parameters.optimization_mode = solver.OptimizationMode.NotAnytimeDeterministic
    parameters.use_dual_feasible_functions = True
    if effort.method == "tree":
        parameters.use_tree_search = True
        parameters.not_anytime_tree_search_queue_size = effort.queue
    else:
        parameters.use_column_generation = True
        parameters.column_generation_subproblem_tree_search_queue_size = effort.queue
    return parameters


def _unit(kinds: Sequence[EqualParts], blanks: Sequence[Blank]) -> int:
    """Give the solver's unit of length: exact where it can be, else parts are rounded up to it."""
    longest = max(max(blank.length, blank.width) for blank in blanks)
    return max(gcd(*_sides(kinds, blanks)), -(-longest // GRID))


def _sides(kinds: Sequence[EqualParts], blanks: Sequence[Blank]) -> list[int]:
    sides = [side for kind in kinds for side in (kind.length, kind.width)]
    return sides + [side for blank in blanks for side in (blank.length, blank.width)]


def _patterns(solution: Any, kinds: Sequence[EqualParts], unit: int) -> tuple[Pattern, ...]:
    patterns: list[Pattern] = []
    for number in range(solution.number_of_different_bins()):
        laid = solution.bin(number)
        parts = tuple(
            LaidPart(
                node.item_type_id,
                node.l * unit,
                node.b * unit,
                _is_turned(node, kinds[node.item_type_id], unit),
            )
            for node in laid.nodes
            if node.f != -1 and node.item_type_id >= 0
        )
        if parts:
            patterns.extend([Pattern(laid.bin_type_id, parts)] * laid.copies)
    return tuple(patterns)


def _is_turned(node: Any, kind: EqualParts, unit: int) -> bool:
    upright = (-(-kind.length // unit), -(-kind.width // unit))
    return bool((node.r - node.l, node.t - node.b) != upright)

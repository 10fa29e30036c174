"""A quick answer without a book: a parts list and one sheet size in, plans of all materials out."""

from collections.abc import Sequence

from msgspec import Struct

from ledger.cutting.layout import Layout, Progress
from ledger.cutting.problem import CutPart, Problem, Show, Stock, check_problem, show_mm
from ledger.cutting.record import Json, layout_to_dict
from ledger.cutting.sequence import CutCounts, count_cuts
from ledger.cutting.solve import solve
from ledger.cutting.tools import INCH_TOOLS, Tools


class Saw(Struct, frozen=True):
    """How the shop cuts: the blade, what is trimmed off a sheet, and what goes to which saw."""

    kerf_nm: int
    trim_nm: int
    rip_first: bool = False
    tools: Tools = INCH_TOOLS


class QuickAnswer(Struct, frozen=True):
    """The plan of every material, in the order in which the list names them."""

    plans: tuple[tuple[Problem, Layout], ...]

    @property
    def counts(self) -> CutCounts:
        """The strips and cuts of all materials together."""
        return sum((count_cuts(*plan) for plan in self.plans), CutCounts())

    def to_dict(self) -> Json:
        """Give it as plain data; there are no prices, so every cost is None."""
        return layout_to_dict(self.plans, digits=None, with_cuts=True)


def quick_layout(
    pieces: Sequence[CutPart],
    sheet_length_nm: int,
    sheet_width_nm: int,
    saw: Saw,
    *,
    harder: bool = False,
    show: Show = show_mm,
    progress: Progress | None = None,
) -> QuickAnswer:
    """Lay all pieces on new sheets of one size; every problem is checked before any is solved."""
    stock = Stock("new", sheet_length_nm, sheet_width_nm, saw.trim_nm, cost=0)
    problems = [
        Problem(
            material,
            tuple(piece for piece in pieces if piece.material == material),
            (stock,),
            saw.kerf_nm,
            rip_first=saw.rip_first,
            tools=saw.tools,
        )
        for material in dict.fromkeys(piece.material for piece in pieces)
    ]
    for problem in problems:
        check_problem(problem, show)
    return QuickAnswer(
        tuple((problem, solve(problem, harder=harder, progress=progress)) for problem in problems)
    )

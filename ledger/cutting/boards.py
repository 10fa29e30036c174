"""Solid parts from rough boards: what must be bought, against what the parts hold.

Each part is cut oversize in length and width before it is dressed, and laid on boards of one size
like parts on a sheet, its length along the board. Board feet are tallied on the rough size,
thickness × width × length ÷ 144 in inches, and stock under 4/4 counts as one inch. The waste share
(knots, sapwood, wind) is a share of what is bought: a third of waste means buying net ÷ (1 - 1/3).
"""

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import count
from math import ceil

from msgspec import Struct

from ledger.cutting.layout import Layout
from ledger.cutting.problem import CutPart, Problem, Show, Stock, check_problem, show_mm
from ledger.cutting.solve import solve
from ledger.errors import BadValue
from ledger.measures.lumber import OVER_LENGTH_NM, OVER_WIDTH_NM, board_feet, dressed
from ledger.measures.values import replace

INCH = 25_400_000

type LayOut = Callable[[Problem], Layout]


class BoardPlan(Struct, frozen=True):
    """What solid parts of one species and thickness need.

    Board feet: `net` in the parts as finished, `needed` with the waste, `bought` as whole boards.
    `laid` is how many boards the parts alone fill. Problem and layout are drawn like sheets.
    """

    problem: Problem
    layout: Layout
    laid: int
    boards: int
    net: Fraction
    needed: Fraction
    bought: Fraction

    @property
    def cost(self) -> int:
        """What the boards cost together, in minor units."""
        return self.boards * (self.layout.sheets[0].cost if self.layout.sheets else 0)


def nominal_for(finished_nm: int, *, metric: bool = False) -> int:
    """The least rough thickness that dresses to a finished one: in quarters, or 5 mm steps.

    Boards are sold in quarters of an inch from 4/4 on; the metric step is common practice, no
    source.

    >>> nominal_for(3 * INCH // 4) == INCH, nominal_for(19_000_000, metric=True)
    (True, 25000000)
    """
    step = 5_000_000 if metric else INCH // 4
    least = 20_000_000 if metric else INCH
    return next(rough for rough in count(least, step) if dressed(rough) >= finished_nm)


def plan_boards(
    parts: Sequence[CutPart],
    board: Stock,
    thickness_nm: int,
    *,
    kerf_nm: int,
    waste: Fraction = Fraction(0),
    more: Fraction = Fraction(0),
    show: Show = show_mm,
    lay_out: LayOut = solve,
) -> BoardPlan:
    """Plan the boards for parts of one material.

    `thickness_nm` is the boards' rough thickness, on which all is tallied. `more` are board feet
    that are ripped beside the parts. A part that carries an oversize of its own keeps it. `lay_out`
    answers a problem, such as from what is kept.
    """
    material = parts[0].material if parts else ""
    if not 0 <= waste < 1:
        raise BadValue(f"A waste share of {waste} is none: it is 0 or more and less than 1.")
    pieces = tuple(_oversize(part) for part in parts)
    problem = Problem(material, pieces, (board,), kerf_nm, rip_first=True, boards=True)
    check_problem(problem, show)
    layout = lay_out(problem)
    each = board_feet(thickness_nm, board.width_nm, board.length_nm)
    net = sum(
        (part.quantity * board_feet(thickness_nm, part.width_nm, part.length_nm) for part in parts),
        more,
    )
    needed = net / (1 - waste)
    boards = max(len(layout.sheets), ceil(needed / each))
    return BoardPlan(problem, layout, len(layout.sheets), boards, net, needed, boards * each)


def _oversize(part: CutPart) -> CutPart:
    return replace(
        part,
        extra_length_nm=part.extra_length_nm or OVER_LENGTH_NM,
        extra_width_nm=part.extra_width_nm or OVER_WIDTH_NM,
    )

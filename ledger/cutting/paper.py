"""The cuts executed on paper: a second opinion on the sequence, which knows nothing of trees.

It takes the named piece from the bench, cuts it where it is told, and lays back what comes off and
what stays. In the end exactly the parts and the leftovers must lie there, and otherwise only
trimmings and slivers no wider than the blade.
"""

from collections.abc import Sequence

from ledger.cutting.layout import LaidSheet, Layout, Leftover, Placement
from ledger.cutting.problem import Problem
from ledger.cutting.sequence import Cut, SheetCuts, cut_sequence
from ledger.errors import NotAllowed

type Area = tuple[int, int, int, int]
"""x, y, length and width in nanometers."""


def check_cuts(problem: Problem, layout: Layout) -> None:
    """Refuse a layout whose cuts, made in order, do not yield its parts and leftovers."""
    plans = cut_sequence(problem, layout)
    for number, (sheet, plan) in enumerate(zip(layout.sheets, plans, strict=True), start=1):
        if not _yields(problem, sheet, plan, number):
            raise NotAllowed(f"The cuts of sheet {number} do not yield its parts and leftovers.")


def execute(sheet: LaidSheet, name: str, cuts: Sequence[Cut]) -> dict[str, Area]:
    """Cut a sheet called `name` on paper; give all pieces that lie on the bench in the end."""
    bench: dict[str, Area] = {name: (0, 0, sheet.length_nm, sheet.width_nm)}
    for cut in cuts:
        if cut.piece not in bench:
            raise NotAllowed(f"Cut {cut.number} is in {cut.piece}, which is not on the bench.")
        x, y, length, width = bench.pop(cut.piece)
        size, gone = cut.size_nm, cut.size_nm + cut.lost_nm
        if cut.way == "rip":
            through = (y + size, x, length)
            pieces = {cut.off: (x, y, length, size), cut.rest: (x, y + gone, length, width - gone)}
        else:
            through = (x + size, y, width)
            pieces = {cut.off: (x, y, size, width), cut.rest: (x + gone, y, length - gone, width)}
        if (cut.at_nm, cut.from_nm, cut.span_nm) != through:
            raise NotAllowed(f"Cut {cut.number} does not run through all of {cut.piece}.")
        bench |= {name: piece for name, piece in pieces.items() if name}
    if any(min(piece[2:]) <= 0 for piece in bench.values()):
        raise NotAllowed("A cut takes off more than there is.")
    return bench


def _yields(problem: Problem, sheet: LaidSheet, plan: SheetCuts, number: int) -> bool:
    bench = execute(sheet, str(number), plan.cuts)
    if not (plan.parts.keys() | plan.leftovers.keys()) <= bench.keys():
        return False
    parts = sorted(bench.pop(name) for name in plan.parts)
    rests = sorted(_inside(sheet, bench.pop(name)) for name in plan.leftovers)
    return (
        parts == sorted(_area(part) for part in sheet.placements)
        and rests == sorted(_area(rest) for rest in sheet.leftovers)
        and all(min(_inside(sheet, left)[2:]) <= problem.kerf_nm for left in bench.values())
    )


def _area(item: Placement | Leftover) -> Area:
    return item.x_nm, item.y_nm, item.length_nm, item.width_nm


def _inside(sheet: LaidSheet, piece: Area) -> Area:
    """Take the raw factory edges off what remains."""
    x, y, length, width = piece
    left, near = max(x, sheet.trim_nm), max(y, sheet.trim_nm)
    right = min(x + length, sheet.length_nm - sheet.trim_nm)
    far = min(y + width, sheet.width_nm - sheet.trim_nm)
    return left, near, right - left, far - near

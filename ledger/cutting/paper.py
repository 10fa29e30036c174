"""The cuts executed on paper: a second opinion on the sequence, which knows nothing of trees.

It takes the piece from the bench, cuts it where it is told, and lays back what comes off and what
stays. In the end exactly the parts and the leftovers must lie there, and otherwise only trimmings
and slivers no wider than the blade.
"""

from collections.abc import Sequence

from ledger.cutting.apart import Cut
from ledger.cutting.layout import LaidSheet, Layout, Leftover, Placement
from ledger.cutting.problem import Problem
from ledger.cutting.sequence import cut_list
from ledger.errors import NotAllowed

type Area = tuple[int, int, int, int]
"""x, y, length and width in nanometers."""


def check_cuts(problem: Problem, layout: Layout) -> None:
    """Refuse a layout whose cuts, made in order, do not yield its parts and leftovers."""
    plan = cut_list(problem, layout)
    for number, sheet in enumerate(layout.sheets, start=1):
        bench = execute(sheet, plan.of_sheet(number))
        if not _yields(problem, sheet, bench):
            raise NotAllowed(f"The cuts of sheet {number} do not yield its parts and leftovers.")


def execute(sheet: LaidSheet, cuts: Sequence[Cut]) -> dict[int, Area]:
    """Cut a sheet on paper; give all pieces that lie on the bench in the end, by their keys."""
    bench: dict[int, Area] = {0: (0, 0, sheet.length_nm, sheet.width_nm)}
    for cut in cuts:
        if cut.of.key not in bench:
            raise NotAllowed(f"Cut {cut.number} is in {cut.of.label}, which is not on the bench.")
        x, y, length, width = bench.pop(cut.of.key)
        size, gone = cut.size_nm, cut.size_nm + cut.lost_nm
        if cut.way == "rip":
            through = (y + size, x, length)
            areas = ((x, y, length, size), (x, y + gone, length, width - gone))
        else:
            through = (x + size, y, width)
            areas = ((x, y, size, width), (x + gone, y, length - gone, width))
        if (cut.at_nm, cut.from_nm, cut.span_nm) != through:
            raise NotAllowed(f"Cut {cut.number} does not run through all of {cut.of.label}.")
        for piece, area in zip((cut.off, cut.rest), areas, strict=True):
            if piece is not None:
                bench[piece.key] = area
                if min(area[2:]) <= 0:
                    raise NotAllowed("A cut takes off more than there is.")
    return bench


def _yields(problem: Problem, sheet: LaidSheet, bench: dict[int, Area]) -> bool:
    items: list[Placement | Leftover] = [*sheet.placements, *sheet.leftovers]
    wanted = [_area(item) for item in items]
    there = [_inside(sheet, area) for area in bench.values()]
    for area in wanted:
        if area not in there:
            return False
        there.remove(area)
    whole = sorted(_area(part) for part in sheet.placements if _area(part) in bench.values())
    return whole == sorted(map(_area, sheet.placements)) and all(
        min(left[2:]) <= problem.kerf_nm for left in there
    )


def _area(item: Placement | Leftover) -> Area:
    return item.x_nm, item.y_nm, item.length_nm, item.width_nm


def _inside(sheet: LaidSheet, piece: Area) -> Area:
    """Take the raw factory edges off what remains."""
    x, y, length, width = piece
    left, near = max(x, sheet.trimmed("left")), max(y, sheet.trimmed("near"))
    right = min(x + length, sheet.length_nm - sheet.trimmed("right"))
    far = min(y + width, sheet.width_nm - sheet.trimmed("far"))
    return left, near, right - left, far - near

"""The independent check of a layout: it shares no code with the side that made it.

What it asks: is every part there once per copy and in its own size, inside the trimmed sheet,
a kerf apart from its neighbors, with its grain along the sheet; can straight cuts from edge to
edge free every part and leftover; and are the sheets there to be had?
"""

from collections import Counter
from collections.abc import Sequence

from ledger.cutting.layout import LaidSheet, Layout, Placement
from ledger.cutting.problem import ALL_EDGES, Problem
from ledger.errors import NotAllowed

type Box = tuple[int, int, int, int]
"""Left, right, near and far edge, in nanometers."""


def check_layout(problem: Problem, layout: Layout) -> None:
    """Refuse a layout that could not be cut or does not answer the problem."""
    _check_parts(problem, layout)
    _check_sources(problem, layout)
    for number, sheet in enumerate(layout.sheets, start=1):
        for placement in sheet.placements:
            _check_piece(problem, placement, number)
        _check_sheet(problem, sheet, number)
    if layout.kerf_nm != problem.kerf_nm:
        raise NotAllowed("The layout was made for another kerf.")
    if len(layout.sheets) < layout.fewest_possible:
        raise NotAllowed("The layout takes fewer sheets than it calls possible.")


def _check_parts(problem: Problem, layout: Layout) -> None:
    wanted = Counter((piece.id, mark) for piece in problem.pieces for mark in piece.copies)
    laid = Counter((placement.part, placement.mark) for _, placement in layout.placements())
    for (part, mark), count in (wanted - laid).items():
        raise NotAllowed(f"{mark or part} is missing {count} times from the layout.")
    for (part, mark), count in (laid - wanted).items():
        raise NotAllowed(f"{mark or part} stands {count} times too often in the layout.")


def _check_sources(problem: Problem, layout: Layout) -> None:
    taken = Counter(
        (
            sheet.source, sheet.length_nm, sheet.width_nm, sheet.trim_nm, sheet.cost, sheet.label,
            sheet.factory,
        )
        for sheet in layout.sheets
    )  # fmt: skip
    for stock in problem.stocks:
        key = (
            stock.source, stock.length_nm, stock.width_nm, stock.trim_nm, stock.cost or 0,
            stock.label, stock.factory,
        )  # fmt: skip
        there = taken[key] if stock.available is None else stock.available
        taken[key] -= min(taken[key], there)
    if any(count > 0 for count in taken.values()):
        raise NotAllowed("The layout takes a sheet that is not there to be had.")


def _check_piece(problem: Problem, placement: Placement, number: int) -> None:
    piece = problem.by_id[placement.part]
    size = (piece.cut_length_nm, piece.cut_width_nm)
    laid = (placement.length_nm, placement.width_nm)
    if placement.turned and not piece.may_turn:
        raise NotAllowed(f"{placement.mark} lies across the grain on sheet {number}.")
    if laid != (size[::-1] if placement.turned else size):
        raise NotAllowed(f"{placement.mark} has another size on sheet {number} than in the list.")


def _check_sheet(problem: Problem, sheet: LaidSheet, number: int) -> None:
    parts = [
        (part.x_nm, part.x_nm + part.length_nm, part.y_nm, part.y_nm + part.width_nm)
        for part in sheet.placements
    ]
    rests = [
        (rest.x_nm, rest.x_nm + rest.length_nm, rest.y_nm, rest.y_nm + rest.width_nm)
        for rest in sheet.leftovers
    ]
    trim = {edge: sheet.trim_nm * (edge in sheet.factory) for edge in ALL_EDGES}
    for left, right, near, far in parts + rests:
        if not (
            trim["left"] <= left < right <= sheet.length_nm - trim["right"]
            and trim["near"] <= near < far <= sheet.width_nm - trim["far"]
        ):
            raise NotAllowed(f"Something on sheet {number} reaches outside the trimmed sheet.")
    if not parts:
        raise NotAllowed(f"Sheet {number} has no part on it.")
    if not can_be_cut(parts + rests, problem.kerf_nm):
        raise NotAllowed(f"Sheet {number} cannot be cut from edge to edge with the kerf between.")
    least = sorted((problem.usable_length_nm, problem.usable_width_nm))
    for rest in sheet.leftovers:
        small, large = sorted((rest.length_nm, rest.width_nm))
        if rest.usable != (small >= least[0] and large >= least[1]):
            raise NotAllowed(f"A leftover of sheet {number} is wrongly called usable or scrap.")


def can_be_cut(boxes: Sequence[Box], kerf_nm: int) -> bool:
    """Ask whether cuts from edge to edge, a kerf wide, separate all these rectangles.

    Any cut that passes between them may be made first: it never spoils a later one.
    """
    if len(boxes) < 2:
        return True
    for low, high in ((0, 1), (2, 3)):
        heaps = _apart(boxes, low, high, kerf_nm)
        if len(heaps) > 1:
            return all(can_be_cut(heap, kerf_nm) for heap in heaps)
    return False


def _apart(boxes: Sequence[Box], low: int, high: int, kerf_nm: int) -> list[list[Box]]:
    """Split rectangles into heaps with room for the blade between each two."""
    heaps: list[list[Box]] = []
    reach = 0
    for box in sorted(boxes, key=lambda box: box[low]):
        if heaps and box[low] < reach + kerf_nm:
            heaps[-1].append(box)
        else:
            heaps.append([box])
        reach = max(reach, box[high])
    return heaps

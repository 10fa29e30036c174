"""How rectangles on a sheet come apart: the tree of cuts from edge to edge.

Every rectangle here is one kerf longer and wider than the part it stands for, and so is the
trimmed sheet; the blade is then absorbed, neighbors touch, and no kerf is left in the arithmetic.
"""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from ledger.errors import NotAllowed

type Way = Literal["rip", "crosscut"]
"""A rip runs along the sheet's length and divides its width; a crosscut divides its length."""


class Box[T](Struct, frozen=True):
    """A rectangle and what it stands for."""

    x: int
    y: int
    length: int
    width: int
    what: T


class Slice[T](Struct, frozen=True):
    """Either one box, or several slices side by side that cuts of one way separate.

    `length` and `width` are the least it needs, with everything pushed together.
    """

    length: int
    width: int
    box: Box[T] | None = None
    way: Way = "rip"
    parts: tuple["Slice[T]", ...] = ()


def other(way: Way) -> Way:
    """Give the way across this one."""
    return "crosscut" if way == "rip" else "rip"


def slice_up[T](boxes: Sequence[Box[T]], first: Way) -> Slice[T]:
    """Take a sheet apart by cuts from edge to edge, with cuts of the `first` way if there are any.

    All cuts of one way are made at once, so the ways take turns from level to level.
    """
    if len(boxes) == 1:
        return Slice(boxes[0].length, boxes[0].width, boxes[0])
    for way in (first, other(first)):
        heaps = _apart(boxes, way)
        if len(heaps) > 1:
            return row_of(way, tuple(slice_up(heap, other(way)) for heap in heaps))
    raise NotAllowed("These parts cannot be cut apart from edge to edge.")


def row_of[T](way: Way, parts: tuple[Slice[T], ...]) -> Slice[T]:
    """Put slices side by side, separated by cuts of one way."""
    lengths = [part.length for part in parts]
    widths = [part.width for part in parts]
    if way == "rip":
        return Slice(max(lengths), sum(widths), way=way, parts=parts)
    return Slice(sum(lengths), max(widths), way=way, parts=parts)


def _apart[T](boxes: Sequence[Box[T]], way: Way) -> list[list[Box[T]]]:
    """Split boxes into heaps between which a cut of this way passes."""
    spans = [
        (box.y, box.y + box.width, box) if way == "rip" else (box.x, box.x + box.length, box)
        for box in boxes
    ]
    heaps: list[list[Box[T]]] = []
    reach = 0
    for low, high, box in sorted(spans, key=lambda span: span[:2]):
        if heaps and low < reach:
            heaps[-1].append(box)
        else:
            heaps.append([box])
        reach = max(reach, high)
    return heaps

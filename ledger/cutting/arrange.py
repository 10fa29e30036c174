"""From a found pattern to a sheet as it is cut: strips in order, the rest in one large piece.

The solver says which parts share a sheet. Here its pattern is taken apart into the tree of cuts,
pushed together, put in the order of the saw (wide strips first, long pieces first), and at each
level the way is chosen that leaves the largest usable piece. As in `slicing`, the kerf is absorbed.
"""

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

from ledger.cutting.layout import SQUARE_FOOT
from ledger.cutting.slicing import Box, Slice, Way, row_of, slice_up
from ledger.measures.values import replace


class FreeRectangle(Struct, frozen=True):
    """A rectangle of the sheet that is still to be filled."""

    x: int
    y: int
    length: int
    width: int


class Shop(Struct, frozen=True):
    """What decides between two ways of cutting: the blade, and what is worth keeping."""

    kerf: int
    usable_length: int
    usable_width: int
    rip_first: bool = False

    def usable_area(self, rest: FreeRectangle) -> int:
        """Give the area of a leftover, blade taken off, or 0 where it is not worth keeping."""
        length, width = rest.length - self.kerf, rest.width - self.kerf
        small, large = sorted((self.usable_length, self.usable_width))
        keep = min(length, width) >= small and max(length, width) >= large
        return length * width if keep and length > 0 and width > 0 else 0


class Filled[T](Struct, frozen=True, dict=True):
    """A room with its parts in place and what remains of it.

    A part's box is the room it has: up to a blade wider or longer than the part.
    """

    parts: tuple[Box[T], ...]
    rests: tuple[FreeRectangle, ...]
    areas: tuple[int, ...]

    def __hash__(self) -> int:
        return self._hash  # of hundreds of boxes, for each of the thousands of plans it is in

    @cached_property
    def _hash(self) -> int:
        return hash((self.parts, self.rests))

    @cached_property
    def merit(self) -> tuple[int, int, int]:
        """Say how good it is: largest leftover and all usable ones in square feet, then fewer."""
        largest = max(self.areas, default=0) // SQUARE_FOOT
        return largest, sum(self.areas) // SQUARE_FOOT, -len(self.rests)


def arrangements[T](
    boxes: Sequence[Box[T]], length: int, width: int, shop: Shop
) -> tuple[Filled[T], ...]:
    """Lay a sheet's parts anew in several ways, each so that the largest usable piece remains."""
    room = FreeRectangle(0, 0, length, width)
    plain = [_ordered(slice_up(boxes, first)) for first in _firsts(shop)]
    trees = dict.fromkeys([*plain, *(_gathered(tree) for tree in plain)])
    return tuple(dict.fromkeys(_fill(tree, room, shop, at_edge=True) for tree in trees))


def _firsts(shop: Shop) -> tuple[Way, ...]:
    return ("rip",) if shop.rip_first else ("rip", "crosscut")


def _ordered[T](tree: Slice[T]) -> Slice[T]:
    """Put the widest strips and the longest pieces first, equal ones side by side."""
    parts = [_ordered(part) for part in tree.parts]
    if tree.way == "rip":
        parts.sort(key=lambda part: (-part.width, -part.length))
    else:
        parts.sort(key=lambda part: (-part.length, -part.width))
    return Slice(tree.length, tree.width, tree.box, tree.way, tuple(parts))


def _gathered[T](tree: Slice[T]) -> Slice[T]:
    """Put strips of one length together, or pieces of one width: one cut then ends all of them.

    So it is with those that are shorter than the longest of their row, for what they leave falls.
    """
    if tree.box:
        return tree
    heaps: dict[int, list[Slice[T]]] = {}
    for part in [_gathered(part) for part in tree.parts]:
        heaps.setdefault(part.length if tree.way == "rip" else part.width, []).append(part)
    longest = max(heaps)
    parts: list[Slice[T]] = []
    for size, heap in heaps.items():
        parts += heap if size == longest or len(heap) == 1 else [row_of(tree.way, tuple(heap))]
    return replace(tree, parts=tuple(parts))


def _fill[T](tree: Slice[T], room: FreeRectangle, shop: Shop, at_edge: bool = False) -> Filled[T]:
    """Fill a room with a slice in the way that leaves the largest usable piece.

    What is no wider than the blade is never cut off by itself.
    """
    ripping = at_edge and shop.rip_first
    over_width = room.width - tree.width > shop.kerf
    over_length = room.length - tree.length > shop.kerf
    if tree.box and not over_width and not over_length:
        box = Box(room.x, room.y, room.length, room.width, tree.box.what)
        return Filled((box,), (), ())
    ways: list[Filled[T]] = []
    way = tree.way if tree.parts else None
    if over_width and way != "rip":
        rest = FreeRectangle(room.x, room.y + tree.width, room.length, room.width - tree.width)
        kept = FreeRectangle(room.x, room.y, room.length, tree.width)
        ways.append(_with_rest(_fill(tree, kept, shop), rest, shop))
    must_rip = ripping and (way == "rip" or bool(ways))
    if way and not (must_rip and way == "crosscut"):
        ways.insert(0, _side_by_side(tree, room, shop))
    if over_length and way != "crosscut" and not must_rip:
        rest = FreeRectangle(room.x + tree.length, room.y, room.length - tree.length, room.width)
        kept = FreeRectangle(room.x, room.y, tree.length, room.width)
        ways.append(_with_rest(_fill(tree, kept, shop), rest, shop))
    return max(ways, key=lambda way: way.merit)


def _side_by_side[T](tree: Slice[T], room: FreeRectangle, shop: Shop) -> Filled[T]:
    """Cut a room into its strips or pieces one after another; the rest remains at the far end."""
    parts: list[Box[T]] = []
    rests: list[FreeRectangle] = []
    areas: list[int] = []
    x, y, rip = room.x, room.y, tree.way == "rip"
    for number, part in enumerate(tree.parts, start=1):
        length, width = (room.length, part.width) if rip else (part.length, room.width)
        if number == len(tree.parts):
            length += _sliver(room.x + room.length - x - length, shop.kerf)
            width += _sliver(room.y + room.width - y - width, shop.kerf)
        filled = _fill(part, FreeRectangle(x, y, length, width), shop)
        x, y = (x, y + width) if rip else (x + length, y)
        parts.extend(filled.parts)
        rests.extend(filled.rests)
        areas.extend(filled.areas)
    whole = Filled(tuple(parts), tuple(rests), tuple(areas))
    if rip:
        rest = FreeRectangle(x, y, room.length, room.y + room.width - y)
    else:
        rest = FreeRectangle(x, y, room.x + room.length - x, room.width)
    return _with_rest(whole, rest, shop)


def _sliver(rest: int, kerf: int) -> int:
    """Give a rest that is no wider than the blade: the last piece keeps it."""
    return rest if rest <= kerf else 0


def _with_rest[T](filled: Filled[T], rest: FreeRectangle, shop: Shop) -> Filled[T]:
    """Add what a cut leaves over; a rest no wider than the blade is sawdust."""
    if min(rest.length, rest.width) <= shop.kerf:
        return filled
    areas = (*filled.areas, shop.usable_area(rest))
    return Filled(filled.parts, (*filled.rests, rest), areas)

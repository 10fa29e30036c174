"""What a sheet's drawing has no room for at its own scale.

Each piece on its way to the parts has its size in a frame near its far right corner, where nothing
else stands; what finds no room stands in the list of cuts. A strip whose parts are too small to be
named is drawn a second time, larger by one factor both ways.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import hypot

from msgspec import Struct

from ledger.cutting.apart import Cut, CutPiece
from ledger.cutting.layout import LaidSheet, Leftover, Placement
from ledger.cutting.lettering import LEAST, RADIUS, Point, Words, text
from ledger.cutting.problem import Show
from ledger.measures.values import replace

LEGIBLE = 26.0
"""So many points a part is high or long that has room for its id."""

MOST_HIGH = 500.0
WORTH_WHILE = 1.4
"""What is less enlarged is not drawn again."""

type Rectangle = tuple[float, float, float, float]
"""Left, top, length and width in the picture."""


class Strip(Struct, frozen=True):
    """A piece of a sheet to be drawn again: as a sheet of its own, so many times as large."""

    label: str
    sheet: LaidSheet
    factor: float


def pieces_of(cuts: Iterable[Cut]) -> list[CutPiece]:
    """Give the pieces that get a label of their own and are cut further, each once."""
    pieces = {
        piece.label: piece
        for cut in cuts
        for piece in (cut.off, cut.rest)
        if piece and piece.kind == "piece" and piece.label != cut.of.label
    }
    return list(pieces.values())


def framed_sizes(
    cuts: Sequence[Cut], sheet: LaidSheet, box: Callable[[Placement | Leftover], Rectangle],
    taken: Sequence[Words], numbers: Sequence[Point], show: Show,
) -> Iterator[Words]:  # fmt: skip
    """Write the label and size of each piece in a frame inside one of the things it holds."""
    filled = [words.box for words in taken]
    filled += [(x - RADIUS, y - RADIUS, x + RADIUS, y + RADIUS) for x, y in numbers]
    for piece in pieces_of(cuts):
        words = f"{piece.label}: {show(piece.length)} × {show(piece.width)}"
        wide, high = 0.5 * LEAST * len(words) + 8, LEAST + 6
        held = [box(item) for item in _items(sheet) if _is_inside(item, piece)]
        right = max((x + length for x, _, length, _ in held), default=0)
        top = min((y for _, y, _, _ in held), default=0)
        places = sorted(
            _corners(held, wide, high),
            key=lambda at: hypot(right - at[0] - wide, at[1] - top),
        )
        for x, y in places:
            frame = (x, y, x + wide, y + high)
            if not any(_overlap(frame, other) for other in filled):
                filled.append(frame)
                yield Words(_framed(x, y, wide, high, words), frame)
                break


def strips(
    cuts: Sequence[Cut], sheet: LaidSheet, unread: Sequence[Placement], scale: float, most: float
) -> list[Strip]:
    """Give the strips whose parts the number of a cut would cover; `scale` is the drawing's.

    None is drawn longer than `most`.
    """
    found: dict[str, Strip] = {}
    for part in unread:
        around = [piece for piece in pieces_of(cuts) if _is_inside(part, piece)]
        piece = min(around, key=lambda one: one.length * one.width, default=None)
        if piece is None or piece.label in found:
            continue
        factor = min(
            LEGIBLE / (scale * min(part.length_nm, part.width_nm)),
            most / (scale * piece.length),
            MOST_HIGH / (scale * piece.width),
        )
        if factor >= WORTH_WHILE:
            found[piece.label] = Strip(piece.label, _alone(sheet, piece), factor)
    return list(found.values())


def _items(sheet: LaidSheet) -> list[Placement | Leftover]:
    return [*sheet.placements, *sheet.leftovers]


def _is_inside(item: Placement | Leftover, piece: CutPiece) -> bool:
    return (
        piece.left <= item.x_nm
        and item.x_nm + item.length_nm <= piece.right
        and piece.near <= item.y_nm
        and item.y_nm + item.width_nm <= piece.far
    )


def _alone(sheet: LaidSheet, piece: CutPiece) -> LaidSheet:
    """Give a piece with what it holds as a sheet of its own without edges to trim."""
    return replace(
        sheet,
        length_nm=piece.length,
        width_nm=piece.width,
        trim_nm=0,
        placements=tuple(
            replace(part, x_nm=part.x_nm - piece.left, y_nm=part.y_nm - piece.near)
            for part in sheet.placements
            if _is_inside(part, piece)
        ),
        leftovers=tuple(
            replace(rest, x_nm=rest.x_nm - piece.left, y_nm=rest.y_nm - piece.near)
            for rest in sheet.leftovers
            if _is_inside(rest, piece)
        ),
    )


def _corners(held: Iterable[Rectangle], wide: float, high: float) -> Iterator[Point]:
    for x, y, length, width in held:
        if length >= wide + 6 and width >= high + 6:
            for left in (x + 3, x + length - wide - 3):
                for top in (y + 3, y + width - high - 3):
                    yield left, top


def _overlap(one: Rectangle, two: Rectangle) -> bool:
    """Ask whether two rectangles, each left, top, right, bottom, share some room."""
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


def _framed(x: float, y: float, wide: float, high: float, words: str) -> str:
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" fill="white" '
        f'stroke="black" stroke-width="0.8"/>'
        + text(x + wide / 2, y + high - 5.5, LEAST, words, "middle")
    )

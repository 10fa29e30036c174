"""What counts need to know of a shop's wood: its boards, its saw, and the joint it usually cuts."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import ceil

from msgspec import Struct, field

from ledger.designs.built import BuiltJoint, BuiltPart
from ledger.measures.length import Length, show_length
from ledger.measures.lumber import OVER_WIDTH_NM
from ledger.measures.spoken import how_many
from ledger.measures.values import replace

SOLID_CUTS = ("board", "glued", "turned")
LIP = Length.of(Fraction(1, 4), "in")
"""How thick solid edging is where a design does not say: common practice, no source."""

EDGE_LOSS = Length.of(Fraction(1, 2), "in")
"""What two sawn edges of a board lose when they are jointed straight: common practice."""


_NO_KERF = Length(0)


class Board(Struct, frozen=True):
    """A board of the price list: width and thickness as bought, thickness as it is dressed."""

    width: Length | None
    rough: Length
    dressed: Length

    def gives(self, part: BuiltPart) -> bool:
        """Whether the part comes out of the board in one piece, cut oversize."""
        return self.width is None or part.width.nm + OVER_WIDTH_NM <= self.width.nm

    def strips_for(self, width: Length) -> int:
        """How many strips of this board, jointed on both edges, make a width."""
        usable = self.width - EDGE_LOSS if self.width is not None else None
        return 1 if usable is None or usable.nm <= 0 else ceil(width / usable)


class ShopWood(Struct, frozen=True):
    """Boards by the code of their material, kerf of the saw, and the joint assumed by default.

    `films` are finishes that build a film also where they are wiped on: they are scuffed. `paints`
    are opaque: what they cover is sanded for paint.
    """

    boards: Mapping[str, Board] = field(default_factory=dict)
    kerf: Length = _NO_KERF
    default_joint: str = "tenon"
    films: frozenset[str] = frozenset()
    paints: frozenset[str] = frozenset()


def as_cut(part: BuiltPart, wood: ShopWood) -> BuiltPart:
    """The part as the shop's boards make it: solid or not, in how many strips, how thick."""
    board = wood.boards.get(part.material)
    is_solid = part.cut in SOLID_CUTS or (part.cut in ("", "bought") and board is not None)
    if not is_solid:
        return part
    cut = part.cut or "board"
    strips = 1
    is_one = part.cut in ("turned", "bought") or (
        part.cut == "board" and board is not None and board.gives(part)
    )
    if board is not None and not is_one:
        strips = board.strips_for(part.width)
        cut = "glued" if strips > 1 else cut
    depth = part.thickness or (board.dressed if board is not None else None)
    return replace(part, is_solid=True, cut=cut, strips=strips, depth=depth)


def wide_parts(typed: Sequence[BuiltPart], parts: Sequence[BuiltPart], units: str) -> list[str]:
    """Say which parts are wider than their board and were taken as glued up of strips."""
    return [
        f"{part.id} {part.name}".strip()
        + f" is {show_length(part.width, units, suffix=True)} wide, more than a board of"
        f" {part.material} gives: taken as glued up of {how_many(part.strips, 'strip')}."
        for was, part in zip(typed, parts, strict=True)
        if part.cut == "glued" and was.cut != "glued"
    ]


def assumed_joint(count: int, kind: str, named: Sequence[BuiltPart]) -> BuiltJoint:
    """The joints that stand for parts which no list joins; a dowel or pocket joint has two."""
    names = ", ".join(part.id for part in named)
    return BuiltJoint("assumed", kind, Length.of(1, "in"), count, names, is_assumed=True)

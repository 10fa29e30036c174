"""A joint of a plan to sell drawn with its sizes: a tenon or lap in two views, a groove cut across.

Only what the design says of the joint and the part is drawn; a unit of the picture is a point.
"""

from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from ledger.cutting.lettering import text
from ledger.designs.built import BuiltJoint, BuiltPart
from ledger.measures.length import Length, measured_length
from ledger.reports.plan_page import JointDrawing

SCALES = (1, 2, 3, 4, 5, 8, 10, 15, 20)
"""Drawings are 1 to one of these: the largest that finds room."""

HIGHEST, LONGEST, THICKEST = 112, 28, 60
"""Points that a part may be high, its tenon long, a grooved part thick."""

BODY, LEFT, TOP, VIEW = 26.0, 38.0, 28.0, 122.0
"""Points of the part that are drawn, before it and above it, and from view to view."""

LETTER = 9
"""Points of the letters."""

_LINE = 'fill="none" stroke="black" stroke-width="0.6"'


class _Tongue(Struct, frozen=True):
    """A tenon seen from one side: how far from the part's upper rim each begins, how wide it is."""

    starts: tuple[Fraction, ...]
    wide: Fraction


def joint_drawing(
    joint: BuiltJoint, part: BuiltPart, thickness: Length | None, units: str
) -> JointDrawing | None:
    """The drawing of a joint on the part that is cut for it, or None where too little is said."""
    sizes = {name: Fraction(size.nm) for name, size in joint.sizes.items()}
    if thickness is None:
        return None
    sides = (Fraction(part.width.nm), Fraction(thickness.nm))
    drawn = _Drawing(sides, sizes, units)
    if {"long", "thick", "wide"} <= sizes.keys() and joint.kind in ("tenon", "lap"):
        drawn.tenon(joint.kind, joint.tenons)
    elif {"deep", "wide"} <= sizes.keys() and {"down", "up"} & sizes.keys():
        drawn.groove()
    else:
        return None
    return JointDrawing(
        f"{part.id} {part.name}".strip(), drawn.scale, drawn.svg(), drawn.wide, drawn.high
    )


class _Drawing:
    """One joint on its way to an SVG; `sides` are width and thickness of the part."""

    def __init__(
        self, sides: tuple[Fraction, Fraction], sizes: Mapping[str, Fraction], units: str
    ) -> None:
        self.sides, self.sizes, self.units = sides, sizes, units
        self.shapes: list[str] = []
        self.wide, self.high = VIEW, 0.0
        self.scale = next((one for one in SCALES if self._fits(one)), SCALES[-1])

    def tenon(self, kind: str, count: int) -> None:
        """Draw the end of the part from its face and from its upper edge, the tenon at the right.

        A lap lies at the upper face; a tenon lies in the middle of the thickness.
        """
        width, depth = self.sides
        wide = min(self.sizes.get("wide", width), width)
        thick = min(self.sizes.get("thick", depth), depth)
        first = self._start(width, wide)
        starts = (first,) if count == 1 else (first, width - first - wide)
        self._end(0, width, _Tongue(starts, wide), "from the face")
        above = Fraction(0) if kind == "lap" else (depth - thick) / 2
        self._end(1, depth, _Tongue((above,), thick), "from the edge")
        self.wide = 2 * VIEW

    def groove(self) -> None:
        """Draw the part cut across, the groove in its right face."""
        width, depth = self.sides
        deep, wide = self._points(self.sizes["deep"]), self._points(self.sizes["wide"])
        top, right = TOP, LEFT + self._points(depth)
        high = min(self._points(width), float(HIGHEST))
        low = top + high
        start = self._start(width, self.sizes["wide"])
        first = min(top + self._points(start), low - wide)
        if "up" in self.sizes:
            first = low - self._points(self.sizes["up"]) - wide
        is_cut = high < self._points(width)
        self.shapes.append(
            f'<path d="M{LEFT:.1f} {top:.1f} l{(right - LEFT) / 2:.1f} {-4 * is_cut} H{right:.1f} '
            f"V{first:.1f} h{-deep:.1f} v{wide:.1f} "
            f'h{deep:.1f} V{low:.1f} H{LEFT:.1f} Z" fill="white" stroke="black"/>'
        )
        self._upright(right + 8, first, first + wide, self.sizes["wide"])
        if self.sizes.get("up"):
            self._upright(right + 8, first + wide, low, self.sizes["up"])
        elif self.sizes.get("down"):
            self._upright(right + 8, top, first, self.sizes["down"])
        self._along(first - 6, right - deep, right, self.sizes["deep"])
        self._along(top - 6, LEFT, right, depth)
        self._called(0, "cut across")
        self.high = low + 8

    def svg(self) -> str:
        """The whole picture."""
        return "\n".join(
            [
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.wide:.1f} '
                f'{self.high:.1f}" font-family="Source Sans Pro, Helvetica, Arial, sans-serif" '
                'fill="black">',
                *self.shapes,
                "</svg>",
                "",
            ]
        )

    def _fits(self, scale: int) -> bool:
        per_point = Fraction(25_400_000 * scale, 72)
        if "long" in self.sizes:
            long = self.sizes["long"] / per_point
            return self.sides[0] / per_point <= HIGHEST and long <= LONGEST
        seen = self.sizes.get("wide", self.sides[0]) + self.sizes.get("up", Fraction(0))
        return seen / per_point <= HIGHEST and self.sides[1] / per_point <= THICKEST

    def _points(self, size: Fraction) -> float:
        return float(size * 72 / (25_400_000 * self.scale))

    def _start(self, side: Fraction, wide: Fraction) -> Fraction:
        """How far below the upper edge a tenon or groove begins; in the middle if nothing says."""
        for name in ("down", "edge"):
            if name in self.sizes:
                return self.sizes[name]
        if "up" in self.sizes:
            return side - self.sizes["up"] - wide
        return (side - wide) / 2

    def _end(self, view: int, side: Fraction, tongue: _Tongue, called: str) -> None:
        """The part's end in one view, broken off at its left."""
        left, high = view * VIEW + LEFT, self._points(side)
        right, low = left + BODY, TOP + high
        self.shapes.append(
            f'<path d="M{left:.1f} {TOP:.1f} H{right:.1f} V{low:.1f} H{left:.1f} l-4 '
            f'{-high / 3:.1f} l8 {-high / 3:.1f} Z" fill="white" stroke="black"/>'
        )
        long, wide = self._points(self.sizes["long"]), self._points(tongue.wide)
        for start in tongue.starts:
            y = TOP + self._points(start)
            self.shapes.append(
                f'<rect x="{right:.1f}" y="{y:.1f}" width="{long:.1f}" height="{wide:.1f}" '
                'fill="white" stroke="black"/>'
            )
        first = TOP + self._points(tongue.starts[0])
        beside = right + long + 7
        self._upright(beside, first, first + wide, tongue.wide)
        if view == 0 and tongue.starts[0]:
            self._upright(beside, TOP, first, tongue.starts[0])
        self._upright(left - 9, TOP, low, side, before=True)
        if view == 0:
            self._along(TOP - 6, right, right + long, self.sizes["long"])
        self._called(view, called)
        self.high = max(self.high, low + 8)

    def _called(self, view: int, words: str) -> None:
        self.shapes.append(text(view * VIEW + LEFT, 10, LETTER, words, "start"))

    def _spelled(self, size: Fraction) -> str:
        return measured_length(Length(round(size)), self.units)

    def _upright(
        self, x: float, top: float, low: float, size: Fraction, *, before: bool = False
    ) -> None:
        """A dimension from `top` to `low`, its size beside it."""
        self.shapes.append(
            f'<path d="M{x - 3:.1f} {top:.1f} h6 M{x:.1f} {top:.1f} V{low:.1f} m-3 0 h6" {_LINE}/>'
        )
        beside, anchor = (x - 5, "end") if before else (x + 5, "start")
        self.shapes.append(text(beside, (top + low) / 2 + 3, LETTER, self._spelled(size), anchor))

    def _along(self, y: float, left: float, right: float, size: Fraction) -> None:
        """A dimension from left to right, its size above it."""
        self.shapes.append(
            f'<path d="M{left:.1f} {y - 3:.1f} v6 M{left:.1f} {y:.1f} H{right:.1f} m0 -3 v6" '
            f"{_LINE}/>"
        )
        self.shapes.append(text((left + right) / 2, y - 4, LETTER, self._spelled(size), "middle"))

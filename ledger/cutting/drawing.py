"""The cut plan as a picture: an SVG for each sheet, and block drawings for a plain terminal.

The SVG is in black on white and made for the wall: part id large, name and size below it, the
grain as an arrow, banded edges as thick lines, leftovers hatched, the cuts numbered in the order
of the saw. How lengths read is the caller's business: `show` turns nanometers into text.
"""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

from ledger.cutting.apart import Cut
from ledger.cutting.layout import LaidSheet, Layout, Leftover, Name, Placement
from ledger.cutting.lettering import (
    RADIUS,
    Point,
    Words,
    fitted,
    free_spot,
    label,
    printable,
    text,
)
from ledger.cutting.problem import Problem, Show, show_mm
from ledger.cutting.sequence import cut_list

WIDE = 1120
"""The drawn sheet's longer side in SVG units; on a printed page some 26 cm."""

LEAST_BOARD = 180
"""A narrow board is drawn wider than it is, so that its strips have room for their names."""

MARGIN = 60
HEAD = 70
FOOT = 70


def sheet_svg(
    problem: Problem,
    layout: Layout,
    number: int,
    show: Show = show_mm,
    title: str = "",
    name: Name = "sheet",
) -> str:
    """Draw one sheet (or one rough board) of a layout; `number` counts them from 1."""
    cuts = cut_list(problem, layout).of_sheet(number)
    return _Page(problem, layout.sheets[number - 1], cuts, show, name).drawn(number, title)


@dataclass(frozen=True, slots=True)
class BareDrawing:
    """A sheet's drawing alone, and the parts whose size found no room in it, each in words."""

    svg: str
    beside: tuple[str, ...]


def bare_svg(
    problem: Problem, layout: Layout, number: int, show: Show = show_mm, *, units_per_mm: float
) -> BareDrawing:
    """Draw one sheet to true scale without heading, legend and margins, for a page of the caller's.

    `number` counts the sheets of the layout from 1. A millimeter is `units_per_mm` units of the
    viewBox both ways (said as `data-units-per-mm`), and letters are sized in those units: where a
    unit is a point of the print, labels are readable at arm's length. A part's rectangle names it
    in `data-part`; ids begin with material and number.
    """
    sheet = layout.sheets[number - 1]
    cuts = cut_list(problem, layout).of_sheet(number)
    return _Page(problem, sheet, cuts, show, "sheet", units_per_mm).bare(number)


class _Page:
    """One sheet on its way to an SVG."""

    def __init__(
        self,
        problem: Problem,
        sheet: LaidSheet,
        cuts: Sequence[Cut],
        show: Show,
        name: Name,
        units_per_mm: float | None = None,
    ) -> None:
        self.problem = problem
        self.sheet = sheet
        self.cuts = cuts
        self.show = show
        self.name = name
        self.units_per_mm = units_per_mm
        self.left, self.top, self.hatch = MARGIN, HEAD, "hatch"
        self.scale = WIDE / max(sheet.length_nm, sheet.width_nm)
        if units_per_mm is not None:
            self.left = self.top = 0
            self.scale = units_per_mm / 1_000_000
        self.up = self.scale
        if name == "board":
            self.up = max(self.scale, LEAST_BOARD / sheet.width_nm)
        self.high = sheet.width_nm * self.up
        self.long = sheet.length_nm * self.scale
        self.unnamed: Counter[str] = Counter()
        self.words: list[Words] = []
        self.numbers: list[Point] = []

    def drawn(self, number: int, title: str) -> str:
        """Give the whole picture."""
        inner = [self._outline()]
        inner += [self._rest(rest) for rest in self.sheet.leftovers]
        inner += [self._part(part) for part in self.sheet.placements]
        inner += [self._cut(cut) for cut in self.cuts if not cut.trims]
        below = self._legend()
        width = self.long + 2 * MARGIN
        height = HEAD + self.high + FOOT + 20 * len(below)
        return "\n".join(
            [
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" '
                f'width="{width:.0f}" height="{height:.0f}" font-family="Helvetica, Arial, '
                f'sans-serif" fill="black">',
                _hatch(self.hatch),
                f'<rect width="{width:.0f}" height="{height:.0f}" fill="white"/>',
                *self._heading(number, title),
                *inner,
                *self._lines(below),
                "</svg>",
                "",
            ]
        )

    def bare(self, number: int) -> BareDrawing:
        """Give the sheet alone, its ids its own."""
        material = re.sub(r"[^A-Za-z0-9_-]", "-", self.problem.material) or "sheet"
        prefix = f"{material}-{number}"
        self.hatch = f"{prefix}-hatch"
        inner = [self._outline()]
        inner += [self._rest(rest) for rest in self.sheet.leftovers]
        inner += [self._part(part) for part in self.sheet.placements]
        inner += [self._cut(cut) for cut in self.cuts if not cut.trims]
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" id="{prefix}" '
            f'viewBox="0 0 {self.long:.2f} {self.high:.2f}" '
            f'data-units-per-mm="{self.units_per_mm}" '
            'font-family="Source Sans Pro, Helvetica, Arial, sans-serif" fill="black">'
        )
        svg = "\n".join([head, _hatch(self.hatch), *inner, "</svg>", ""])
        return BareDrawing(svg, tuple(_counted(self.unnamed)))

    def _heading(self, number: int, title: str) -> list[str]:
        sheet, called = self.sheet, f"{self.name.capitalize()} {number}"
        kind = "rough board" if self.name == "board" else "new sheet"
        kind = f"rack {sheet.label}".strip() if sheet.source == "rack" else kind
        size = f"{self.show(sheet.length_nm)} × {self.show(sheet.width_nm)}"
        head = f"{called}: {', '.join(filter(None, (sheet.material, kind, size)))}"
        saw = f"Kerf {self.show(self.problem.kerf_nm)}, trim {self.show(sheet.trim_nm)} each edge."
        return [
            text(MARGIN, 30, 24, f"{title}: {head}" if title else head, "start", bold=True),
            text(MARGIN, 54, 16, saw, "start"),
            _grain_arrow(MARGIN + self.long - 190, 48),
        ]

    def _outline(self) -> str:
        trim, across = self.sheet.trim_nm * self.scale, self.sheet.trim_nm * self.up
        return (
            f'<rect x="{self.left}" y="{self.top}" width="{self.long:.1f}" '
            f'height="{self.high:.1f}" fill="white" stroke="black" stroke-width="2.5"/>'
            f'<rect x="{self.left + trim:.1f}" y="{self.top + across:.1f}" '
            f'width="{self.long - 2 * trim:.1f}" height="{self.high - 2 * across:.1f}" '
            'fill="none" stroke="black" stroke-width="0.8" stroke-dasharray="6 4"/>'
        )

    def _box(self, item: Placement | Leftover) -> tuple[float, float, float, float]:
        """Give x, y, length and width in the picture; y runs upward from the near edge."""
        length, width = item.length_nm * self.scale, item.width_nm * self.up
        x = self.left + item.x_nm * self.scale
        return x, self.top + self.high - item.y_nm * self.up - width, length, width

    def _part(self, part: Placement) -> str:
        x, y, length, width = self._box(part)
        piece = self.problem.by_id[part.part]
        drawn = [
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{length:.1f}" height="{width:.1f}" '
            f"data-part={quoteattr(printable(part.mark))} "
            'fill="white" stroke="black" stroke-width="1.6"/>'
        ]
        drawn += [_edge(x, y, length, width, side) for side in _sides(piece.banded, part.turned)]
        size = f"{self.show(part.length_nm)} × {self.show(part.width_nm)}"
        if part.turned:
            size += " (turned)"
        named = tuple(filter(None, (part.mark, piece.own_name)))
        for lines in ((*named, size), (part.mark, size)):
            if words := label(x, y, length, width, lines):
                return "".join([*drawn, self._kept(words)])
        self.unnamed[f"{' '.join(named)}, {size}"] += 1
        return "".join([*drawn, self._kept(fitted(x, y, length, width, part.mark))])

    def _rest(self, rest: Leftover) -> str:
        x, y, length, width = self._box(rest)
        weight = "1.4" if rest.usable else "0.7"
        size = f"{self.show(rest.length_nm)} × {self.show(rest.width_nm)}"
        lines = ("keep", size) if rest.usable else (size,)
        return (
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{length:.1f}" height="{width:.1f}" '
            f'fill="url(#{self.hatch})" stroke="black" stroke-width="{weight}"/>'
            + self._kept(label(x, y, length, width, lines, plate=True))
        )

    def _kept(self, words: Words | None) -> str:
        """Draw words and remember where they stand."""
        if words is None:
            return ""
        self.words.append(words)
        return words.drawn

    def _cut(self, cut: Cut) -> str:
        """Number a cut in a small circle on the line of the blade, where nothing else stands.

        A sheet's first cuts are numbered in the margin. A number beside its line points to it.
        """
        along, across = self.scale, self.up
        if cut.way == "crosscut":
            along, across = across, along
        line = (cut.at_nm + cut.lost_nm / 2) * across
        low, high = cut.from_nm * along, (cut.from_nm + cut.span_nm) * along
        low += 10 if low or self.units_per_mm else -12
        if cut.way == "rip":
            first = (self.left + low, self.top + self.high - line)
            far = (self.left + high - RADIUS, first[1])
        else:
            first = (self.left + line, self.top + self.high - low)
            far = (first[0], self.top + self.high - high + RADIUS)
        spot = free_spot(first, far, self.numbers, self.words)
        self.numbers.append(spot)
        x, y = spot
        beside = abs(y - first[1]) > 1 if cut.way == "rip" else abs(x - first[0]) > 1
        pointer = (
            f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{first[0]:.1f}" y2="{first[1]:.1f}" '
            'stroke="black" stroke-width="0.8"/>'
        )
        circle = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{RADIUS:.0f}" fill="white" stroke="black"/>'
        number = text(x, y + 3.5, 10, str(cut.number), "middle", bold=True)
        return f"{pointer if beside else ''}{circle}{number}"

    def _legend(self) -> list[str]:
        said = _counted(self.unnamed)
        lines = ["  ·  ".join(said[at : at + 2]) for at in range(0, len(said), 2)]
        return [
            "Thick edge: banded.  Hatched: left over.  Numbers: order of the cuts "
            "(the trimming cuts between them are not drawn).",
            *(["The board is drawn wider than it is."] if self.up > self.scale else []),
            *lines,
        ]

    def _lines(self, below: Sequence[str]) -> list[str]:
        top = HEAD + self.high + 44
        return [text(MARGIN, top + 20 * at, 14, line, "start") for at, line in enumerate(below)]


def _counted(words: Counter[str]) -> list[str]:
    return [f"{said} ({count} times)" if count > 1 else said for said, count in words.items()]


def _hatch(name: str) -> str:
    return (
        f'<defs><pattern id="{name}" width="9" height="9" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="9" height="9" fill="white"/>'
        '<line x1="0" y1="0" x2="0" y2="9" stroke="black" stroke-width="0.9"/></pattern></defs>'
    )


def _grain_arrow(x: float, y: float) -> str:
    return (
        f'<path d="M{x:.1f} {y:.1f} h110 m-12 -6 l12 6 l-12 6 M{x:.1f} {y:.1f} m12 -6 l-12 6 '
        'l12 6" fill="none" stroke="black" stroke-width="2"/>'
        + text(x + 120, y + 5, 16, "grain", "start")
    )


def _sides(banded: Sequence[str], turned: bool) -> list[str]:
    """Say which sides of the drawn rectangle are banded: a quarter turn moves each edge on."""
    sides = {"L1": "bottom", "L2": "top", "W1": "left", "W2": "right"}
    if turned:
        sides = {"L1": "right", "L2": "left", "W1": "bottom", "W2": "top"}
    return [sides[edge] for edge in banded]


def _edge(x: float, y: float, length: float, width: float, side: str) -> str:
    """Draw a banded edge as a thick line just inside its part."""
    inset = min(3.0, length / 4, width / 4)
    left, right, top, bottom = x + inset, x + length - inset, y + inset, y + width - inset
    ends = {
        "left": (left, top, left, bottom),
        "right": (right, top, right, bottom),
        "top": (left, top, right, top),
        "bottom": (left, bottom, right, bottom),
    }[side]
    x1, y1, x2, y2 = ends
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="black" '
        f'stroke-width="{min(5.0, 2 * inset):.1f}"/>'
    )

"""The cut plan as a picture: an SVG for each sheet, and block drawings for a plain terminal.

The SVG is in black on white and made for the wall: part id large, name and size below it, the
grain as an arrow, banded edges as thick lines, leftovers hatched, the cuts numbered in the order
of the saw. How lengths read is the caller's business: `show` turns nanometers into text.
"""

import re
from collections import Counter
from collections.abc import Sequence
from textwrap import wrap
from xml.sax.saxutils import quoteattr

from msgspec import Struct

from ledger.cutting.apart import Cut
from ledger.cutting.insets import framed_sizes, strips
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
from ledger.cutting.lines import cut_lines
from ledger.cutting.marks import SHAPES, cut_mark, grain_arrow, hatch, sides_of, thick_edge
from ledger.cutting.problem import ALL_EDGES, Problem, Show, show_mm
from ledger.cutting.sequence import cut_list
from ledger.cutting.ticks import LETTERS, LINE, MARGIN, boxes, ticked
from ledger.measures.values import replace

POINT_NM = 352_778
WIDE = 690
"""The drawn sheet's longer side in points, which fits letter and A4 paper lying down."""

LEAST_BOARD = 110
"""A narrow board is drawn wider than it is, so that its strips have room for their names."""

HEAD = 80
FOOT = 30


class PageHead(Struct, frozen=True):
    """What the head of a page says besides the sheet: its job, and notes such as day and units.

    The sheet's `thickness` and the plan's digest are given as they are to be read.
    """

    title: str = ""
    notes: tuple[str, ...] = ()
    thickness: str = ""
    digest: str = ""


NO_HEAD = PageHead()


def sheet_svg(
    problem: Problem,
    layout: Layout,
    number: int,
    show: Show = show_mm,
    head: PageHead = NO_HEAD,
    name: Name = "sheet",
) -> str:
    """Draw the page at the saw of one sheet (or one rough board); `number` counts them from 1.

    Its unit is a point of the print, so that no letter is smaller than 13 points.
    """
    cuts = cut_list(problem, layout).of_sheet(number)
    page = _Page(problem, layout.sheets[number - 1], cuts, show, name)
    return page.drawn(number, len(layout.sheets), replace(head, digest=layout.digest[:6]))


class BareDrawing(Struct, frozen=True):
    """A sheet's drawing alone, in units of its own: `length` × `width` of them.

    `beside` names the parts whose size found no room in it, `legend` says what its signs mean,
    `running` where the blade runs, each a line.
    """

    svg: str
    length: float
    width: float
    beside: tuple[str, ...]
    legend: tuple[str, ...]
    running: tuple[str, ...]


def bare_svg(
    problem: Problem, layout: Layout, number: int, show: Show = show_mm, *, units_per_mm: float,
    name: Name = "sheet", pad: float = 0,
) -> BareDrawing:  # fmt: skip
    """Draw one sheet to true scale without heading, legend and margins, for a page of the caller's.

    `number` counts the sheets of the layout from 1. A millimeter is `units_per_mm` units of the
    viewBox both ways (said as `data-units-per-mm`), and letters are sized in those units: where a
    unit is a point of the print, labels are readable at arm's length. Numbers at the rim find room
    in `pad` units around the sheet. A part's rectangle names it in `data-part`; ids begin with
    material and number. A narrow `board` is drawn wider than it is, and the legend says so.
    """
    sheet = layout.sheets[number - 1]
    cuts = cut_list(problem, layout).of_sheet(number)
    return _Page(problem, sheet, cuts, show, name, units_per_mm).bare(number, pad)


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
        self.unread: list[Placement] = []
        self.words: list[Words] = []
        self.numbers: list[Point] = []

    def drawn(self, number: int, count: int, head: PageHead) -> str:
        """Give the whole page: drawing, what has no room in it, and the sheet's cuts to tick."""
        inner = self._inner()
        below = self._legend()
        rows = ticked(self.cuts, self.show)
        width = self.long + 2 * MARGIN
        top = HEAD + self.high + FOOT + LINE * len(below)
        height = top + LINE * (len(rows[0]) + 1)
        again, height = self._again(height)
        return "\n".join(
            [
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" '
                f'width="{width:.0f}pt" height="{height:.0f}pt" font-family="Source Sans Pro, '
                f'Helvetica, Arial, sans-serif" fill="black">',
                hatch(self.hatch),
                f'<rect width="{width:.0f}" height="{height:.0f}" fill="white"/>',
                *self._heading(number, count, head),
                *self._edges(),
                *inner,
                *self._lines(below),
                *boxes(rows, self.long, top),
                *again,
                "</svg>",
                "",
            ]
        )

    def _inner(self) -> list[str]:
        inner = [self._outline()]
        inner += [self._rest(rest) for rest in self.sheet.leftovers]
        inner += [self._part(part) for part in self.sheet.placements]
        inner += [self._trim(cut) for cut in self.cuts if cut.trim]
        frames = framed_sizes(self.cuts, self.sheet, self._box, self.words, self.numbers, self.show)
        inner += [self._kept(words) for words in list(frames)]
        hidden = self._crowded()
        shown = [cut for cut in self.cuts if not cut.trim and cut.number not in hidden]
        return inner + [self._cut(cut) for cut in shown]

    def _crowded(self) -> set[int]:
        """Give the numbers between the first and the last of equal cuts too near to number each."""
        crowded = set()
        for line in cut_lines(self.cuts):
            step = line.first.size_nm * (self.up if line.first.way == "rip" else self.scale)
            if step < 2 * RADIUS:
                crowded |= {cut.number for cut in line.cuts[1:-1]}
        return crowded

    def bare(self, number: int, pad: float) -> BareDrawing:
        """Give the sheet alone with room around it, its ids its own."""
        material = re.sub(r"[^A-Za-z0-9_-]", "-", self.problem.material) or "sheet"
        prefix = f"{material}-{number}"
        self.hatch = f"{prefix}-hatch"
        inner = self._inner()
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" id="{prefix}" '
            f'viewBox="{-pad:g} {-pad:g} {self.long + 2 * pad:.2f} {self.high + 2 * pad:.2f}" '
            f'data-units-per-mm="{self.units_per_mm}" '
            'font-family="Source Sans Pro, Helvetica, Arial, sans-serif" fill="black">'
        )
        svg = "\n".join([head, hatch(self.hatch), *inner, "</svg>", ""])
        words = (tuple(lines) for lines in (_counted(self.unnamed), self._signs(), self._running()))
        return BareDrawing(svg, self.long, self.high, *words)

    def _again(self, top: float) -> tuple[list[str], float]:
        """Draw strips with parts too small to be named again, larger; give the page's new end."""
        drawn: list[str] = []
        for strip in strips(self.cuts, self.sheet, self.unread, self.scale, self.long):
            units = self.scale * strip.factor * 1_000_000
            page = _Page(self.problem, strip.sheet, (), self.show, "sheet", units)
            page.hatch = self.hatch
            words = f"{strip.label} again, {strip.factor:.1f} times as large"
            drawn += [
                text(MARGIN, top + LINE, 13, words, "start"),
                f'<g transform="translate({MARGIN} {top + LINE + 8:.1f})">',
                *page._inner(),
                "</g>",
            ]
            top += LINE + 8 + page.high + LINE
        return drawn, top

    def _heading(self, number: int, count: int, head: PageHead) -> list[str]:
        sheet, called = self.sheet, f"{self.name.capitalize()} {number} of {count}"
        kind = "rough board" if self.name == "board" else "new sheet"
        kind = f"rack {sheet.label}".strip() if sheet.source == "rack" else kind
        size = f"{self.show(sheet.length_nm)} × {self.show(sheet.width_nm)}"
        size += f" × {head.thickness}" if head.thickness else ""
        title = f"{called}: {', '.join(filter(None, (sheet.material, kind, size)))}"
        saw = f"Kerf {self.show(self.problem.kerf_nm)}, trim {self.show(sheet.trim_nm)} each edge."
        if 0 < len(sheet.factory) < len(ALL_EDGES):
            saw = saw.replace("each edge", f"at {', '.join(sheet.factory)}")
        scale = round(max(sheet.length_nm, sheet.width_nm) / (WIDE * POINT_NM), 1)
        plan = head.digest and f"Plan {head.digest}."
        parts = (saw, *head.notes, f"Scale 1 : {scale:g}.", plan)
        return [
            text(MARGIN, 24, 18, f"{head.title}: {title}" if head.title else title, "start", True),
            text(MARGIN, 44, 13, "  ".join(filter(None, parts)), "start"),
            grain_arrow(MARGIN + self.long - 160, 58),
        ]

    def _edges(self) -> list[str]:
        """Name the four edges of the sheet beside them."""
        across, up = MARGIN + self.long / 2, HEAD + self.high / 2
        turned = [
            (x, f'<g transform="rotate(-90 {x:.1f} {up:.1f})">', word)
            for x, word in ((MARGIN - 30, "left edge"), (MARGIN + self.long + 38, "right edge"))
        ]
        return [
            text(across, HEAD - 18, 13, "far edge", "middle"),
            text(across, HEAD + self.high + 18, 13, "near edge", "middle"),
            *(f"{spin}{text(x, up, 13, word, 'middle')}</g>" for x, spin, word in turned),
        ]

    def _trim(self, cut: Cut) -> str:
        """Draw the cut that cleans a factory edge as a thick bar with its number."""
        wide = max(cut.lost_nm * (self.up if cut.way == "rip" else self.scale), 3)
        low = self.top + self.high
        if cut.way == "rip":
            bar = (self.left, low - wide, self.long, wide)
            spot = (self.left + self.long - 2 * RADIUS, low - RADIUS)
        else:
            bar = (self.left, self.top, wide, self.high)
            spot = (self.left + RADIUS, self.top + 2 * RADIUS)
        self.numbers.append(spot)
        x, y, length, width = bar
        return (
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{length:.1f}" height="{width:.1f}"/>'
            + cut_mark(cut.tool, *spot, cut.number)
        )

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
        drawn += [
            thick_edge(x, y, length, width, side) for side in sides_of(piece.banded, part.turned)
        ]
        size = f"{self.show(part.length_nm)} × {self.show(part.width_nm)}"
        if part.turned:
            size += " (turned)"
        named = tuple(filter(None, (part.mark, piece.own_name)))
        for lines in ((*named, size), (part.mark, size)):
            if words := label(x, y, length, width, lines):
                return "".join([*drawn, self._kept(words)])
        self.unnamed[f"{' '.join(named)}, {size}"] += 1
        if min(length, width) < 2 * RADIUS:
            self.unread.append(part)
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
        low += RADIUS + 2 if low or self.units_per_mm else -12
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
        return f"{pointer if beside else ''}{cut_mark(cut.tool, x, y, cut.number)}"

    def _signs(self) -> list[str]:
        used = [words for tool, words in SHAPES.items() if any(c.tool == tool for c in self.cuts)]
        return [
            f"Thick edge: banded.  Hatched: left over.  Numbers: {', '.join(used) or 'no cuts'}.",
            *(["Equal cuts near together: the first and the last."] if self._crowded() else []),
            *(["The board is drawn wider than it is."] if self.up > self.scale else []),
        ]

    def _legend(self) -> list[str]:
        named = _counted(self.unnamed)
        pairs = ("  ·  ".join(named[at : at + 2]) for at in range(0, len(named), 2))
        running = (part for line in self._running() for part in wrap(line, 2 * LETTERS))
        return [*self._signs(), *pairs, *running]

    def _running(self) -> list[str]:
        """Say where the blade runs from the trimmed edges, a check only, for the first two stages.

        Each piece is measured from its own fresh edge; kerfs differ by tool.
        """
        lines = []
        for depth in (1, 2):
            rows: dict[tuple[str, str], list[int]] = {}
            for cut in self.cuts:
                if not cut.trims and _depth(cut.of.label) == depth:
                    trim = self.sheet.trimmed("near" if cut.way == "rip" else "left")
                    rows.setdefault((cut.of.label, cut.way), []).append(cut.at_nm - trim)
            for (piece, way), places in sorted(rows.items()):
                edge = "near" if way == "rip" else "left"
                steps = " · ".join(self.show(place) for place in sorted(places))
                lines.append(f"{piece}, running from the {edge} edge: {steps}")
        return lines

    def _lines(self, below: Sequence[str]) -> list[str]:
        top = HEAD + self.high + 36
        return [text(MARGIN, top + LINE * at, 13, line, "start") for at, line in enumerate(below)]


def _depth(label: str) -> int:
    """Say in which stage a piece is cut: the whole sheet is 1, its strips 2, theirs 3."""
    return len(re.findall(r"\d+|[A-Z]+|[a-z]+", label))


def _counted(words: Counter[str]) -> list[str]:
    return [f"{name} ({count} times)" if count > 1 else name for name, count in words.items()]

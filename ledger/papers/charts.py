"""Pictures of figures for papers, in black on white: hours against their points, and bars.

A unit is about a point of the print (the picture is laid out as wide as the page, 480 to 497
points), so no letter is smaller than 8 points. Shapes tell things apart, never shades alone.
"""

from collections.abc import Sequence
from xml.sax.saxutils import escape

from msgspec import Struct

from ledger.measures.custom import JOINER

WIDTH = 480
"""Units across: the room between the margins of the narrower paper, A4, in points."""

_LINE, _HEAD, _FOOT, _BAR = 17, 8, 15, 17
_FONT = 'font-family="Source Sans Pro, Helvetica, Arial, sans-serif" font-size="9"'
_DARK = 'fill="black"'
_ROUND = (1, 2, 5)
_MOST_LETTERS = 26


class PointRow(Struct, frozen=True):
    """A job: hours it was foretold at (None where a point was not kept) and hours that it took."""

    name: str
    typical: float | None
    safe: float
    bad: float | None
    took: float


class BarRow(Struct, frozen=True):
    """A bar: its name, how long it is, and the figure that stands beside it."""

    name: str
    length: float
    words: str


class ColumnRow(Struct, frozen=True):
    """A column: the short name below it, how high it is, and the figure above it."""

    name: str
    height: float
    words: str


def columns_svg(rows: Sequence[ColumnRow], high: float = 70) -> str:
    """Columns beside one another, such as those of months, each with its figure above it."""
    most = max((row.height for row in rows), default=0) or 1
    room, top = WIDTH / max(len(rows), 1), _HEAD + 10
    parts = [_rule(0, top + high, WIDTH, top + high, 0.7)]
    for number, row in enumerate(rows):
        tall, left = max(0, row.height) * high / most, room * number
        middle = left + room / 2
        wide = min(room - 6, 40)
        parts.append(
            f'<rect x="{middle - wide / 2:.1f}" y="{top + high - tall:.1f}" width="{wide:.1f}"'
            f' height="{tall:.1f}" fill="#3A2E22"/>'
        )
        parts.append(_text(middle, top + high - tall - 3, row.words, "middle"))
        parts.append(_text(middle, top + high + 11, row.name, "middle"))
    return _svg(top + high + _FOOT, parts)


def points_svg(rows: Sequence[PointRow]) -> str:
    """Each job on a line: from typical to bad case a rule, safe a block, what it took a diamond."""
    left, right = 70, WIDTH - 34
    most = max(max(row.took, row.safe, row.bad or 0, row.typical or 0) for row in rows)
    step = _step(most)
    scale = (right - left) / most
    parts, foot = [], _HEAD + _LINE * len(rows)

    def at(hours: float) -> float:
        return left + hours * scale

    for number in range(int(most / step) + 1):
        x = at(number * step)
        parts.append(_rule(x, _HEAD, x, foot, 0.35))
        parts.append(_text(x, foot + 11, f"{number * step:g}", "middle"))
    parts.append(_text(WIDTH, foot + 11, "hours", "end"))
    for number, row in enumerate(rows):
        y = _HEAD + _LINE * (number + 0.5)
        parts.append(_text(0, y + 3, _short(row.name, 14)))
        if row.typical is not None and row.bad is not None:
            parts.append(_rule(at(row.typical), y, at(row.bad), y, 1))
            parts += [_rule(at(end), y - 4, at(end), y + 4, 1) for end in (row.typical, row.bad)]
        x = at(row.safe)
        parts.append(f'<rect x="{x - 1.5:.1f}" y="{y - 5:.1f}" width="3" height="10" {_DARK}/>')
        parts.append(_diamond(at(row.took), y))
    return _svg(foot + _FOOT, parts)


def bars_svg(rows: Sequence[BarRow], across: int = WIDTH) -> str:
    """Bars below one another with their names before them and their figures behind."""
    left, right = (150, across - 80) if across == WIDTH else (110, across - 40)
    most = max((row.length for row in rows), default=0) or 1
    parts = []
    for number, row in enumerate(rows):
        y = _HEAD + _BAR * number
        wide = max(0, row.length) * (right - left) / most
        parts.append(_text(0, y + 9, _short(row.name, _MOST_LETTERS)))
        parts.append(f'<rect x="{left}" y="{y}" width="{wide:.1f}" height="11" fill="#3A2E22"/>')
        parts.append(_text(left + wide + 6, y + 9, row.words))
    return _svg(_HEAD + _BAR * len(rows), parts, across)


def _step(most: float) -> float:
    """A round step that makes at most eight marks: 1, 2 or 5 with noughts."""
    power = 0.1
    while True:
        for number in _ROUND:
            if most / (number * power) <= 8:
                return number * power
        power *= 10


def _diamond(x: float, y: float) -> str:
    """An open diamond with a white middle, so that a rule behind it is seen to end there."""
    points = f"{x:.1f},{y - 5:.1f} {x + 5:.1f},{y:.1f} {x:.1f},{y + 5:.1f} {x - 5:.1f},{y:.1f}"
    return f'<polygon points="{points}" fill="white" stroke="black" stroke-width="1.3"/>'


def _rule(x: float, y: float, to_x: float, to_y: float, wide: float) -> str:
    ends = f'x1="{x:.1f}" y1="{y:.1f}" x2="{to_x:.1f}" y2="{to_y:.1f}"'
    return f'<line {ends} stroke="black" stroke-width="{wide}"/>'


def _text(x: float, y: float, words: str, anchor: str = "start") -> str:
    place = f'x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"'
    return f"<text {place} {_FONT}>{escape(words.replace(JOINER, ''))}</text>"


def _short(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1] + "…"


def _svg(height: float, parts: Sequence[str], across: int = WIDTH) -> str:
    size = f'viewBox="0 0 {across} {height:.0f}" width="{across}" height="{height:.0f}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{"".join(parts)}</svg>'

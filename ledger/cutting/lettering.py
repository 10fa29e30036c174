"""Letters in a drawing: words as large as they fit, and numbers that do not cover one another.

Everything is measured in the units of the picture, y downward. Widths of words are estimated.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from math import cos, hypot, pi, sin
from xml.sax.saxutils import escape

from msgspec import Struct

LONGEST = 150
"""Longer names are cut short."""

LEAST = 13
"""Smaller letters, in points, are not read at the saw; what they would say stands below."""

LARGEST = 34

RADIUS = 11.0
"""The shape around the number of a cut."""

APART = 2 * RADIUS + 4
"""The least distance between the middles of two numbers."""

_STEP = 6.0
_NOT_XML = re.compile("[^\t -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

type Point = tuple[float, float]


class Words(Struct, frozen=True):
    """Drawn words and the rectangle they take: left, top, right, bottom."""

    drawn: str
    box: tuple[float, float, float, float]

    def near(self, spot: Point) -> bool:
        """Ask whether a number in this place would cover some of the words."""
        left, top, right, bottom = self.box
        x, y = spot
        return left - RADIUS < x < right + RADIUS and top - RADIUS < y < bottom + RADIUS


def text(x: float, y: float, size: float, words: str, anchor: str, bold: bool = False) -> str:
    """Write one line at its foot."""
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:.1f}" text-anchor="{anchor}"{weight}>'
        f"{escape(printable(words))}</text>"
    )


def printable(words: str) -> str:
    """Shorten what is too long for a wall, and replace what XML cannot hold."""
    if len(words) > LONGEST:
        words = words[: LONGEST - 1] + "…"
    return _NOT_XML.sub("\N{REPLACEMENT CHARACTER}", words)


def label(
    x: float, y: float, length: float, width: float, lines: Sequence[str], plate: bool = False
) -> Words | None:
    """Write lines into a rectangle as large as they fit, upright if need be; None if too small.

    The first line is the largest. A narrow part gets its lines in one row.
    """
    best = (0.0, False, tuple(lines))
    for turned in (False, True):
        across, down = (width, length) if turned else (length, width)
        for rows in (tuple(lines), ("  ".join(lines),)):
            size = min(
                LARGEST,
                (across - 12) / max(_wide(row, at) for at, row in enumerate(rows)),
                (down - 6) / (1.25 * sum(_share(at) for at in range(len(rows)))),
            )
            legible = size * _share(len(rows) - 1) >= LEAST
            if legible and size > best[0] * (1.35 if turned else 1.0):
                best = (size, turned, rows)
    size, turned, rows = best
    if size < LEAST:
        return None
    return _written(x + length / 2, y + width / 2, size, rows, turned, plate)


def fitted(x: float, y: float, length: float, width: float, words: str) -> Words | None:
    """Write a short sign into a small rectangle; None where it would be too small to read."""
    size = LEAST
    if length < 0.6 * size * len(words) or width < 0.7 * size:
        return None
    x, y, half = x + length / 2, y + width / 2, 0.3 * size * len(words)
    drawn = text(x, y + size / 3, size, words, "middle", bold=True)
    return Words(drawn, (x - half, y - size / 2, x + half, y + size / 2))


def free_spot(first: Point, far: Point, numbers: Iterable[Point], words: Iterable[Words]) -> Point:
    """Give the place of a number along a line: clear of other numbers, and of words if it can be.

    It is tried from the line's beginning to its end, then around its beginning.
    """
    taken = list(numbers)

    def is_clear(spot: Point) -> bool:
        return all(hypot(spot[0] - x, spot[1] - y) >= APART for x, y in taken)

    clear = list(filter(is_clear, _along(first, far)))
    unread = (spot for spot in clear if not any(placed.near(spot) for placed in words))
    return next(chain(unread, clear, filter(is_clear, _around(first))))


def _along(first: Point, far: Point) -> Iterator[Point]:
    span = hypot(far[0] - first[0], far[1] - first[1])
    for step in range(int(span / _STEP) + 1):
        share = step * _STEP / span if span else 0.0
        yield (first[0] + share * (far[0] - first[0]), first[1] + share * (far[1] - first[1]))


def _around(middle: Point) -> Iterator[Point]:
    ring = 1
    while True:
        for turn in range(16):
            angle, reach = turn * pi / 8, ring * APART
            yield middle[0] + reach * cos(angle), middle[1] - reach * sin(angle)
        ring += 1


def _written(
    x: float, y: float, size: float, rows: Sequence[str], turned: bool, plate: bool
) -> Words:
    high = 1.25 * size * sum(_share(at) for at in range(len(rows)))
    wide = size * max(_wide(row, at) for at, row in enumerate(rows))
    drawn = []
    if plate:
        drawn.append(
            f'<rect x="{x - wide / 2 - 4:.1f}" y="{y - high / 2:.1f}" width="{wide + 8:.1f}" '
            f'height="{high:.1f}" fill="white"/>'
        )
    top = y - high / 2
    for at, row in enumerate(rows):
        own = size * _share(at)
        drawn.append(text(x, top + own, own, row, "middle", bold=at == 0))
        top += 1.25 * own
    spin = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if turned else ""
    across, down = (high / 2, wide / 2) if turned else (wide / 2, high / 2)
    return Words(f"<g{spin}>{''.join(drawn)}</g>", (x - across, y - down, x + across, y + down))


def _share(row: int) -> float:
    """Give a line's letter size as a share of the first one's."""
    return 1.0 if row == 0 else 0.7


def _wide(words: str, row: int) -> float:
    """Estimate how wide a line runs, in letter sizes of the first line."""
    return 0.6 * max(len(words), 1) * _share(row)

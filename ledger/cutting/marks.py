"""Signs of a drawing that are no letters: hatching, grain, banded edges, and the cuts' shapes."""

from collections.abc import Sequence

from ledger.cutting.lettering import LEAST, RADIUS, Point, text
from ledger.cutting.tools import Tool

SHAPES: dict[Tool, str] = {
    "table saw": "circle fence", "guide rail": "square track saw", "miter saw": "triangle miter",
    "sled": "diamond sled", "none": "black no tool",
}  # fmt: skip
"""The shape around a cut's number, by its tool, so that black on white tells them apart."""


def cut_mark(tool: Tool, x: float, y: float, number: int) -> str:
    """Draw the number of a cut in the shape of its tool."""
    r, style = RADIUS, 'fill="white" stroke="black"'
    if tool == "table saw":
        shape = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r:.0f}" {style}/>'
    elif tool == "miter saw":
        shape = _polygon(x, y, ((0, -1.5), (1.4, 0.9), (-1.4, 0.9)), style)
    elif tool == "sled":
        shape = _polygon(x, y, ((0, -1.3), (1.3, 0), (0, 1.3), (-1.3, 0)), style)
    else:
        style = style if tool == "guide rail" else 'fill="black" stroke="black"'
        shape = _polygon(x, y, ((-1, -1), (1, -1), (1, 1), (-1, 1)), style)
    ink = ' fill="white"' if tool == "none" else ""
    name = tool.replace(" ", "_")
    digits = text(x, y + 4.5, LEAST, str(number), "middle", bold=True)
    return f'<g data-cut="{number}" data-tool="{name}"{ink}>{shape}{digits}</g>'


def _polygon(x: float, y: float, corners: Sequence[Point], style: str) -> str:
    points = " ".join(f"{x + RADIUS * dx:.1f},{y + RADIUS * dy:.1f}" for dx, dy in corners)
    return f'<polygon points="{points}" {style}/>'


def hatch(name: str) -> str:
    """Define the hatching of what is left over, under a name of its own."""
    return (
        f'<defs><pattern id="{name}" width="9" height="9" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="9" height="9" fill="white"/>'
        '<line x1="0" y1="0" x2="0" y2="9" stroke="black" stroke-width="0.9"/></pattern></defs>'
    )


def grain_arrow(x: float, y: float) -> str:
    """Draw the grain as an arrow that points both ways."""
    return (
        f'<path d="M{x:.1f} {y:.1f} h110 m-12 -6 l12 6 l-12 6 M{x:.1f} {y:.1f} m12 -6 l-12 6 '
        'l12 6" fill="none" stroke="black" stroke-width="2"/>'
        + text(x + 120, y + 5, 13, "grain", "start")
    )


def sides_of(banded: Sequence[str], turned: bool) -> list[str]:
    """Say which sides of the drawn rectangle are banded: a quarter turn moves each edge on."""
    sides = {"L1": "bottom", "L2": "top", "W1": "left", "W2": "right"}
    if turned:
        sides = {"L1": "right", "L2": "left", "W1": "bottom", "W2": "top"}
    return [sides[edge] for edge in banded]


def thick_edge(x: float, y: float, length: float, width: float, side: str) -> str:
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

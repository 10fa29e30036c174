"""Parts, joints and cut diagrams of a plan to sell: sizes in both units, drawings to scale."""

import re
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from ledger.book.tables.materials import Material
from ledger.cutting.boards import BoardPlan
from ledger.cutting.drawing import bare_svg
from ledger.cutting.layout import Layout, Name
from ledger.cutting.lines import cut_lines, line_words
from ledger.cutting.marks import SHAPES
from ledger.cutting.problem import Problem
from ledger.cutting.sequence import cut_list
from ledger.designs.built import Build, BuiltJoint, BuiltPart
from ledger.designs.edges import show_edges
from ledger.measures.grouped import grouped
from ledger.measures.length import Length, measured_length
from ledger.reports.joint_drawing import joint_drawing
from ledger.reports.plan_page import (
    CutDiagram,
    JointDrawing,
    PlanJoint,
    PlanMaterial,
    PlanPart,
    TwoSizes,
)

OTHER = {"inch": "mm", "mm": "inch"}
SCALES = (2, 3, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50)
"""Drawings are 1 to one of these: the largest that finds room."""

ROOM = {"inch": (692, 346), "mm": (742, 346)}
"""How many points wide and high a sheet may be drawn, on letter and A4 paper lying down."""

RIM = 14
"""Points around a drawing for numbers at its rim."""

POINTS_AN_INCH = 72
_HELD = {
    "loose": "loose", "hardware": "held by hardware", "glued on": "glued on",
    "screwed on": "screwed on",
}  # fmt: skip
_KINDS = {"other": "glued or screwed", "frame": "corner of a frame"}
_SIZES = {
    "long": "long", "thick": "thick", "wide": "wide", "deep": "deep",
    "down": "from the upper edge", "up": "from the lower edge", "edge": "from either edge",
}  # fmt: skip


def both(lengths: Iterable[Length], units: str) -> TwoSizes:
    """Lengths one after the other in both units, the edition's first."""
    values = list(lengths)

    def spelled(which: str) -> str:
        return " × ".join(measured_length(value, which) for value in values)

    return TwoSizes(spelled(units), spelled(OTHER[units]))


def materials_of(
    build: Build, materials: Mapping[str, Material], units: str
) -> tuple[PlanMaterial, ...]:
    """The parts list, by material in the order of the list."""
    by_material = grouped(build.parts, lambda part: part.material)
    return tuple(
        PlanMaterial(materials[code].name, tuple(_part(one, materials, units) for one in parts))
        for code, parts in by_material.items()
    )


def joints_of(build: Build, materials: Mapping[str, Material], units: str) -> tuple[PlanJoint, ...]:
    """The joints that the design names."""
    return tuple(
        PlanJoint(
            parts=joint.id,
            kind=_kind(joint),
            count=joint.quantity,
            size=TwoSizes(_joint_size(joint, units), _joint_size(joint, OTHER[units])),
            note=joint.note,
            drawing=_drawn(build, joint, materials, units),
        )
        for joint in build.joints
        if not joint.is_assumed
    )


def _kind(joint: BuiltJoint) -> str:
    if joint.kind != "other" or "deep" not in joint.sizes:
        return _KINDS.get(joint.kind, joint.kind)
    is_at_edge = any(not joint.sizes[name] for name in ("up", "down") if name in joint.sizes)
    return "rabbet" if is_at_edge else "groove"


def _joint_size(joint: BuiltJoint, units: str) -> str:
    """How a joint is cut, or how long it is."""
    if not joint.sizes:
        return measured_length(joint.length, units) if joint.length.nm else ""
    sizes = [
        f"{measured_length(joint.sizes[name], units)} {words}"
        for name, words in _SIZES.items()
        if joint.sizes.get(name)
    ]
    return ", ".join([*([f"{joint.tenons} side by side"] if joint.tenons > 1 else []), *sizes])


def _drawn(
    build: Build, joint: BuiltJoint, materials: Mapping[str, Material], units: str
) -> JointDrawing | None:
    """The drawing of a joint: its groove in the part named first, or the tenon on the last one."""
    if not joint.sizes:
        return None
    places = {
        found.start(): part
        for part in build.parts
        if (found := re.search(rf"(?<!\w){re.escape(part.id)}(?!\w)", joint.id, re.IGNORECASE))
    }
    named = [places[start] for start in sorted(places)]
    if not named:
        return None
    part = named[0 if "deep" in joint.sizes else -1]
    return joint_drawing(joint, part, _thickness(part, materials), units)


def diagrams_of(
    sheets: Mapping[str, tuple[Problem, Layout]],
    boards: Mapping[str, BoardPlan],
    materials: Mapping[str, Material],
    units: str,
) -> Iterator[CutDiagram]:
    """Every sheet, then every board that parts are laid on, to scale."""
    laid = [(code, *one, False) for code, one in sheets.items()]
    laid += [(code, plan.problem, plan.layout, True) for code, plan in boards.items()]
    for code, problem, layout, is_board in laid:
        for number in range(1, len(layout.sheets) + 1):
            yield _diagram(problem, layout, number, materials[code].name, units, is_board=is_board)


def _part(part: BuiltPart, materials: Mapping[str, Material], units: str) -> PlanPart:
    thickness = _thickness(part, materials)
    lengths = [part.length, part.width, *([thickness] if thickness else [])]
    return PlanPart(
        mark=part.id,
        name=part.name,
        pieces=part.quantity,
        size=both(lengths, units),
        notes="; ".join(_notes(part, materials, units)),
    )


def _thickness(part: BuiltPart, materials: Mapping[str, Material]) -> Length | None:
    return part.thickness or part.depth or materials[part.material].thickness


def _notes(part: BuiltPart, materials: Mapping[str, Material], units: str) -> Iterator[str]:
    if part.handed:
        yield "left and right"
    if part.strips > 1:
        yield f"glued up from {part.strips} strips"
    if part.cut == "turned":
        yield "turned"
    if part.cut == "bought":
        yield "bought ready made"
    if part.banded and part.edging:
        yield f"edging {show_edges(part.banded)}: {materials[part.edging].name}"
    if part.shaped:
        yield f"edges shaped {show_edges(part.shaped)}"
    if part.tapers:
        yield f"{part.tapers} faces tapered" if part.tapers > 1 else "1 face tapered"
    if part.matched:
        yield "cut side by side from one piece, for the grain"
    if part.oversize:
        yield f"cut {measured_length(part.oversize, units, suffix=True)} over, trimmed later"
    if part.later:
        yield "cut to size when its place can be measured"
    if part.joined:
        yield _HELD.get(part.joined, f"lies {part.joined}")
    if part.note:
        yield part.note


def _diagram(
    problem: Problem, layout: Layout, number: int, name: str, units: str, *, is_board: bool
) -> CutDiagram:
    sheet = layout.sheets[number - 1]
    length, width = Length(sheet.length_nm), Length(sheet.width_nm)
    scale = _scale(length, width, units)

    def show(nanometers: int) -> str:
        return measured_length(Length(nanometers), units)

    per_mm = POINTS_AN_INCH / 25.4 / scale
    name_of: Name = "board" if is_board else "sheet"
    drawn = bare_svg(problem, layout, number, show, units_per_mm=per_mm, name=name_of, pad=RIM)
    cuts = cut_list(problem, layout).of_sheet(number)
    size = both((length, width), units)
    return CutDiagram(
        title=f"{name}, {name_of} {number} of {len(layout.sheets)}",
        size=f"{size.first} {_unit(units)} ({size.second} {_unit(OTHER[units])})",
        scale=scale,
        svg=drawn.svg,
        width=drawn.length + 2 * RIM,
        high=drawn.width + 2 * RIM,
        marks=frozenset(placed.part for placed in sheet.placements),
        beside=(*drawn.beside, *drawn.legend[1:]),
        cuts=tuple(f"{line.numbers}  {line_words(line, show)}" for line in cut_lines(cuts)),
        tools=tuple(tool for tool in SHAPES if any(cut.tool == tool for cut in cuts)),
        is_board=is_board,
    )


def _unit(units: str) -> str:
    return "in" if units == "inch" else units


def _scale(length: Length, width: Length, units: str) -> int:
    wide, high = ROOM[units]
    needed = max(
        length.inches * POINTS_AN_INCH / Fraction(wide), width.inches * POINTS_AN_INCH / high
    )
    return next((scale for scale in SCALES if scale >= needed), SCALES[-1])

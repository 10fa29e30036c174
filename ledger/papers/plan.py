"""A plan to sell on paper, and the corrected pages of one: made of a `PlanPage` alone."""

from collections.abc import Iterator, Mapping, Sequence

from ledger.designs.built import BuiltCorrection, BuiltStep
from ledger.measures.day import MONTHS
from ledger.measures.values import replace
from ledger.papers.engine import Paper
from ledger.papers.pictures import file_name
from ledger.papers.words import A4, LETTER, Words, footer
from ledger.reports.plan_page import (
    CutDiagram,
    PlanMaterial,
    PlanPage,
    TwoSizes,
)

NEVER_BOTH = "Take either column, never both in one piece."
BOARDS = (
    " Sizes on boards are rough, with room to joint, plane and trim; the list of parts has the"
    " finished ones."
)
_SIGNS = {
    "table saw": "circle at the fence of a table saw",
    "guide rail": "square with a track saw (any saw along a guide)",
    "miter saw": "triangle at a miter saw",
    "sled": "diamond on a sled",
    "none": "black where a saw of your choice must do it",
}
"""What the shape around a cut's number says."""

_UNITS = {"inch": "in", "mm": "mm"}
_ROUNDED = {"inch": "1/32 in", "mm": "0.5 mm"}
_OTHER = {"inch": "mm", "mm": "inch"}
_KINDS = {
    "sheet": "Sheets", "lumber": "Lumber", "edging": "Edging", "hardware": "Hardware",
    "fastener": "Fasteners", "adhesive": "Glue", "finish": "Finish", "abrasive": "Abrasives",
    "supply": "Supplies", "more": "Besides",
}  # fmt: skip


def plan_paper(page: PlanPage, pictures: Mapping[str, bytes]) -> Paper:
    """A plan as its buyer gets it; `pictures` are its files by the names that the page has."""
    files = {
        name: file_name(number, content) for number, (name, content) in enumerate(pictures.items())
    }
    return _paper(
        page,
        f"{page.title}: plan, version {page.version}",
        {
            **_head(page),
            "cover": _cover(page, files),
            "steps": [_step(page, step, files) for step in page.steps],
            "history": [_version(page, number) for number in range(len(page.history))],
            "pages": "",
        },
        {files[name]: content for name, content in pictures.items()},
    )


def corrected_pages(page: PlanPage) -> Paper:
    """What of a plan was put right since older versions, for who has one of them."""
    parts = {mark for line in page.corrections for mark in line.parts}
    steps = {number for line in page.corrections for number in line.steps}
    materials = [
        replace(one, parts=tuple(part for part in one.parts if part.mark in parts))
        for one in page.materials
    ]
    changed = replace(
        page,
        materials=tuple(one for one in materials if one.parts),
        steps=tuple(replace(one, picture="") for one in page.steps if one.number in steps),
        diagrams=tuple(one for one in page.diagrams if one.marks & parts),
        joints=(),
        purchases=(),
    )
    return _paper(
        changed,
        f"{page.title}: corrected pages of version {page.version}",
        {
            **_head(changed),
            "cover": {"picture": "", "alt": ""},
            "steps": [_step(page, step, {}) for step in changed.steps],
            "history": [],
            "pages": "Corrected pages",
        },
        {},
    )


def month_words(page: PlanPage) -> str:
    """The month of a plan's version."""
    return f"{MONTHS[page.day.month - 1]} {page.day.year}"


def correction_words(line: BuiltCorrection) -> str:
    """Which versions and sizes a correction is of."""
    which = "Versions" if len(line.versions) > 1 else "Version"
    return f"{which} {line.numbers}, {line.sizes or 'all sizes'}"


def _paper(
    page: PlanPage,
    title: str,
    texts: Mapping[str, Words],
    pictures: Mapping[str, bytes],
) -> Paper:
    return Paper(
        template="plan",
        title=title,
        author=page.maker,
        day=page.day,
        size=LETTER if page.units == "inch" else A4,
        footer=footer(f"Version {page.version}, {month_words(page)}", page.title, page.maker),
        texts=texts,
        drawings={f"cut-{number}.svg": one.svg for number, one in enumerate(page.diagrams)}
        | {
            f"joint-{number}.svg": one.drawing.svg
            for number, one in enumerate(page.joints)
            if one.drawing
        },
        pictures=pictures,
    )


def _head(page: PlanPage) -> dict[str, Words]:
    first, second = _UNITS[page.units], _UNITS[_OTHER[page.units]]
    return {
        "shop": page.maker,
        "contact": page.contact,
        "title": page.title,
        "edition": f"Version {page.version} · {month_words(page)}",
        "size": _pair(page.size),
        "chosen": [
            [one.name, one.words, one.size.first, one.size.second] for one in page.chosen
        ],
        "drawn": "Drawn for: " + _listed_sizes(page) if page.chosen else "",
        "units": [first, second],
        "rounded": (
            f"Sizes are rounded to {_ROUNDED[page.units]} in the first column and to"
            f" {_ROUNDED[_OTHER[page.units]]} in the second. {NEVER_BOTH} Length runs along the"
            " grain."
            + (" Sizes are those to cut, before any edging is put on." if page.is_edged else "")
        ),
        "audience": page.audience,
        "tools": page.tools,
        "time": page.time,
        "cautions": page.cautions,
        "conditions": page.conditions,
        "diagrams": [_diagram(number, one) for number, one in enumerate(page.diagrams)],
        "parts": [_material(one) for one in page.materials],
        "joints": [
            [one.parts, one.kind, str(one.count), one.size.first, one.size.second, one.note]
            for one in page.joints
        ],
        "drawn_joints": [
            {
                "file": f"joint-{number}.svg",
                "alt": f"The joint {one.parts} with its sizes",
                "title": f"{one.parts}: {one.kind}",
                "part": f"{one.drawing.part} · Scale 1:{one.drawing.scale}, {_long_unit(page)}",
                "width": f"{one.drawing.width:.2f}",
            }
            for number, one in enumerate(page.joints)
            if one.drawing
        ],
        "cutting": _cutting(page),
        "buy": list(_purchases(page)),
        "outlay": page.outlay,
        "corrections": [
            {
                "which": correction_words(line),
                "touches": "This copy's sizes are among them." if line.touches
                else "This copy's sizes are not among them.",
                "wrong": line.wrong,
                "right": line.right,
            }
            for line in page.corrections
        ],
    }  # fmt: skip


def _long_unit(page: PlanPage) -> str:
    return "inches" if page.units == "inch" else "mm"


def _cutting(page: PlanPage) -> str:
    """How the drawings are read; only what is in them."""
    tools = dict.fromkeys(tool for one in page.diagrams for tool in one.tools)
    edged = ", a thick edge gets edging" if page.is_edged else ""
    words = (
        f"Drawn for a saw that takes {page.kerf}; with a thicker blade lay the parts out again."
        f" All sizes in the drawings are in {_long_unit(page)}. Print at 100 %, no fitting to the"
        f" page, if you measure on them. Hatched is what is left over{edged}. Numbers are cuts, in"
        f" the order below the drawing: {', '.join(_SIGNS[tool] for tool in tools)}."
    )
    return words + (BOARDS if any(one.is_board for one in page.diagrams) else "")


def _listed_sizes(page: PlanPage) -> str:
    return " · ".join(f"{one.name} {one.size.first}" for one in page.chosen)


def _pair(size: TwoSizes) -> Sequence[str]:
    return [words for words in (size.first, size.second) if words]


def _material(one: PlanMaterial) -> dict[str, Words]:
    rows = [
        [part.mark, part.name, str(part.pieces), part.size.first, part.size.second, part.notes]
        for part in one.parts
    ]
    return {"name": one.name, "rows": rows}


def _purchases(page: PlanPage) -> Iterator[dict[str, Words]]:
    for kind in dict.fromkeys(one.kind for one in page.purchases):
        rows = [[one.name, one.quantity, one.note] for one in page.purchases if one.kind == kind]
        yield {"name": _KINDS.get(kind, kind), "rows": rows}


def _diagram(number: int, one: CutDiagram) -> dict[str, Words]:
    what = "board" if one.is_board else "sheet"
    third = max(1, -(-len(one.cuts) // 3))
    return {
        "file": f"cut-{number}.svg",
        "alt": f"How the {what} is cut: {one.title}",
        "title": one.title,
        "size": f"{one.size} · Scale 1:{one.scale}{' along the board' if one.is_board else ''}",
        "width": f"{one.width:.2f}",
        "beside": one.beside,
        "cuts": [one.cuts[at : at + third] for at in range(0, len(one.cuts), third)],
        "board": one.is_board,
    }


def _cover(page: PlanPage, files: Mapping[str, str]) -> dict[str, Words]:
    """The maker's picture, else the first drawing that the plan has."""
    if page.picture:
        return {"picture": files[page.picture], "alt": f"{page.title}, as it is built"}
    if page.diagrams:
        first = page.diagrams[0]
        return {"picture": "cut-0.svg", "alt": f"How the first of its parts are cut: {first.title}"}
    return {"picture": "", "alt": ""}


def _step(page: PlanPage, step: BuiltStep, files: Mapping[str, str]) -> dict[str, Words]:
    is_all = len(step.parts) == sum(len(material.parts) for material in page.materials)
    picture = files.get(step.picture, "") if step.applies else ""
    return {
        "number": str(step.number),
        "words": step.words if step.applies else "Not for this size: it has none of these parts.",
        "parts": "All parts" if is_all else " · ".join(step.parts),
        "picture": picture,
        "alt": f"Step {step.number}",
    }


def _version(page: PlanPage, number: int) -> Sequence[str]:
    row = page.history[number]
    words = row.words or ("First version." if number == 0 else "")
    return [f"Version {row.number}", f"{MONTHS[row.day.month - 1]} {row.day.year}", words]

"""What a design leaves open beside its counts: how parts are held and finished, what no one counts.

None of it can be timed from the lists: each is told with the column, the count or the answer that
settles it. Which words name a hinge or a slide is common practice, no source.
"""

import re
from collections.abc import Container, Iterator, Mapping, Sequence
from fractions import Fraction

from ledger.book.tables.materials import Material
from ledger.costing.counted import WorkCounts
from ledger.costing.stages import Gap
from ledger.costing.woods import is_painted
from ledger.designs.built import Build, BuiltPart
from ledger.designs.counting import THINNEST_JOINED, in_units
from ledger.designs.joined import DRAWER, is_nameless, unjoined
from ledger.designs.tree import Measure
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many

SANDING = ("sand", "sand_painted", "sand_solid")
COATING = ("spray", "brush", "wipe")

_FIGURES = frozenset({"panels", "part_lines"})
"""Counts that only stand for others, or whose absence the list of forgotten costs tells."""

_HUNG = (
    ("doors", re.compile(r"\bhinges?\b", re.IGNORECASE), ("doors", "inset_doors"),
     "hinge", "no door is hung", "DOR"),
    ("drawers", re.compile(r"\b(slides?|runners?)\b", re.IGNORECASE),
     ("drawers_fit", "inset_drawers"), "drawer slide", "no drawer is fitted", "DRF"),
)  # fmt: skip
_OF_OTHERS = re.compile(r"\b(leaf|leaves|lid|flap|doors?|table|bed|support)\b", re.IGNORECASE)
"""What other than a drawer runs on slides, where its hardware is named by it."""
_DOOR = re.compile(r"\bdoor", re.IGNORECASE)
_HINGED = {"lid": "lids", "flap": "flaps", "gate": "gates", "hatch": "hatches", "leaf": "leaves"}
"""What hangs on hinges and is no door, and what hanging it is called."""
HINGED = frozenset(_HINGED.values())
_NAMED = 4


def doubts(
    build: Build, materials: Mapping[str, Material], counts: WorkCounts, staged: Container[str] = ()
) -> Iterator[Gap]:
    """What a design leaves open: holding, finish and counts that no stage of the work covers.

    `staged` are the counts whose own stage reports them already.

    The command of each is completed by `stages.of_job`.
    """
    columns = f"design template FILE.xlsx --of {build.name}"
    if held := _not_held(build):
        yield Gap(
            "parts held", f"no joint names {named(held)}", columns,
            "say in the column joined how each is held (loose, hardware, glued on, screwed on, in"
            " ID), or add it to a joint",
        )  # fmt: skip
    if silent := [part for part in build.parts if not part.is_faces_said]:
        yield Gap(
            "faces to finish", f"faces to finish are not said of {named(silent)}", columns,
            "write 0, 1 or 2 in the column faces",
        )  # fmt: skip
    yield from _of_finish(build, materials, counts, columns)
    yield from _hung(build, materials, counts)
    yield from _twice(counts)
    yield from _unused(counts, staged)


def named(parts: Sequence[BuiltPart]) -> str:
    """Parts listed by id and name; of a long list the first ones, and how many more there are.

    >>> from ledger.measures.length import Length
    >>> side = BuiltPart("A1", "Side", 2, Length(1), Length(1), "PLY")
    >>> named([side])
    'A1 Side (2 pieces)'
    """
    first = [
        f"{part.id} {part.name}".strip()
        + (f" ({how_many(part.quantity, 'piece')})" if part.quantity > 1 else "")
        for part in parts[:_NAMED]
    ]
    more = [f"{len(parts) - _NAMED} more"] if len(parts) > _NAMED else []
    words = [*first, *more]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _not_held(build: Build) -> list[BuiltPart]:
    """Parts that no joint names and that do not say how they are held, nor are assumed to be.

    Of a design that counts its solid edging itself, thin solid strips are that edging.
    """
    is_joined = build.joints or any(part.joined for part in build.parts)
    if not is_joined or sum(part.quantity for part in build.parts) < 2:
        return []  # that nothing is put together is told with the assembly
    if is_nameless(build.parts, build.joints):
        return []
    edging = build.counts.get("solid_edge")
    is_edging_counted = edging is not None and edging.fixed
    assumed = {
        name
        for words in (
            *(joint.note for joint in build.joints if joint.is_assumed),
            *(one.basis for one in build.counts.values() if one.is_assumed),
        )
        for name in re.split(r"[\s,:;]+", words)
    }
    has_boxes = "drawers" in build.counts  # building a box has its corners in it
    return [
        part
        for part in unjoined(build.parts, build.joints)
        if part.id not in assumed
        and not (has_boxes and DRAWER.search(f"{part.id} {part.name}"))
        and not (
            is_edging_counted
            and part.is_solid
            and part.depth is not None
            and part.depth < THINNEST_JOINED
        )
    ]


def _of_finish(
    build: Build, materials: Mapping[str, Material], counts: WorkCounts, columns: str
) -> Iterator[Gap]:
    amount, unit = in_units(Measure(Fraction(build.finish_area.nm2), 2), build.units)
    area = f"{trimmed(half_up(amount, 0 if unit == 'sq ft' else 1)):f}"
    if not amount:
        return
    if not build.finish and not counts.is_counted(COATING, "finish"):
        yield Gap(
            "coating", f"{area} {unit} are to be finished, and no coat is listed", columns,
            "list the coats in the table finish",
        )  # fmt: skip
    if not build.finish:
        return
    if not counts.is_counted(SANDING, "finish"):
        for_paint = is_painted(build, materials)
        code = counts.code_for("sand_painted" if for_paint else "sand") or "SND"
        yield Gap("sanding", "it is finished without sanding", f"job count JOB {code} {area}")
    if is_painted(build, materials) and not counts.is_counted(("fill",)):
        code = counts.code_for("fill") or "FIL"
        yield Gap(
            "filling", f"{area} {unit} are painted without filling", f"job count JOB {code} {area}"
        )


def _hung(build: Build, materials: Mapping[str, Material], counts: WorkCounts) -> Iterator[Gap]:
    """Hinges and slides of things that nothing hangs or fits.

    Hanging a door and fitting a drawer are apart from their hardware. What else hangs on hinges is
    hung by these, so that minutes of their own are its hours.
    """
    are_minutes_counted = counts.is_counted(("fitting_minutes",))
    for stage, words, drivers, thing, basis, usual in _HUNG:
        hung = _hung_no_door(build) if stage == "doors" else ""
        needs = [
            need
            for need in build.needs
            if not (hung and are_minutes_counted and need.minutes is not None)
            and materials[need.material].kind == "hardware"
            and words.search(name := materials[need.material].name)
            and not (stage == "drawers" and _OF_OTHERS.search(name) and not DRAWER.search(name))
        ]
        if needs and not counts.is_counted(drivers):
            pieces = int(sum((need.exact for need in needs), Fraction(0)))
            in_pairs = all(materials[need.material].unit == "pair" for need in needs)
            many = (
                f"{how_many(pieces, 'pair')} of {thing}s" if in_pairs else how_many(pieces, thing)
            )
            code = counts.code_for(drivers[0]) or usual
            if any(need.minutes for need in needs):
                basis = f"{basis}, which is apart from the minutes of its {thing}s"
            if hung:
                stage, basis = _HINGED[hung], f"no {hung} is hung, which counts as an inset door"
                code = counts.code_for("inset_doors") or "DRI"
            yield Gap(
                stage,
                f"{many}, and {basis}",
                f"job count JOB {code} NUMBER",
            )


def _hung_no_door(build: Build) -> str:
    """What the parts, or the title of a piece, call the thing on hinges where it is no door."""
    names = " ".join(part.name for part in build.parts)
    if _DOOR.search(f"{names} {build.title}"):
        return ""
    for words in (names, build.title):
        for thing in _HINGED:
            if re.search(rf"\b{thing}", words, re.IGNORECASE):
                return thing
    return ""


def _twice(counts: WorkCounts) -> Iterator[Gap]:
    """Work that two operations seem to count."""
    pairs = (
        ("drawers", ("dovetail_width", "jig_dovetails"),
         "drawer boxes and dovetails are both counted, and a box has its corners in it"),
    )  # fmt: skip
    for driver, others, basis in pairs:
        code = counts.code_for(driver)
        if counts.quantity(driver) and any(counts.quantity(other) for other in others):
            yield Gap(
                "counted twice", basis, f"job count JOB {code} 0", "count one of the two as 0"
            )


def _unused(counts: WorkCounts, staged: Container[str]) -> Iterator[Gap]:
    """Counts of the lists that no operation of the shop is timed by."""
    unused = [
        f"{driver.replace('_', ' ')} ({trimmed(half_up(count.quantity, 1)):f} {count.unit})"
        for driver, count in counts.drivers.items()
        if count.quantity
        and driver not in _FIGURES
        and driver not in staged
        and not counts.is_timed(driver)
    ]
    if unused:
        basis = f"no operation of yours is timed by {', '.join(unused)}"
        yield Gap("unused counts", basis, "standards load", "post the starting standards")

"""Whether boards of the price list can give the solid parts of a design."""

from collections.abc import Sequence

from ledger.book.tables.ground import Material
from ledger.costing.woods import dressed_to
from ledger.cutting.boards import nominal_for
from ledger.designs.built import BuiltPart
from ledger.measures.length import Length, show_length
from ledger.measures.lumber import OVER_LENGTH_NM


def board_fault(material: Material, parts: Sequence[BuiltPart], units: str) -> str:
    """What is wrong with the boards of a material for some parts; empty where nothing is."""
    ends = dressed_to(material)
    if (
        material.length is None
        or material.width is None
        or material.thickness is None
        or ends is None
    ):
        return (
            f"{material.code} {material.name} needs the length, width and rough thickness of a"
            " board in the price list, so that parts can be laid on boards."
        )
    thick = [part for part in parts if part.thickness and part.thickness > ends]
    if thick:
        return _too_thick(material, thick, material.thickness, ends, units)
    long = [part for part in parts if part.length.nm + OVER_LENGTH_NM > material.length.nm]
    return _too_long(material, long, units) if long else ""


def may_resaw(part: BuiltPart, ends: Length) -> bool:
    """Whether a part is under half as thick as its board ends, so that a board may give two."""
    return part.thickness is not None and part.thickness * 2 < ends


def _too_thick(
    material: Material, parts: Sequence[BuiltPart], rough: Length, ends: Length, units: str
) -> str:
    finished = max(part.thickness for part in parts if part.thickness)
    nominal = nominal_for(finished.nm, metric=units == "mm")
    return (
        f"{_named(parts)}: {_show(finished, units)} thick, and {material.code} {material.name} of"
        f" {_show(rough, units)} ends at {_show(ends, units)} once it is dressed: take"
        f" {_rough_words(nominal, units)}, or make the part {_show(ends, units)} thick. Surfaced"
        f" lumber (S4S) stands in the price list by its nominal thickness: give {material.code}"
        f" {_show(Length(nominal), units)} there, and what it really is as surfaced to."
    )


def _too_long(material: Material, parts: Sequence[BuiltPart], units: str) -> str:
    longest = max(part.length for part in parts)
    needed = Length(longest.nm + OVER_LENGTH_NM)
    return (
        f"{_named(parts)}: {_show(longest, units)} long, and a board of {material.code}"
        f" {material.name} is {_show(material.length or longest, units)}: take boards of"
        f" {_show(needed, units)} or longer."
    )


def _rough_words(nominal: int, units: str) -> str:
    """A rough thickness as dealers name it: in quarters of an inch, or millimeters."""
    if units == "mm":
        return _show(Length(nominal), units)
    return f"{nominal * 4 // Length.of(1, 'in').nm}/4"


def _named(parts: Sequence[BuiltPart]) -> str:
    return ", ".join(f"{part.id} {part.name}".strip() for part in parts)


def _show(length: Length, units: str) -> str:
    return show_length(length, units, suffix=True)

"""Whether rough boards of the price list can give the solid parts of a design."""

from collections.abc import Sequence

from ledger.book.tables.ground import Material
from ledger.cutting.boards import dressed, nominal_for
from ledger.designs.built import BuiltPart
from ledger.measures.length import Length, show_length


def board_fault(material: Material, parts: Sequence[BuiltPart], units: str) -> str:
    """What is wrong with the boards of a material for some parts; empty where nothing is."""
    if material.length is None or material.width is None or material.thickness is None:
        return (
            f"{material.code} {material.name} needs the length, width and rough thickness of a"
            " board in the price list, so that parts can be laid on boards."
        )

    def show(nm: int) -> str:
        return show_length(Length(nm), units, suffix=True)

    ends = dressed(material.thickness.nm)
    thick = [part for part in parts if part.thickness and part.thickness.nm > ends]
    if not thick:
        return ""
    finished = max(part.thickness.nm for part in thick if part.thickness)
    nominal = nominal_for(finished, metric=units == "mm")
    named = ", ".join(f"{part.id} {part.name}" for part in thick)
    return (
        f"{named}: {show(finished)} thick, and {material.code} {material.name} of"
        f" {show(material.thickness.nm)} ends at {show(ends)} once it is dressed. Surfaced lumber"
        f" (S4S) stands in the price list by its nominal thickness: give {material.code}"
        f" {show(nominal)}, or take thicker boards, or make the part {show(ends)} thick."
    )

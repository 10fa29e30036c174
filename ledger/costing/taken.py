"""A line of the take-off, and which parts of a build are cut from what."""

from collections.abc import Mapping

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.cutting.problem import CutPart
from ledger.designs.built import Build, BuiltPart
from ledger.designs.wood import SOLID_CUTS
from ledger.measures.area import Area
from ledger.measures.grouped import grouped
from ledger.measures.length import show_length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.stock.rack_pieces import RackPiece


class Taken(Struct, frozen=True):
    """One line of the take-off, before it has a price.

    A `piece` of the rack brings its lot and what that is worth; else the price list speaks.
    """

    material: str
    net: Quantity
    charged: Quantity
    basis: str
    trace: tuple[str, ...] = ()
    piece: RackPiece | None = None


def net_area(build: Build, material: str) -> Area:
    """The area of all sheet parts of one material, one face."""
    of_it = (p for p in build.parts if p.material == material)
    return sum((p.area for p in of_it if not p.is_solid and p.cut != "bought"), Area(0))


def sheet_parts(build: Build, materials: Mapping[str, Material]) -> dict[str, list[BuiltPart]]:
    """The parts that are cut from sheets, by material, in the order of the parts list."""
    return _parts_from("sheet", build, materials)


def board_parts(build: Build, materials: Mapping[str, Material]) -> dict[str, list[BuiltPart]]:
    """The solid parts that are cut from rough boards, by material, as the parts list has them."""
    return _parts_from("board", build, materials)


def bought_parts(build: Build, materials: Mapping[str, Material]) -> dict[str, list[BuiltPart]]:
    """The parts that come ready made, by material, as the parts list has them."""
    return _parts_from("bought", build, materials)


def _parts_from(
    stock: str, build: Build, materials: Mapping[str, Material]
) -> dict[str, list[BuiltPart]]:
    parts = [part for part in build.parts if _cut_from(part, materials) == stock]
    return grouped(parts, lambda part: part.material)


def _cut_from(part: BuiltPart, materials: Mapping[str, Material]) -> str:
    if part.cut:
        return "board" if part.cut in SOLID_CUTS else part.cut
    return "board" if materials[part.material].kind == "lumber" else "sheet"


def part_words(part: BuiltPart, units: str) -> str:
    """A line of the parts list with its sizes and its area."""
    size = f"{show_length(part.length, units)} × {show_length(part.width, units, suffix=True)}"
    return f"{part.id} {part.name}: {part.quantity} of {size}, {area_words(part.area, units)}"


def area_words(area: Area, units: str) -> str:
    """An area with one decimal in feet or two in meters."""
    if units == "inch":
        return f"{half_up(area.square_feet, 1)} sq ft"
    return f"{half_up(area.square_meters, 2)} m²"


LATER_NM = 12_700_000
"""How much larger the blank of a part cut later is, half an inch: common practice, no source."""


def piece_of(part: BuiltPart) -> CutPart:
    """The part as the cutting room asks for it; left and right parts carry ids of their own."""
    extra = part.oversize.nm if part.oversize else LATER_NM * part.later
    return CutPart(
        id=part.id,
        name=part.name,
        length_nm=part.length.nm,
        width_nm=part.width.nm,
        quantity=part.quantity,
        may_turn=part.grain == "any",
        material=part.material,
        banded=part.banded,
        marks=_marks(part),
        group=part.matched or "",
        extra_length_nm=extra,
        extra_width_nm=extra,
        later=part.later,
    )


def _marks(part: BuiltPart) -> tuple[str, ...]:
    """Give the left and right parts of a pair ids of their own: A1-L1, A1-R1, A1-L2."""
    if not part.handed:
        return ()
    return tuple(f"{part.id}-{'LR'[n % 2]}{n // 2 + 1}" for n in range(part.quantity))

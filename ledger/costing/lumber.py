"""Lumber in the take-off: by tally or by whole boards, with the strips of solid edging in it.

Board feet are tallied on the rough thickness of the material, whatever thickness a part ends at.
Waste is a share of what is bought, or is added to what is needed, as the material says. Lumber by
tally is rounded up to the whole board foot and never less than the blanks cut oversize: hardwood
comes in boards of any width and length. Lumber by whole boards is bought as it is laid.

Whether boards of the price list can give the solid parts of a design.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil

from ledger.book.tables.materials import Material
from ledger.costing.taken import Taken, board_parts, part_words, piece_of
from ledger.cutting.boards import BoardPlan, LayOut, nominal_for, plan_boards
from ledger.cutting.problem import CutPart, Stock
from ledger.cutting.solve import solve
from ledger.designs.built import Build, BuiltBand, BuiltPart
from ledger.designs.counting_rules import blank_feet, edging_feet, net_feet
from ledger.designs.wood import Board
from ledger.errors import NotAllowed
from ledger.measures.length import Length, show_length
from ledger.measures.lumber import OVER_LENGTH_NM
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.measures.share import show_share
from ledger.measures.spoken import how_many
from ledger.measures.units import as_bought, convert
from ledger.measures.values import replace
from ledger.stock.materials import dressed_to


def board_fault(material: Material, parts: Sequence[BuiltPart], units: str) -> str:
    """What is wrong with the boards of a material for some parts; empty where nothing is."""
    if material.kind == "sheet" and parts:
        cuts = " or ".join(dict.fromkeys(part.cut for part in parts))
        return (
            f"{_named(parts)}: cut {cuts} is of solid boards, and {material.code} {material.name}"
            " is a sheet, which is not dressed: write sheet under cut, or name a material of kind"
            " lumber."
        )
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
    dress = (
        f" Where you dress {material.code} to {_show(finished, units)}, say so in the price list:"
        f" column surfaced to, {_show(finished, units)}."
        if finished < rough
        else ""
    )
    return (
        f"{_named(parts)}: {_show(finished, units)} thick, and {material.code} {material.name} of"
        f" {_show(rough, units)} ends at {_show(ends, units)} once it is dressed: take"
        f" {_rough_words(nominal, units)}, or make the part {_show(ends, units)} thick.{dress}"
        f" Surfaced lumber (S4S) stands in the price list by its nominal thickness: give"
        f" {material.code} {_show(Length(nominal), units)} there, and what it really is as"
        " surfaced to."
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


_CUBIC_STEPS = 1000
"""A tally in cubic meters is rounded up to a thousandth."""


def lumber(
    build: Build, materials: Mapping[str, Material], kerf: Length, lay_out: LayOut = solve
) -> list[Taken]:
    """Take-off lines of lumber: board feet by tally, or whole boards with the parts laid on them.

    They stand in the order of the parts list; lumber that is edging alone comes last.

    `lay_out` answers how rough boards are cut, such as from what is kept.

    Raises:
        NotAllowed: a material has no size of a board, or cannot give a part.
    """
    parts = board_parts(build, materials)
    bands = {band.material: band for band in build.bands if band.is_solid}
    return [
        _line(materials[code], parts.get(code, []), bands.get(code), build, kerf, lay_out)
        for code in dict.fromkeys([*parts, *bands])
    ]


def board_faults(build: Build, materials: Mapping[str, Material]) -> tuple[str, ...]:
    """What is wrong with the boards of the price list for a build, each as a sentence.

    Nothing is told where a part's material is not in the list; that is refused by itself.
    """
    if any(part.material not in materials for part in build.parts):
        return ()
    solid = board_parts(build, materials).items()
    faults = (board_fault(materials[code], parts, build.units) for code, parts in solid)
    return tuple(fault for fault in faults if fault)


def board_plans(
    build: Build, materials: Mapping[str, Material], kerf: Length, lay_out: LayOut = solve
) -> dict[str, BoardPlan]:
    """The rough boards of every solid material that is bought by them, with the parts laid."""
    return {
        code: _plan(materials[code], parts, build.units, kerf, Fraction(0), lay_out)
        for code, parts in board_parts(build, materials).items()
        if not materials[code].by_tally
    }


def _line(
    material: Material,
    parts: Sequence[BuiltPart],
    band: BuiltBand | None,
    build: Build,
    kerf: Length,
    lay_out: LayOut,
) -> Taken:
    fault = board_fault(material, parts, build.units)
    ends = dressed_to(material)
    if fault or material.thickness is None or ends is None:
        raise NotAllowed(fault)
    board = Board(material.width, material.thickness, ends)
    strips = edging_feet(band, board) if band is not None else Fraction(0)
    net = sum((net_feet(part, board) for part in parts), strips)
    trace = tuple(_words(part, ends, build.units) for part in parts)
    if strips:
        trace = (*trace, f"strips of solid edging: {half_up(strips, 3)} bd ft")
    if material.by_tally:
        blanks = sum((blank_feet(part, board) for part in parts), strips)
        exact, basis = _tally(material, net, blanks)
        basis = "; ".join([basis, *_largest(parts, build.units)])
    else:
        exact, basis = _boards(material, parts, build.units, kerf, strips, lay_out)
    charged = as_bought(Quantity.of(half_up(exact, 6)), material.unit)
    stock = Quantity.of(half_up(convert(net, "bd ft", material.unit), 6))
    return Taken(material.code, stock, charged, basis, trace)


def _words(part: BuiltPart, ends: Length, units: str) -> str:
    words = part_words(part, units)
    if part.strips > 1:
        wide = show_length(part.strip_width, units, suffix=True)
        words += f", glued up of {how_many(part.strips, 'strip')} {wide} wide"
    return f"{words} (resaw?)" if may_resaw(part, ends) else words


def _tally(material: Material, net: Fraction, blanks: Fraction) -> tuple[Fraction, str]:
    """The quantity to buy in the material's unit, and how it comes about."""
    need = net / (1 - _waste(material))
    unit, places = ("m³", 4) if material.unit in ("m³", "m3") else ("bd ft", 3)

    def show(feet: Fraction) -> str:
        return f"{half_up(convert(feet, 'bd ft', unit), places)}"

    waste = "no waste counted"
    if material.allowance:
        waste = f"{_waste_words(material)} = {show(need)}"
    basis = f"{show(net)} {unit} net, {waste}; blanks {show(blanks)}; rounded up to"
    most = convert(max(need, blanks), "bd ft", unit)
    if unit == "m³":
        return Fraction(ceil(most * _CUBIC_STEPS), _CUBIC_STEPS), f"{basis} 0.001 m³"
    return convert(ceil(most), "bd ft", material.unit), f"{basis} whole bd ft"


def _largest(parts: Sequence[BuiltPart], units: str) -> Iterator[str]:
    """What one board at least must give: random widths and lengths are not counted in boards."""
    if parts:
        long = show_length(max(part.length for part in parts), units, suffix=True)
        wide = show_length(max(part.strip_width for part in parts), units, suffix=True)
        yield f"one board at least {long} long, one {wide} wide after jointing"


def _boards(
    material: Material,
    parts: Sequence[BuiltPart],
    units: str,
    kerf: Length,
    strips: Fraction,
    lay_out: LayOut,
) -> tuple[Fraction, str]:
    plan = _plan(material, parts, units, kerf, strips, lay_out)
    (board,) = plan.problem.stocks
    size = " × ".join(
        show_length(Length(side), units, suffix=True) for side in (board.width_nm, board.length_nm)
    )
    users = [how_many(sum(part.quantity for part in parts), "part")] if parts else []
    users += [f"{half_up(strips, 2)} bd ft of edging"] if strips else []
    basis = f"{how_many(plan.boards, 'rough board')} of {size} for {' and '.join(users)}"
    return convert(plan.bought, "bd ft", material.unit), basis


def _plan(
    material: Material,
    parts: Sequence[BuiltPart],
    units: str,
    kerf: Length,
    strips: Fraction,
    lay_out: LayOut,
) -> BoardPlan:
    fault = board_fault(material, parts, units)
    if fault or material.length is None or material.width is None or material.thickness is None:
        raise NotAllowed(fault)
    return plan_boards(
        [_strip_of(part) for part in parts],
        Stock("new", material.length.nm, material.width.nm, cost=0, label=material.code),
        material.thickness.nm,
        kerf_nm=kerf.nm,
        waste=_waste(material),
        more=strips,
        show=lambda nm: show_length(Length(nm), units, suffix=True),
        lay_out=lay_out,
    )


def _strip_of(part: BuiltPart) -> CutPart:
    """The part as boards give it: a glued one strip by strip."""
    piece = piece_of(part)
    if part.strips == 1:
        return piece
    return replace(
        piece,
        name=f"{part.name}, strip".lstrip(", "),
        width_nm=part.strip_width.nm,
        quantity=part.quantity * part.strips,
        marks=(),
        banded=(),
    )


def _waste(material: Material) -> Fraction:
    """The share of what is bought that is waste; a share of what is needed is turned into it."""
    share = material.allowance or Fraction(0)
    return share / (1 + share) if material.allowance_on == "net" else share


def _waste_words(material: Material) -> str:
    share = show_share(material.allowance or Fraction(0))
    return f"+ {share}" if material.allowance_on == "net" else f"÷ (1 − {share})"

"""The take-off: what a build needs of every material, what is charged for it, and why.

For every material *net → allowance → charged* stay apart. Sheets are charged whole, as laid out;
edging and fasteners are net plus allowance to the nearest whole unit; finish by area × coats ÷
coverage, in whole packs; everything counted in whole units or packs. Lines of one material are
rounded together: what one of them begins, the next goes on with. A waste that is a share of what is
*bought* is a divisor (net ÷ (1 − waste)), one that is a share of what is *needed* a factor.
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.costing.lumber import lumber
from ledger.costing.taken import Taken, area_words, bought_parts, net_area, part_words
from ledger.cutting.boards import LayOut
from ledger.cutting.layout import LaidSheet, Layout
from ledger.cutting.solve import solve
from ledger.designs.built import Build, BuiltBand, BuiltCoat, BuiltPart
from ledger.errors import NotAllowed
from ledger.measures.area import Area
from ledger.measures.grouped import grouped
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up, half_up_whole, trimmed
from ledger.measures.share import show_share
from ledger.measures.spoken import how_many
from ledger.measures.units import convert, in_number, kind
from ledger.stock.rack_pieces import PIECE, RackPiece

_SMALL = {"edging", "fastener"}
"""Kinds of which small parts are cut or counted off: net + allowance in whole units."""


class _Wanted(Struct, frozen=True):
    """A line before rounding: net, and the need with its allowance, in stock units.

    `by_unit` says that what is begun is charged whole, also where the material is measured.
    """

    material: str
    net: Fraction
    need: Fraction
    basis: str
    by_unit: bool


class Allowances(Struct, frozen=True):
    """The shop's allowances where a material does not say its own."""

    edging: Fraction
    fastener: Fraction


def take_off(
    build: Build,
    layouts: Mapping[str, Layout],
    materials: Mapping[str, Material],
    allowances: Allowances,
    kerf: Length,
    rack: Mapping[str, RackPiece] | None = None,
    lay_out: LayOut = solve,
) -> tuple[Taken, ...]:
    """The quantity take-off: net and charged quantity of each material, in its stock unit.

    Lines stand in the order sheets, lumber, edging, finish, the rest.

    `rack` are the pieces that layouts may be cut from, by the label they carry there; `lay_out`
    answers how rough boards are cut.

    Raises:
        NotAllowed: a material lacks what its rule needs (coverage, roll or board size).
    """
    taken: list[Taken] = []
    for code, layout in layouts.items():
        taken += _sheets(code, layout, build, rack or {})
    taken += lumber(build, materials, kerf, lay_out)
    wanted = [
        _band(build, band, materials[band.material], allowances)
        for band in build.bands
        if not band.is_solid
    ]
    for coat in build.finish:
        wanted += _coats(build, coat, materials)
    wanted += [_need(materials[n.material], n.exact, n.basis, allowances) for n in build.needs]
    for code, parts in bought_parts(build, materials).items():
        wanted.append(_bought(materials[code], parts, allowances))
    return (*taken, *_charged(wanted, materials))


def _charged(wanted: Sequence[_Wanted], materials: Mapping[str, Material]) -> list[Taken]:
    """The lines with what is charged for each: whole units of all lines of a material together."""
    by_unit = {line.material for line in wanted if line.by_unit}
    needs: dict[str, Fraction] = {}
    taken = []
    for line in wanted:
        material, before = materials[line.material], needs.get(line.material, Fraction(0))
        needs[line.material] = before + line.need
        alone, all_before, all_now = (
            _whole(need, material, by_unit=line.material in by_unit)
            for need in (line.need, before, before + line.need)
        )
        charged = all_now - all_before
        rest = "" if charged >= alone else "; the rest is left from above"
        net = Quantity.of(half_up(line.net, 6))
        taken.append(Taken(line.material, net, charged, f"{line.basis}{rest}"))
    return taken


def needed(taken: Iterable[Taken]) -> dict[str, Quantity]:
    """Total charged quantity by material, in stock units; pieces of the rack are left out."""
    quantities: dict[str, Quantity] = {}
    for line in taken:
        if line.piece is None:
            quantities[line.material] = quantities.get(line.material, Quantity(0)) + line.charged
    return quantities


def _sheets(code: str, layout: Layout, build: Build, rack: Mapping[str, RackPiece]) -> list[Taken]:
    new = [sheet for sheet in layout.sheets if sheet.source == "new"]
    pieces = [rack[sheet.label] for sheet in layout.sheets if sheet.source == "rack"]
    net = net_area(build, code)
    bought = Area(sum(sheet.area for sheet in layout.sheets))
    used = Fraction(net.nm2, bought.nm2) if bought.nm2 else Fraction(0)
    basis = (
        f"{area_words(net, build.units)} net, {len(layout.sheets)} laid out,"
        f" {half_up(used * 100, 0)} % used"
    )
    trace = tuple(part_words(part, build.units) for part in build.parts if part.material == code)
    by_label = grouped(new, lambda sheet: sheet.label or code)
    taken = [
        Taken(label, _share_of(net, sheets, bought), Quantity.of(len(sheets)), basis, trace)
        for label, sheets in by_label.items()
    ]
    taken += [
        Taken(code, Quantity(0), PIECE, f"from the rack: lot {piece.lot}", piece=piece)
        for piece in pieces
    ]
    return taken


def _share_of(net: Area, sheets: list[LaidSheet], bought: Area) -> Quantity:
    """The net need in sheets: parts' area as a share of all sheets, times these."""
    return Quantity.of(half_up(Fraction(net.nm2 * len(sheets), bought.nm2 or 1), 6))


def _band(build: Build, band: BuiltBand, material: Material, allowances: Allowances) -> _Wanted:
    net = _edging_units(material, band.length)
    need = _with_allowance(net, material, allowances)
    feet = half_up(band.length.feet, 1)
    length = f"{feet} ft" if build.units == "inch" else f"{half_up(band.length.meters, 1)} m"
    basis = f"{length} on {band.edges} edges {_allowance_words(material, allowances)}"
    return _Wanted(material.code, net, need, basis, by_unit=False)


def _edging_units(material: Material, length: Length) -> Fraction:
    """The net length in stock units: feet, meters, or rolls of the material's length."""
    if kind(material.unit) == "length":
        return convert(length.meters, "m", material.unit)
    if material.length is None:
        raise NotAllowed(
            f"{material.code} {material.name} is bought by the {material.unit}; the price list"
            " must say how long one is (column length)."
        )
    return length / material.length


def _coats(build: Build, coat: BuiltCoat, materials: Mapping[str, Material]) -> list[_Wanted]:
    material = materials[coat.material]
    if material.coverage is None:
        per = f"{'sq ft' if build.units == 'inch' else 'm²'} per {material.unit} and coat"
        raise NotAllowed(
            f"{material.code} {material.name} has no coverage. Write it into the price list, column"
            f" coverage ({per}), and where it is from, column coverage_source (data sheet); then:"
            " benchledger material load FILE"
        )
    area = build.finish_area if coat.area is None else coat.area
    measured = area.square_feet if build.units == "inch" else area.square_meters
    unit = "sq ft" if build.units == "inch" else "m²"
    counted = Fraction(half_up(measured, 0 if build.units == "inch" else 1))
    net = counted * coat.coats / Fraction(material.coverage)
    basis = (
        f"{_plain(counted)} {unit} × {how_many(coat.coats, 'coat')}"
        f" ÷ {_plain(Fraction(material.coverage))}"
        f" = {half_up(net, 2)} {in_number(net, material.unit)} ({material.coverage_source})"
    )
    wanted = [_Wanted(material.code, net, net, basis, by_unit=True)]
    if coat.tint_material and coat.tint_share:
        mixed = _whole(net, material, by_unit=True)
        wanted.append(_tint(coat, material, mixed, materials[coat.tint_material]))
    return wanted


def _tint(coat: BuiltCoat, finish: Material, mixed: Quantity, tint: Material) -> _Wanted:
    net = convert(mixed.fraction * coat.tint_share, finish.unit, tint.unit)
    of = in_number(mixed.fraction, finish.unit)
    basis = (
        f"{show_share(coat.tint_share)} of {_plain(mixed.fraction)} {of}"
        f" = {half_up(net, 2)} {in_number(net, tint.unit)}, one pail for all coats"
    )
    return _Wanted(tint.code, net, net, basis, by_unit=True)


def _need(material: Material, net: Fraction, basis: str, allowances: Allowances) -> _Wanted:
    need = _with_allowance(net, material, allowances)
    words = f"{basis} {_allowance_words(material, allowances)}".strip()
    by_unit = kind(material.unit) == "count"
    return _Wanted(material.code, net, need, words, by_unit=by_unit)


def _bought(material: Material, parts: Sequence[BuiltPart], allowances: Allowances) -> _Wanted:
    """Parts that come ready made: by the piece, or by the length or area that their unit is of."""
    measured = kind(material.unit)
    if measured == "length":
        meters = sum((part.length.meters * part.quantity for part in parts), Fraction(0))
        number = convert(meters, "m", material.unit)
    elif measured == "area":
        area = sum((part.area for part in parts), Area(0))
        number = convert(area.square_meters, "m²", material.unit)
    else:
        number = Fraction(sum(part.quantity for part in parts))
    named = ", ".join(f"{part.quantity} of {part.id} {part.name}".strip() for part in parts)
    return _need(material, number, f"bought ready made: {named}", allowances)


def _allowance(material: Material, allowances: Allowances) -> tuple[Fraction, str]:
    if material.allowance is not None:
        return material.allowance, material.allowance_on or "net"
    share = {"edging": allowances.edging, "fastener": allowances.fastener}.get(material.kind)
    return (share or Fraction(0)), "net"


def _with_allowance(net: Fraction, material: Material, allowances: Allowances) -> Fraction:
    share, on = _allowance(material, allowances)
    return net / (1 - share) if on == "bought" else net * (1 + share)


def _allowance_words(material: Material, allowances: Allowances) -> str:
    share, on = _allowance(material, allowances)
    if not share:
        return ""
    if on == "bought":
        return f"÷ (1 − {show_share(share)} waste of what is bought)"
    return f"+ {show_share(share)} of the net"


def _whole(need: Fraction, material: Material, *, by_unit: bool) -> Quantity:
    """The quantity charged: whole units of small parts, else whole packs or units.

    What is used by measure, such as glue by the ounce, is charged as measured.
    """
    pack = material.pack.fraction if material.whole else Fraction(1)
    if material.whole:
        return Quantity.of(ceil(need / pack) * pack)
    if material.kind in _SMALL:
        return Quantity.of(half_up_whole(need))
    if by_unit:
        return Quantity.of(ceil(need))
    return Quantity.of(half_up(need, 6))


def _plain(value: Fraction) -> Decimal:
    return trimmed(half_up(value, 2))

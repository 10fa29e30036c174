"""The price list: one line a material, with what its kind needs and today's price."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from ledger.measures.day import DateReader
from ledger.measures.length import Length
from ledger.measures.money import Currency
from ledger.measures.quantity import Quantity
from ledger.measures.share import parse_share
from ledger.measures.values import replace
from ledger.stock.materials import GRADES, MaterialRow
from ledger.workbooks import kinds
from ledger.workbooks.cells import decimal_mark_in
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import columns_of, take_apart
from ledger.workbooks.readers.list_filler import ListFiller
from ledger.workbooks.readers.price_words import size_name

COLUMNS = columns_of(
    "code = id, material code; name* = material, description; kind = category, type; "
    "unit = stock unit; pack = pack size; length = roll length, sheet length; "
    "width = sheet width; thickness = measured thickness, actual thickness; size; grain; "
    "density = density kg/m³; density_source; coverage; coverage_source; allowance = waste; "
    "allowance_on; whole = whole packs, whole boards; grade = lumber grade; "
    "surfaced = surfaced to, dressed to; composite; price = unit price, cost; supplier = from; "
    "price_day = price date, date, day; price_source = seen; price_tax = tax; note"
)
_TAXED = {"included": "with", "with tax": "with", "before": "before", "before tax": "before",
          "net": "before"}  # fmt: skip
_GRAINS = {"length": "length", "width": "width", "none": "none", "any": "none"}
_ALLOWANCE = kinds.CellKind(lambda text: parse_share(text, Fraction(99, 100)), Fraction(0), "10 %")


def read_materials(
    path: Path,
    currency: Currency,
    units: str,
    dates: DateReader,
    named: Mapping[str, str] | None = None,
    notes: list[str] | None = None,
) -> tuple[MaterialRow, ...]:
    """Read a price list; `units` is what a bare length means.

    A dealer's list says less than a shop needs: kind, unit, code and size are then taken from the
    words, and `notes` gets a sentence for each such guess.

    Raises:
        BadFile: with everything that is wrong in it.

    """
    faults = Faults(named)
    sheet = one_sheet(path, "materials")
    mark = decimal_mark_in(
        cell.text for line in sheet.lines for cell in line.cells if not cell.is_number
    )
    currency = replace(currency, decimal_mark=mark or currency.decimal_mark)
    filler = ListFiller(units, currency.decimal_mark)
    rows = list(filler.titled(rows_of(sheet, COLUMNS, faults)))
    read = tuple(_material(row, title, currency, units, dates, filler) for row, title in rows)
    if rows:
        _refuse_other_currency(rows[0][0], currency)
    read = _sizes_apart(read, units, filler)
    _refuse_twice([row for row, _ in rows], read)
    faults.raise_if_any()
    if notes is not None:
        notes.extend(filler.notes())
    return read


def _material(
    row: GridRow,
    title: str,
    currency: Currency,
    units: str,
    dates: DateReader,
    filler: ListFiller,
) -> MaterialRow:
    length_kind = kinds.size(units, currency.decimal_mark)
    code, name = _name(row, filler)
    kind = filler.kind(row, name, title)
    length, width, thickness = filler.sizes(
        row, kind, name, [row.may(one, length_kind) for one in ("length", "width", "thickness")]
    )
    _check_sizes(row, kind, length, width)
    unit, amount = filler.unit_and_price(row, kind, kinds.price(currency), (length, width))
    material = MaterialRow(
        code=code,
        name=name,
        kind=kind,
        unit=unit,
        pack=row.may("pack", kinds.quantity(currency), Quantity.of(filler.pack(row) or 1)),
        length=length,
        width=width,
        thickness=thickness,
        grain=row.may("grain", kinds.choice("grain", _GRAINS)),
        density=row.may("density", kinds.decimal(currency)),
        density_source=_source(row, "density"),
        coverage=row.may("coverage", kinds.decimal(currency)),
        coverage_source=_source(row, "coverage"),
        allowance=row.may("allowance", _ALLOWANCE),
        allowance_on=_allowance_on(row),
        whole=row.may("whole", kinds.flag(), False),
        by_tally=kind == "lumber" and row.may("whole", kinds.flag()) is False,
        grade=row.may("grade", kinds.choice("grade", GRADES), ""),
        surfaced=row.may("surfaced", kinds.size(units)),
        composite=row.may("composite", kinds.flag(), False),
        price=amount,
        supplier=row.may("supplier", kinds.TEXT),
        price_day=row.may("price_day", kinds.day(dates)),
        **row.texts("note price_source"),
        taxed=_taxed(row),
    )
    filler.weigh_pack(row, kind, amount, material.pack)
    if not material.pack:
        row.fault("pack", "A pack holds more than zero; write 1 where it is sold by the unit.")
    if material.coverage == 0:
        row.fault("coverage", "A coverage is more than zero; leave the cell empty if unknown.")
    return material


def _name(row: GridRow, filler: ListFiller) -> tuple[str, str]:
    """The code and the name; where the list has no codes, one is made of the name."""
    if "code" in row.columns:
        return row.need("code", kinds.MARK), row.need("name", kinds.TEXT)
    name = row.need("name", kinds.TEXT)
    return filler.code(name), name


def _taxed(row: GridRow) -> bool | None:
    """Whether the price has its tax in it; None where the list does not say."""
    answer = row.may("price_tax", kinds.choice("price tax", _TAXED))
    return None if answer is None else answer == "with"


def _check_sizes(row: GridRow, kind: str, length: Length | None, width: Length | None) -> None:
    if kind == "sheet":
        for name, value in (("length", length), ("width", width)):
            if value is None:
                row.fault(name, f"A sheet has a {name}; write the {name} of the whole sheet.")
        flawed = row.faults.knows(row.where("length")) or row.faults.knows(row.where("width"))
        if length is not None and width is not None and width > length and not flawed:
            row.fault("width", "The width is more than the length; length is the longer side.")


def _source(row: GridRow, name: str) -> str | None:
    """Where a figure comes from: needed with it, and senseless without."""
    source = row.may(f"{name}_source", kinds.TEXT)
    if row.text(name) and not source:
        message = f"The {name} has no source; write where it comes from, such as: own jobs."
        row.fault(f"{name}_source", message)
    return source if row.text(name) else None


def _allowance_on(row: GridRow) -> str | None:
    """Whether the share is of what is needed or of what is bought: always said."""
    on = row.may("allowance_on", kinds.choice("allowance_on", ("net", "bought")))
    if row.text("allowance") and on is None:
        row.fault("allowance_on", "Say of what the allowance is a share: net (added) or bought.")
    return on if row.text("allowance") else None


def _sizes_apart(
    read: Sequence[MaterialRow], units: str, filler: ListFiller
) -> tuple[MaterialRow, ...]:
    """The rows with a code each: a further size of a sheet goes by CODE/SIZE, as plans take it."""
    first: dict[str, MaterialRow] = {}
    result = []
    for material in read:
        other = first.setdefault(material.code.casefold(), material)
        is_size = (
            material.kind == other.kind == "sheet"
            and material.length is not None
            and material.width is not None
            and (material.length, material.width) != (other.length, other.width)
        )
        code = material.code
        if is_size and material.length and material.width:
            code = f"{code}/{size_name(material.length, material.width, units)}"
            filler.tell("A further size of a sheet, which plans choose from", code)
        result.append(replace(material, code=code))
    return tuple(result)


def _refuse_other_currency(row: GridRow, currency: Currency) -> None:
    """Refuse a price heading that names another currency; a bare $ is of any kind of dollar."""
    heading = row.columns["price"].heading if "price" in row.columns else ""
    named = take_apart(heading).currency
    is_own_dollar = named == "USD" and "usd" not in heading.casefold() and currency.code in _DOLLARS
    if named and named != currency.code and not is_own_dollar:
        index = row.columns["price"].index
        where = row.sheet.where(row.line.number, index, heading)
        row.faults.add(where, f"“{heading}” is in {named}; prices here are in {currency.code}.")


_DOLLARS = ("CAD", "AUD", "NZD", "SGD", "HKD")


def _refuse_twice(rows: Sequence[GridRow], read: Sequence[MaterialRow]) -> None:
    seen: dict[str, str] = {}
    for row, material in zip(rows, read, strict=True):
        key = material.code.casefold()
        if key and key in seen:
            row.fault("code", f"{material.code} stands twice, also in {seen[key]}.")
        seen.setdefault(key, row.where("code"))

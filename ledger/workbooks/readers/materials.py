"""The price list: one line a material, with what its kind needs and today's price."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from ledger.measures.day import DateReader
from ledger.measures.length import Length
from ledger.measures.money import Currency
from ledger.measures.quantity import Quantity
from ledger.measures.share import parse_share
from ledger.stock.materials import KINDS, MaterialRow
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import Column
from ledger.workbooks.kinds import (
    MARK,
    TEXT,
    UNIT,
    CellKind,
    choice,
    day,
    decimal,
    flag,
    price,
    quantity,
    size,
)

COLUMNS = (
    Column("code", ("id", "material code"), must=True),
    Column("name", ("material", "description"), must=True),
    Column("kind", ("category", "type"), must=True),
    Column("unit", ("stock unit",), must=True),
    Column("pack", ("pack size",)),
    Column("length", ("roll length", "sheet length")),
    Column("width", ("sheet width",)),
    Column("thickness", ("measured thickness", "actual thickness")),
    Column("grain"),
    Column("density", ("density kg/m³",)),
    Column("density_source"),
    Column("coverage"),
    Column("coverage_source"),
    Column("allowance", ("waste",)),
    Column("allowance_on"),
    Column("whole", ("whole packs",)),
    Column("composite"),
    Column("price", ("unit price", "cost")),
    Column("supplier", ("from",)),
    Column("price_day", ("price date", "date", "day")),
    Column("price_source", ("seen",)),
    Column("price_tax", ("tax",)),
    Column("note"),
)
_TAXED = {"included": "with", "with tax": "with", "before": "before", "before tax": "before",
          "net": "before"}  # fmt: skip
_GRAINS = ("length", "width", "none")
_ALLOWANCE = CellKind(lambda text: parse_share(text, Fraction(99, 100)), Fraction(0), "10 %")
_ONE = Quantity.of(1)


def read_materials(
    path: Path,
    currency: Currency,
    units: str,
    dates: DateReader,
    named: Mapping[str, str] | None = None,
) -> tuple[MaterialRow, ...]:
    """Read a price list; `units` is what a bare length means.

    Raises:
        BadFile: with everything that is wrong in it.

    """
    faults = Faults(named)
    rows = list(rows_of(one_sheet(path, "materials"), COLUMNS, faults))
    read = tuple(_material(row, currency, units, dates) for row in rows)
    _refuse_twice(rows, read)
    faults.raise_if_any()
    return read


def _material(row: GridRow, currency: Currency, units: str, dates: DateReader) -> MaterialRow:
    kind = row.need("kind", choice("kind", KINDS))
    length, width = row.may("length", size(units)), row.may("width", size(units))
    _check_sizes(row, kind, length, width)
    material = MaterialRow(
        code=row.need("code", MARK),
        name=row.need("name", TEXT),
        kind=kind,
        unit=row.need("unit", UNIT),
        pack=row.may("pack", quantity(currency), _ONE),
        length=length,
        width=width,
        thickness=row.may("thickness", size(units)),
        grain=row.may("grain", choice("grain", _GRAINS)),
        density=row.may("density", decimal(currency)),
        density_source=_source(row, "density"),
        coverage=row.may("coverage", decimal(currency)),
        coverage_source=_source(row, "coverage"),
        allowance=row.may("allowance", _ALLOWANCE),
        allowance_on=_allowance_on(row),
        whole=row.may("whole", flag(), False),
        composite=row.may("composite", flag(), False),
        note=row.text("note"),
        price=row.may("price", price(currency)),
        supplier=row.may("supplier", TEXT),
        price_day=row.may("price_day", day(dates)),
        price_source=row.text("price_source"),
        taxed=_taxed(row),
    )
    if not material.pack:
        row.fault("pack", "A pack holds more than zero; write 1 where it is sold by the unit.")
    if material.coverage == 0:
        row.fault("coverage", "A coverage is more than zero; leave the cell empty if unknown.")
    return material


def _taxed(row: GridRow) -> bool | None:
    """Whether the price has its tax in it; None where the list does not say."""
    answer = row.may("price_tax", choice("price tax", _TAXED))
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
    source = row.may(f"{name}_source", TEXT)
    if row.text(name) and not source:
        message = f"The {name} has no source; write where it comes from, such as: own jobs."
        row.fault(f"{name}_source", message)
    return source if row.text(name) else None


def _allowance_on(row: GridRow) -> str | None:
    """Whether the share is of what is needed or of what is bought: always said."""
    on = row.may("allowance_on", choice("allowance_on", ("net", "bought")))
    if row.text("allowance") and on is None:
        row.fault("allowance_on", "Say of what the allowance is a share: net (added) or bought.")
    return on if row.text("allowance") else None


def _refuse_twice(rows: Sequence[GridRow], read: Sequence[MaterialRow]) -> None:
    seen: dict[str, str] = {}
    for row, material in zip(rows, read, strict=True):
        key = material.code.casefold()
        if key and key in seen:
            row.fault("code", f"{material.code} stands twice, also in {seen[key]}.")
        seen.setdefault(key, row.where("code"))

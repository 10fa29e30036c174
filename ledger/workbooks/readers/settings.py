"""The shop's settings as a file: a name and a value a line, checked before any is set."""

from collections.abc import Mapping
from pathlib import Path

from ledger.book.settings import SETTINGS, nearest_setting
from ledger.errors import LedgerError
from ledger.measures.money import Currency
from ledger.measures.spoken import as_typed
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import columns_of
from ledger.workbooks.kinds import TEXT, CellKind

COLUMNS = columns_of("name* = setting; value*; words")
FIXED = ("currency", "units")
"""Chosen when the book is made, so a file may name them only as they are."""


_GROUPED = ("money", "price", "quantity")
_DAY_TEXT = CellKind(str, "", "2025-05-06", is_day=True)


def read_settings(
    path: Path, currency: Currency, units: str, named: Mapping[str, str] | None = None
) -> tuple[tuple[str, str], ...]:
    """Read names and values of settings.

    Raises:
        BadFile: with everything that is wrong in it.

    """
    faults = Faults(named)
    read: dict[str, str] = {}
    for row in rows_of(one_sheet(path, "settings"), COLUMNS, faults):
        name = row.need("name", TEXT)
        if name in read:
            row.fault("name", f"{name} stands twice; keep one of them.")
        kind = SETTINGS[name].kind if name in SETTINGS else ""
        read[name] = row.may("value", _DAY_TEXT, "") if kind == "day" else row.text("value")
        if kind in _GROUPED and row.is_number("value"):
            read[name] = as_typed(read[name], currency.decimal_mark)
        _check(row, name, read[name], (currency, units))
    faults.raise_if_any()
    return tuple((name, value) for name, value in read.items() if name not in FIXED)


def _check(row: GridRow, name: str, value: str, units: tuple[Currency, str]) -> None:
    if not name:
        return
    if name not in SETTINGS:
        row.fault("name", str(nearest_setting(name)))
    elif name in FIXED:
        standing = units[0].code if name == "currency" else units[1]
        if value.casefold() != standing.casefold():
            row.fault("value", f"The {name} of this book is {standing}, chosen when it was made.")
    else:
        try:
            SETTINGS[name].keep(value, units)
        except LedgerError as wrong:
            row.fault("value", str(wrong))

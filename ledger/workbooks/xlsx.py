"""A workbook opened with care: checked as an archive first, then read as typed.

A small file may unfold into gigabytes, or claim a cell in the last row of the last column; both
are refused before anything is unfolded. Formulas count by the value a spreadsheet program saved
with them; macros are never looked at.
"""

import io
import warnings
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from ledger.errors import LedgerError
from ledger.measures.rounding import trimmed
from ledger.workbooks.cells import Cell, Line, Sheet, letters, plain_cell, refused

MOST_UNFOLDED = 100_000_000
MOST_ENTRIES = 2_000
MOST_CELLS = 300_000
MOST_MARKS = 2_000_000
"""How many marks (`<`) the parts of a workbook may have together; a filled cell has four."""

STEEPEST = 200
"""How many times larger than its packed size a part of a workbook may unfold (text: about 10)."""

ERRORS = frozenset({"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A"})
"""Texts by which a spreadsheet program shows that a formula failed."""

_UNSAVED = (
    "This cell holds a formula whose value was never saved; open the file in a spreadsheet program"
    " and save it, or write the value."
)


def workbook_sheets(path: Path) -> tuple[Sheet, ...]:
    """The sheets of a workbook.

    Raises:
        BadFile: it is damaged, cut short, or would unfold beyond all measure.

    """
    content = path.read_bytes()
    _check_archive(path, content)
    written = _opened(path, content, values=False)
    for sheet in written.worksheets:
        _check_reach(path, sheet)
    formulas = any(_has_formulas(sheet) for sheet in written.worksheets)
    saved = _opened(path, content, values=True) if formulas else written
    return tuple(_sheet(path, sheet, saved[sheet.title]) for sheet in written.worksheets)


def _check_archive(path: Path, content: bytes) -> None:
    damaged = "This workbook is damaged or was cut short; save it again as .xlsx."
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            entries = archive.infolist()
            if len(entries) > MOST_ENTRIES or sum(e.file_size for e in entries) > MOST_UNFOLDED:
                raise refused(path, "This workbook would unfold to far more than a table needs.")
            if sum(_check_entry(path, archive, entry) for entry in entries) > MOST_MARKS:
                raise refused(path, "This workbook holds far more than a table needs.")
            if "xl/workbook.xml" not in archive.namelist():
                raise refused(path, "This archive is no workbook; save the table as .xlsx or .csv.")
            if archive.testzip() is not None:
                raise refused(path, damaged)
    except LedgerError:
        raise
    except Exception as trouble:  # a damaged archive raises whatever its numbers lead to
        raise refused(path, damaged) from trouble


def _check_entry(path: Path, archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> int:
    """The marks of a part, which is refused if it may unfold without end."""
    if entry.flag_bits & 1:
        raise refused(path, "This workbook is encrypted; save it without a password.")
    if entry.file_size > max(1_000_000, STEEPEST * entry.compress_size):
        raise refused(path, f"{entry.filename} in this workbook unfolds too far; it is not read.")
    if not entry.filename.endswith((".xml", ".rels")):
        return 0
    with archive.open(entry) as file:
        head = file.read(4096)
        plain = head.replace(b"\0", b"")
        if b"<!DOCTYPE" in plain or b"<!ENTITY" in plain:
            # a document type can make a few bytes unfold without end; no spreadsheet writes one
            raise refused(path, f"{entry.filename} in this workbook declares a document type.")
        rest = iter(lambda: file.read(1_000_000), b"")
        return head.count(b"<") + sum(piece.count(b"<") for piece in rest)


def _opened(path: Path, content: bytes, *, values: bool) -> Workbook:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl warns of shapes and styles it does not keep
            return load_workbook(io.BytesIO(content), data_only=values)
    except Exception as trouble:  # openpyxl raises whatever its parser met on the way
        sentence = (
            "This workbook cannot be read; save it again as .xlsx from a spreadsheet program."
        )
        raise refused(path, sentence) from trouble


def _has_formulas(sheet: Worksheet) -> bool:
    return any(cell.data_type == "f" for row in _rows(sheet) for cell in row)


def _rows(sheet: Worksheet) -> Iterator[tuple[SheetCell, ...]]:
    return sheet.iter_rows()  # type: ignore[return-value]


def _check_reach(path: Path, sheet: Worksheet) -> None:
    rows, columns = sheet.max_row, sheet.max_column
    if rows * columns > MOST_CELLS:
        last = f"{letters(columns - 1)}{rows}"
        sentence = f"Sheet {sheet.title} reaches as far as cell {last}; delete what lies far out."
        raise refused(path, sentence)


def _sheet(path: Path, sheet: Worksheet, saved: Worksheet) -> Sheet:
    lines = tuple(
        Line(
            number, tuple(_cell(cell, value.value) for cell, value in zip(row, values, strict=True))
        )
        for number, (row, values) in enumerate(zip(_rows(sheet), _rows(saved), strict=True), 1)
    )
    return Sheet(sheet.title, f"{path.name}, sheet {sheet.title}", is_workbook=True, lines=lines)


def _cell(cell: SheetCell, value: Any) -> Cell:
    if cell.data_type == "f" and value is None:
        return Cell(trouble=_UNSAVED)
    if value is None:
        return Cell()
    if isinstance(value, str):
        if value in ERRORS:
            return Cell(trouble=f"This cell shows the error {value}; write the value.")
        return plain_cell(value)
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, int | float):
        percent = "%" in cell.number_format
        return Cell(f"{_digits(value * 100)} %" if percent else _digits(value), is_number=True)
    if isinstance(value, datetime | date):
        day = value.date() if isinstance(value, datetime) else value
        return Cell(day.isoformat(), day=day)
    if isinstance(value, time | timedelta):
        return Cell(trouble=f"A spreadsheet made a time of this cell ({value}); write it as text.")
    return Cell(trouble="This cell holds something that is neither text nor number.")


def _digits(value: float) -> str:
    """The digits that were typed (a spreadsheet keeps fifteen), never an exponent.

    >>> _digits(0.1 + 0.2), _digits(18.0), _digits(1e-7), _digits(31.6875)
    ('0.3', '18', '0.0000001', '31.6875')
    """
    return f"{trimmed(Decimal(f'{value:.15g}')):f}"

"""The cells of a workbook, read as they were typed.

Only cells are read, one by one as their part unfolds (see `package`), and only those that say
anything are kept; a full reading would make a cell of every place that a merged range or a link
covers, which is all of a sheet where somebody selected it whole. Formulas count by the value a
spreadsheet program saved with them; macros are never looked at.
"""

import math
import re
from collections.abc import Collection, Mapping
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

from openpyxl.styles.numbers import builtin_format_code, is_date_format, is_timedelta_format
from openpyxl.utils.datetime import (
    CALENDAR_MAC_1904,
    CALENDAR_WINDOWS_1900,
    from_excel,
    from_ISO8601,
)

from ledger.measures.rounding import trimmed
from ledger.workbooks.cells import Cell, CellBudget, CellRow, CellTable, plain_cell, refused
from ledger.workbooks.package import LONGEST_MARK, Package, Reader, TooMuch, in_package

ERRORS = frozenset({"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A"})
"""Texts by which a spreadsheet program shows that a formula failed."""

_UNSAVED = (
    "This cell holds a formula whose value was never saved; open the file in a spreadsheet program"
    " and save it, or write the value."
)
_EMPTY = Cell()
_MIDNIGHT = datetime.combine(date.min, time())
_PLACE = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})")
_LAST_ROW = 1_048_576
_LONGEST_FORMAT = 255


def workbook_sheets(path: Path) -> tuple[CellTable, ...]:
    """The sheets of a workbook.

    Raises:
        BadFile: it is damaged, cut short, or would unfold beyond all measure.

    """
    with path.open("rb") as file:
        return in_package(path, file, _sheets)


def _sheets(package: Package) -> tuple[CellTable, ...]:
    path = package.path
    mains = [part.target for part in package.related() if part.role == "officeDocument"]
    if not mains or mains[0] not in package.parts:
        raise refused(path, "This archive is no workbook; save the table as .xlsx or .csv.")
    book, strings, styles = _Book(), _Strings(CellBudget(path)), _Styles()
    package.read(mains[0], book)
    related = package.related(mains[0])
    for part in related:
        reader = {"sharedStrings": strings, "styles": styles}.get(part.role)
        if reader is not None and part.target in package.parts:
            package.read(part.target, reader)
    tables = {part.id: part.target for part in related if part.role == "worksheet"}
    room = CellBudget(path)
    sheets = []
    for title, name in book.sheets:
        if tables.get(name) in package.parts:
            reader = _Cells(strings.cells, styles, book.epoch, room)
            package.read(tables[name], reader)
            place = f"{path.name}, sheet {title}"
            sheets.append(CellTable(title, place, is_workbook=True, lines=reader.lines(title)))
    return tuple(sheets)


class _Book(Reader):
    """The names of the sheets, each with the id of its part, and the day that counts as zero."""

    def __init__(self) -> None:
        self.sheets: list[tuple[str, str]] = []
        self.epoch = CALENDAR_WINDOWS_1900

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Keep the name and place of a sheet, and which calendar the book counts by."""
        if name == "workbookPr" and attributes.get("date1904") in ("1", "true"):
            self.epoch = CALENDAR_MAC_1904
        if name == "sheet":
            ids = [text for key, text in attributes.items() if key.endswith(":id")]
            self.sheets.append((attributes["name"], ids[0] if ids else ""))


class _Texts(Reader):
    """Joins the runs of a text; how it is to be pronounced is no part of it."""

    texts: Collection[str] = ("t",)

    def __init__(self) -> None:
        self._runs: list[str] = []
        self._letters = 0
        self._is_spoken = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Leave out what tells the pronunciation."""
        if name == "rPh":
            self._is_spoken = True

    def end(self, name: str, text: str) -> None:
        """Add the text of a run to its string."""
        if name == "rPh":
            self._is_spoken = False
        elif name == "t" and not self._is_spoken:
            self._letters += len(text)
            if self._letters > LONGEST_MARK:
                raise TooMuch
            self._runs.append(text)

    def taken(self) -> str:
        """The text since the last one was taken."""
        text = "".join(self._runs).replace("_x005F_", "_")
        self._runs.clear()
        self._letters = 0
        return text


class _Strings(_Texts):
    """The texts that cells share."""

    def __init__(self, room: CellBudget) -> None:
        super().__init__()
        self._room = room
        self.cells: list[Cell] = []

    def end(self, name: str, text: str) -> None:
        """Keep a text."""
        super().end(name, text)
        if name == "si":
            cell = _text_cell(self.taken())
            self._room.take(cell)
            self.cells.append(cell)


class _Styles(Reader):
    """How the numbers of each style are shown, which tells days and shares from other numbers."""

    def __init__(self) -> None:
        self._own: dict[str, str] = {}
        self._used: list[str] = []
        self._is_of_cells = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Keep a number format, or the format of a style."""
        if name == "numFmt":
            code = attributes.get("formatCode", "")[:_LONGEST_FORMAT]
            self._own[attributes.get("numFmtId", "")] = code
        elif name == "cellXfs":
            self._is_of_cells = True
        elif name == "xf" and self._is_of_cells:
            self._used.append(attributes.get("numFmtId", "0"))

    def end(self, name: str, text: str) -> None:
        """The styles of cells end here; those after them are other ones."""
        if name == "cellXfs":
            self._is_of_cells = False

    def format_of(self, style: str) -> str:
        """The format of a style by its number."""
        if not self._used:
            return "General"
        number = self._used[int(style)]
        return self._own.get(number) or builtin_format_code(int(number)) or "General"


class _Cells(_Texts):
    """The filled cells of one sheet."""

    texts: Collection[str] = ("t", "v")

    def __init__(
        self, strings: list[Cell], styles: _Styles, epoch: datetime, room: CellBudget
    ) -> None:
        super().__init__()
        self._strings, self._styles, self._epoch, self._room = strings, styles, epoch, room
        self._rows: dict[int, dict[int, Cell]] = {}
        self._row = self._column = 0
        self._in_row = False
        self._cell: Mapping[str, str] | None = None
        self._value: str | None = None
        self._has_formula = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Meet a row, a cell or its formula."""
        if name == "row":
            self._in_row = True
            self._row = min(int(attributes.get("r", self._row + 1)), _LAST_ROW)
            self._column = 0
        elif name == "c" and self._in_row:
            self._cell, self._value, self._has_formula = attributes, None, False
        elif self._cell is not None:
            if name == "f":
                self._has_formula = True
            super().start(name, attributes)

    def end(self, name: str, text: str) -> None:
        """Keep a cell that says anything."""
        if name == "row":
            self._in_row = False
        elif self._cell is None:
            return
        elif name == "v":
            self._value = text
        elif name == "c":
            self._keep(self._cell)
            self._cell = None
        else:
            super().end(name, text)

    def _keep(self, sheets: Mapping[str, str]) -> None:
        row, self._column = _place(sheets.get("r"), self._row, self._column + 1)
        cell = self._read(sheets.get("t", "n"), sheets.get("s", "0"), self.taken())
        if not cell.empty:
            self._room.take(cell)
            self._rows.setdefault(row, {})[self._column] = cell

    def _read(self, kind: str, style: str, inline: str) -> Cell:
        if kind == "inlineStr":
            return _text_cell(inline)
        if not self._value:
            says_nothing = kind == "str" and self._value is not None  # a formula that gave ""
            return Cell(trouble=_UNSAVED) if self._has_formula and not says_nothing else _EMPTY
        if kind == "s":
            return self._strings[int(self._value)]
        if kind == "str":
            return _text_cell(self._value)
        if kind == "e":
            return _error(self._value)
        if kind == "b":
            return Cell("yes" if int(self._value) else "no")
        if kind == "d":
            return _moment_cell(from_ISO8601(self._value))  # type: ignore[no-untyped-call]
        return self._number(float(self._value), self._styles.format_of(style))

    def _number(self, value: float, form: str) -> Cell:
        if not math.isfinite(value):
            return Cell(trouble="This cell holds a number without end; write the value.")
        is_day, is_span = _shows_time(form)
        if not is_day:
            text = f"{_digits(value * 100)} %" if "%" in form else _digits(value)
            return Cell(text, is_number=True)
        try:
            return _moment_cell(from_excel(value, self._epoch, timedelta=is_span))
        except (OverflowError, ValueError):
            return _error("#VALUE!")

    def lines(self, title: str) -> tuple[CellRow, ...]:
        """The rows that say anything, each as far as its last filled cell.

        Raises:
            BadFile: they reach too far out.
        """
        lines = []
        for number, cells in sorted(self._rows.items()):
            width = max(cells)
            self._room.reach(title, number, width)
            row = tuple(cells.get(column, _EMPTY) for column in range(1, width + 1))
            lines.append(CellRow(number, row))
        return tuple(lines)


def _place(text: str | None, row: int, column: int) -> tuple[int, int]:
    """The row and column that is said, such as B7, counted from one; else the next of the row."""
    if text is None:
        return row, column
    match = _PLACE.fullmatch(text)
    if match is None:
        raise ValueError(text)
    number = 0
    for letter in match[1].upper():
        number = 26 * number + ord(letter) - 64
    return int(match[2]), number


@lru_cache(maxsize=256)
def _clock(value: time | timedelta) -> str:
    """A time of day or a span in hours and minutes; empty where it is not of whole minutes."""
    span = value if isinstance(value, timedelta) else datetime.combine(date.min, value) - _MIDNIGHT
    minutes, rest = divmod(span, timedelta(minutes=1))
    return "" if rest or minutes < 0 else f"{minutes // 60}:{minutes % 60:02}"


def _shows_time(form: str) -> tuple[bool, bool]:
    """Whether a format shows a number as a day or time, and whether as a span of time."""
    return is_date_format(form), is_timedelta_format(form)


def _error(shown: str) -> Cell:
    return Cell(trouble=f"This cell shows the error {shown[:20]}; write the value.")


def _text_cell(text: str) -> Cell:
    return _error(text) if text in ERRORS else plain_cell(text)


def _moment_cell(value: Any) -> Cell:
    if isinstance(value, datetime | date):
        day = value.date() if isinstance(value, datetime) else value
        return Cell(day.isoformat(), day=day)
    if isinstance(value, time | timedelta):
        wrong = f"A spreadsheet made a time of this cell ({value}); write it as text."
        return Cell(trouble=wrong, clock=_clock(value))
    return Cell(trouble="This cell holds something that is neither text nor number.")


def _digits(value: float) -> str:
    """The digits that were typed (a spreadsheet keeps fifteen), never an exponent.

    >>> _digits(0.1 + 0.2), _digits(18.0), _digits(1e-7), _digits(31.6875)
    ('0.3', '18', '0.0000001', '31.6875')
    """
    return f"{trimmed(Decimal(f'{value:.15g}')):f}"

"""Tables read row by row: headings matched, cells read, everything wrong collected as sentences.

```
faults = Faults()
sheet = one_sheet(path)
for row in rows_of(sheet, COLUMNS, faults):
    code = row.need("code", TEXT)            # an empty or wrong cell is a fault with its address
    length = row.may("length", size(units))  # an empty cell gives None
faults.raise_if_any()                        # one refusal with every fault; nothing was posted
```
Headings are forgiven their case, spaces and usual other names; a column nobody knows is a fault,
because it may be a known one mistyped, unless it begins with `note` or `#`.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, overload

from ledger.errors import BadFile, Fault, LedgerError, NotFound
from ledger.workbooks.cells import Cell, CellRow, CellTable
from ledger.workbooks.kinds import TEXT, CellKind
from ledger.workbooks.sheets import open_sheets

_MONTHS = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"
_DAY = re.compile(
    rf"\d{{1,4}}[-./ ](?:{_MONTHS})[a-z]*(?:[-./ ]\d{{2,4}})?|(?:{_MONTHS})[a-z]*[-./ ]\d{{1,4}}"
    r"|\d{4}-\d{2}-\d{2}(?: 00:00(?::00)?)?|\d{1,2}[/.]\d{1,2}[/.]\d{4}",
    re.IGNORECASE,
)
"""What a length such as `3/4` looks like after a spreadsheet made a day of it."""

MOST_ROWS = 2_000
"""Rows of one table: they are posted together, each looked at beside what stands in the book."""

MOST_FAULTS = 200
LONGEST_LIST = 500
"""Letters of a file's own headings or sheet names that are told in one sentence."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column by its name, other headings that mean it, and whether a table must have it."""

    name: str
    others: tuple[str, ...] = ()
    must: bool = False


class Faults:
    """What is wrong so far; one refusal tells all of it."""

    def __init__(self) -> None:
        self.found: list[Fault] = []
        self._places: set[str] = set()

    def add(self, where: str, sentence: str) -> None:
        """Note one thing that is wrong."""
        self.found.append(Fault(where, sentence))
        self._places.add(where)

    def knows(self, where: str) -> bool:
        """Whether something is wrong at that address already."""
        return where in self._places

    @property
    def is_full(self) -> bool:
        """Whether more is wrong than is told at once, so that looking on is of no use."""
        return len(self.found) > MOST_FAULTS

    def raise_if_any(self) -> None:
        """Refuse the file if anything was wrong.

        Raises:
            BadFile: with every fault and its place.

        """
        if not self.found:
            return
        listed = self.found[:MOST_FAULTS]
        if self.is_full:
            listed.append(Fault("…", "and more; mend these first."))
        raise BadFile(listed)


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row of a table under its headings."""

    sheet: CellTable
    line: CellRow
    columns: Mapping[str, tuple[int, str]]
    faults: Faults = field(repr=False)

    def where(self, name: str = "") -> str:
        """The address of a cell, or of the row."""
        if name in self.columns:
            return self.sheet.where(self.line.number, *self.columns[name])
        if self.sheet.is_workbook:
            return f"{self.sheet.place}, row {self.line.number}"
        return f"{self.sheet.place} line {self.line.number}"

    def fault(self, name: str, sentence: str) -> None:
        """Note that a cell is wrong."""
        self.faults.add(self.where(name), sentence)

    def written(self, name: str) -> str:
        """What stands in a cell, whatever it is and whether it can be read or not."""
        return self._cell(name).text

    def is_number(self, name: str) -> bool:
        """Whether a workbook keeps what stands in a cell as a number."""
        return self._cell(name).is_number

    def text(self, name: str) -> str:
        """The text of a cell as it stands; empty where there is no such column."""
        return self.may(name, TEXT, "")

    def need[T](self, name: str, kind: CellKind[T]) -> T:
        """The value of a cell that must not be empty."""
        if self._cell(name).empty:
            self.fault(name, f"The {name} is missing; write for example {kind.example}.")
            return kind.stand_in
        return self._read(name, kind)

    @overload
    def may[T](self, name: str, kind: CellKind[T]) -> T | None: ...
    @overload
    def may[T, D](self, name: str, kind: CellKind[T], default: D) -> T | D: ...
    def may(self, name: str, kind: CellKind[Any], default: Any = None) -> Any:
        """The value of a cell, or the default where it is empty."""
        return default if self._cell(name).empty else self._read(name, kind)

    def _cell(self, name: str) -> Cell:
        index = self.columns[name][0] if name in self.columns else len(self.line.cells)
        return self.line.cells[index] if index < len(self.line.cells) else Cell()

    def _read[T](self, name: str, kind: CellKind[T]) -> T:
        cell = self._cell(name)
        is_clock = bool(kind.is_clock and cell.clock)
        if cell.trouble and not is_clock:
            self.fault(name, cell.trouble)
        elif not kind.is_day and (cell.day or (kind is not TEXT and _DAY.fullmatch(cell.text))):
            self.fault(name, _eaten(cell))
        else:
            read = kind.exact if kind.exact and cell.is_number else kind.read
            try:
                return read(cell.clock if is_clock else cell.text)
            except LedgerError as wrong:
                self.fault(name, str(wrong))
        return kind.stand_in


def _eaten(cell: Cell) -> str:
    meant = f"; {cell.day.month}/{cell.day.day} was meant?" if cell.day else ""
    return (
        f"A spreadsheet made a day of it ({cell.text}{meant}). Format the cell as text and write"
        " it again."
    )


def one_sheet(path: Path, name: str = "") -> CellTable:
    """The sheet of that name, or the only one that says anything.

    Raises:
        BadFile: the file has several sheets and none of that name.

    """
    sheets = open_sheets(path)
    named = [sheet for sheet in sheets if name and fold(sheet.name) == fold(name)]
    filled = named or [s for s in sheets if s.lines and not is_note(s.name)] or list(sheets)
    if len(filled) > 1:
        titles = ", ".join(sheet.name for sheet in filled)[:LONGEST_LIST]
        sentence = f"It has the sheets {titles}; name the one to be read “{name}”."
        raise BadFile([Fault(path.name, sentence)])
    return filled[0]


def named_sheets(
    path: Path, names: Mapping[str, Sequence[str]], faults: Faults
) -> dict[str, CellTable]:
    """The sheets of a file by their right names; one that nobody knows is a fault.

    `names` gives each table's name and what else it may be called.
    """
    spellings = {fold(word): name for name, others in names.items() for word in (name, *others)}
    sheets: dict[str, CellTable] = {}
    for sheet in open_sheets(path):
        name = spellings.get(fold(sheet.name))
        if name is None:
            if not is_note(sheet.name):
                faults.add(sheet.place, str(NotFound("table", sheet.name, names)))
        elif name in sheets:
            faults.add(
                sheet.place, f"The table {name} is there twice, also in {sheets[name].place}."
            )
        else:
            sheets[name] = sheet
    return sheets


def rows_of(
    sheet: CellTable, columns: Sequence[Column], faults: Faults, most: int = MOST_ROWS
) -> Iterator[GridRow]:
    """The rows of a table that say anything, under its headings; more than `most` are a fault."""
    filled = [line for line in sheet.lines if not all(cell.empty for cell in line.cells)]
    if not filled:
        names = ", ".join(column.name for column in columns)
        faults.add(sheet.place, f"It is empty; the first line has the headings {names}.")
        return
    headings, body = filled[0], filled[1:]
    places = _match(sheet, headings, columns, faults)
    if any(column.must and column.name not in places for column in columns):
        return  # told once, instead of again in every row
    if len(body) > most:
        faults.add(sheet.place, f"It has more than {most:,} rows; load it in several parts.")
        return
    for line in body:
        if faults.is_full:
            faults.raise_if_any()
        for index, cell in enumerate(line.cells):
            beyond = index >= len(headings.cells) or headings.cells[index].empty
            if beyond and not cell.empty:
                where = sheet.where(line.number, index, "")
                faults.add(where, "This cell has no heading above it; is a separator misplaced?")
        yield GridRow(sheet, line, places, faults)


def _match(
    sheet: CellTable, headings: CellRow, columns: Sequence[Column], faults: Faults
) -> dict[str, tuple[int, str]]:
    spellings = {fold(word): c.name for c in columns for word in (c.name, *c.others)}
    places: dict[str, tuple[int, str]] = {}
    for index, cell in enumerate(headings.cells):
        if faults.is_full:
            faults.raise_if_any()
        name = spellings.get(fold(cell.text))
        where = sheet.where(headings.number, index, cell.text)
        if name is None:
            if not (cell.empty or is_note(cell.text)):
                faults.add(where, str(NotFound("column", cell.text, [c.name for c in columns])))
        elif name in places:
            faults.add(where, f"The column {name} is there twice; keep one of them.")
        else:
            places[name] = (index, cell.text)
    for column in columns:
        if column.must and column.name not in places:
            there = ", ".join(cell.text for cell in headings.cells if cell.text)[:LONGEST_LIST]
            faults.add(sheet.place, f"The column {column.name} is missing; there is: {there}.")
    return places


def fold(text: str) -> str:
    """A heading without what people write differently.

    >>> fold("Faces fin."), fold("unit_price"), fold("Length (in)")
    ('facesfin', 'unitprice', 'length')
    """
    return re.sub(r"[\W_]+", "", re.sub(r"\([^)]*\)", "", text.casefold()))


def is_note(text: str) -> bool:
    """Whether a heading or a sheet is the owner's own and not read."""
    return text.casefold().lstrip().startswith(("note", "#", "read me", "readme"))

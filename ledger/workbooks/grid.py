"""Tables read row by row: headings matched, cells read, everything wrong collected as sentences.

```
faults = Faults()
sheet = one_sheet(path)
for row in rows_of(sheet, COLUMNS, faults):
    code = row.need("code", TEXT)            # an empty or wrong cell is a fault with its address
    length = row.may("length", size(units))  # an empty cell gives None
faults.raise_if_any()                        # one refusal with every fault; nothing was posted
```
Headings are known by what they mean (`headings`), below titles too; a column nobody knows is a
fault, because it may be a known one mistyped, unless it begins with `note` or `#`.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NoReturn, overload

from msgspec import Struct

from ledger.errors import BadFile, Fault, LedgerError, NotFound
from ledger.measures.spoken import how_many, quoted
from ledger.measures.values import replace
from ledger.workbooks.cells import Cell, CellRow, CellTable
from ledger.workbooks.headings import LEAVE_OUT, Column, fold, likely, match, unit_of_sizes
from ledger.workbooks.kinds import TEXT, CellKind
from ledger.workbooks.sheets import open_sheets

_MONTHS = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"
_DAY = re.compile(
    rf"\d{{1,4}}[-./ ](?:{_MONTHS})[a-z]*(?:[-./ ]\d{{2,4}})?|(?:{_MONTHS})[a-z]*[-./ ]\d{{1,4}}"
    r"|\d{4}-\d{2}-\d{2}(?: 00:00(?::00)?)?|\d{1,2}[/.]\d{1,2}[/.]\d{4}",
    re.IGNORECASE,
)
"""What a length such as `3/4` looks like after a spreadsheet made a day of it."""

_BARE = re.compile(r"[0-9.,½⅓⅔¼¾⅛⅜⅝⅞](?:[0-9.,/ ½⅓⅔¼¾⅛⅜⅝⅞-]*[0-9½⅓⅔¼¾⅛⅜⅝⅞])?")
"""A number of a size without its unit."""

MOST_ROWS = 2_000
"""Rows of one table: they are posted together, each looked at beside what stands in the book."""

MOST_TITLES = 20
"""Rows with words above the headings."""

MOST_FAULTS = 200
LONGEST_LIST = 500
"""Letters of a file's own headings or sheet names that are told in one sentence."""


class Faults:
    """Collects what is wrong in a file, so that one refusal can list all of it.

    `named` are columns by the headings that were said to mean them, for this file or before; a
    heading that stays unknown is kept, so that it can be asked.
    """

    def __init__(self, named: Mapping[str, str] | None = None) -> None:
        self.listed: list[Fault] = []
        self.named = dict(named or {})
        self._places: set[str] = set()
        self._again: dict[str, int] = {}
        self._headings: dict[str, tuple[str, ...]] = {}
        self._columns: list[str] = []

    def add(self, where: str, sentence: str) -> None:
        """Note one thing that is wrong."""
        self.listed.append(Fault(where, sentence))
        self._places.add(where)

    def add_once(self, where: str, sentence: str) -> None:
        """Add a fault that may repeat in many cells: listed once, with a count."""
        if sentence in self._again:
            self._again[sentence] += 1
            self._places.add(where)
        else:
            self._again[sentence] = 0
            self.add(where, sentence)

    def ask(self, where: str, heading: str, near: tuple[str, ...], columns: Sequence[str]) -> None:
        """Note a heading that nobody knows, with the columns it is likely meant for."""
        hint = f" Nearest: {', '.join(near)}." if near else ""
        self.add(where, f"No column is called {quoted(heading)}.{hint}")
        self._headings[heading] = near
        self._columns.extend(name for name in columns if name not in self._columns)

    def refuse(self, where: str, sentence: str) -> NoReturn:
        """Refuse the file for one thing alone, where it makes all the others idle to tell.

        Raises:
            BadFile: with that one; its unknown headings can still be asked.
        """
        raise BadFile([Fault(where, sentence)], self._headings, self._columns)

    def knows(self, where: str) -> bool:
        """Whether something is wrong at that address already."""
        return where in self._places

    @property
    def is_full(self) -> bool:
        """Whether there are more faults than are listed at once."""
        return len(self.listed) > MOST_FAULTS

    def raise_if_any(self) -> None:
        """Refuse the file if anything was wrong.

        Raises:
            BadFile: with every fault and its place.

        """
        if not self.listed:
            return
        listed = [self._with_count(fault) for fault in self.listed[:MOST_FAULTS]]
        if self.is_full:
            listed.append(Fault("…", "and more; mend these first."))
        raise BadFile(listed, self._headings, self._columns)

    def _with_count(self, fault: Fault) -> Fault:
        more = self._again.get(fault.sentence, 0)
        cells = f" So also in {how_many(more, 'more cell')}." if more else ""
        return Fault(fault.where, f"{fault.sentence}{cells}")


class Place(Struct, frozen=True):
    """Where a column stands, its heading, and the unit its bare numbers have by that heading."""

    index: int
    heading: str
    unit: str = ""


class GridRow(Struct, frozen=True):
    """One row of a table under its headings."""

    sheet: CellTable
    line: CellRow
    columns: Mapping[str, Place]
    faults: Faults

    def where(self, name: str = "") -> str:
        """The address of a cell, or of the row."""
        if name in self.columns:
            place = self.columns[name]
            return self.sheet.where(self.line.number, place.index, place.heading)
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

    def texts(self, names: str) -> dict[str, str]:
        """The texts of several cells by their columns."""
        return {name: self.text(name) for name in names.split()}

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
        place = self.columns.get(name)
        if place is None or place.index >= len(self.line.cells):
            return Cell()
        cell = self.line.cells[place.index]
        if place.unit and _BARE.fullmatch(cell.text):
            return replace(cell, text=f"{cell.text} {place.unit}")
        return cell

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
        BadFile: the file has several sheets and none of that name, or none at all.

    """
    sheets = open_sheets(path)
    if not sheets:
        raise BadFile([Fault(path.name, "This workbook has no sheet with cells.")])
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
    first = _heading_row(filled[:MOST_TITLES], columns, faults.named)
    headings, body = filled[first], filled[first + 1 :]
    places = _match(sheet, headings, columns, faults)
    if any(column.must and column.name not in places for column in columns):
        return  # told at the headings, instead of again in every row
    if len(body) > most:
        faults.add(sheet.place, f"It has more than {most} rows; load it in several parts.")
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


def _heading_row(
    rows: Sequence[CellRow], columns: Sequence[Column], named: Mapping[str, str]
) -> int:
    """The row that has the most headings in it; titles may stand above it."""
    known = [len(match(_texts(row), columns, named).columns) for row in rows]
    return known.index(max(known))


def _texts(row: CellRow) -> list[str]:
    return [cell.text[:LONGEST_LIST] for cell in row.cells]


def _match(
    sheet: CellTable, headings: CellRow, columns: Sequence[Column], faults: Faults
) -> dict[str, Place]:
    names = [column.name for column in columns]
    matched = match(_texts(headings), columns, faults.named)
    places: dict[str, Place] = {}
    free = [name for name in names if name not in matched.columns.values()]
    meant: set[str] = set()
    for index, cell in enumerate(headings.cells):
        if faults.is_full:
            faults.raise_if_any()
        where = sheet.where(headings.number, index, cell.text)
        if index in matched.columns:
            name = matched.columns[index]
            if name in places:
                faults.add(where, f"The column {name} is there twice; keep one of them.")
            elif name != LEAVE_OUT:
                places[name] = Place(index, cell.text, unit_of_sizes(name, cell.text))
        elif index in matched.twice:
            name = matched.twice[index]
            faults.add(where, f"The column {name} is there twice; keep one of them.")
        elif index in matched.open and not is_note(cell.text):
            near = likely(cell.text, columns, free)
            faults.ask(where, cell.text, near, names)
            meant.update(near)
    lacking = [one.name for one in columns if one.must and one.name not in {*places, *meant}]
    there = ", ".join(cell.text for cell in headings.cells if cell.text)[:LONGEST_LIST]
    if lacking and len(matched.open) > max(2, len(places)):
        needed = ", ".join(lacking)
        faults.refuse(sheet.place, f"Is this another list? It lacks {needed}; there is: {there}.")
    for name in lacking:
        faults.add(sheet.place, f"The column {name} is missing; there is: {there}.")
    return places


def is_note(text: str) -> bool:
    """Whether a heading or a sheet is the owner's own and not read."""
    return text.casefold().lstrip().startswith(("note", "#", "read me", "readme"))

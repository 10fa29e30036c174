"""What a file is read into: sheets of lines of cells, plain texts with their addresses."""

import re
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from ledger.errors import BadFile, Fault
from ledger.measures.custom import COMMA, POINT
from ledger.measures.letters import unseen

LONGEST_TEXT = 10_000
MOST_CELLS = 100_000
"""Filled cells of one file; a year of a one-person shop has a tenth of it."""

MOST_PLACES = 1_000_000
"""Cells of one file with the empty ones that stand before filled ones."""

MOST_LETTERS = 10_000_000


class Cell(Struct, frozen=True):
    """One cell: its text, the day a spreadsheet made of it, or why it cannot be read.

    Of a number that a workbook keeps as one, the text has its decimals behind a point. `clock` is a
    time of day or a span of time that it keeps as one, such as 8:05; elsewhere that is trouble.
    """

    text: str = ""
    day: date | None = None
    trouble: str = ""
    is_number: bool = False
    clock: str = ""

    @property
    def empty(self) -> bool:
        """Whether nothing is written in it."""
        return not self.text and self.day is None and not self.trouble


class CellRow(Struct, frozen=True):
    """A row of cells and its number in the file."""

    number: int
    cells: tuple[Cell, ...]


class CellTable(Struct, frozen=True):
    """A table as it stands in a file; `place` names the file and the sheet."""

    name: str
    place: str
    is_workbook: bool
    lines: tuple[CellRow, ...]

    def where(self, line: int, column: int, heading: str) -> str:
        """The address of a cell, as the owner finds it."""
        if self.is_workbook:
            return f"{self.place}, cell {letters(column)}{line}"
        return f"{self.place} line {line}, column {heading or letters(column)}"


def letters(column: int) -> str:
    """The letters of a column counted from zero.

    >>> letters(0), letters(25), letters(26), letters(701)
    ('A', 'Z', 'AA', 'ZZ')
    """
    name = ""
    rest = column + 1
    while rest:
        rest, place = divmod(rest - 1, 26)
        name = chr(65 + place) + name
    return name


def refused(path: Path, sentence: str) -> BadFile:
    """The refusal of a whole file."""
    return BadFile([Fault(path.name, sentence)])


class CellBudget:
    """What the tables of one file may hold together."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._cells = self._letters = self._places = 0

    def take(self, cell: Cell) -> None:
        """Count a filled cell.

        Raises:
            BadFile: there are more than a table needs, or the texts are longer altogether.
        """
        self._cells += 1
        self._letters += len(cell.text)
        if self._cells > MOST_CELLS:
            most = f"{MOST_CELLS // 1000} thousand cells"
            raise refused(self.path, f"This file has more than {most}; load it in several parts.")
        if self._letters > MOST_LETTERS:
            million = f"{MOST_LETTERS // 1_000_000} million"
            raise refused(self.path, f"The texts of this file have more than {million} letters.")

    def line(self, cells: Sequence[Cell]) -> None:
        """Count a line of a text file, with the empty ones of its cells.

        Raises:
            BadFile: there are more than a table needs.
        """
        self._places += max(len(cells), 1)
        if self._places > MOST_PLACES:
            raise refused(self.path, "This file has far more cells and lines than a table needs.")
        for cell in cells:
            if not cell.empty:
                self.take(cell)

    def reach(self, sheet: str, row: int, width: int) -> None:
        """Count the places of a row, empty ones too.

        Raises:
            BadFile: too many rows reach too far to the right.
        """
        self._places += width
        if self._places > MOST_PLACES:
            last = f"{letters(width - 1)}{row}"
            sentence = f"Sheet {sheet} reaches as far as cell {last}; delete what lies far out."
            raise refused(self.path, sentence)


_COMMA = re.compile(
    r"[^0-9]*[0-9]{1,3}(?:\.[0-9]{3})*,[0-9]{1,2}[^0-9]*|[^0-9]*[0-9]+,[0-9]{1,2}[^0-9]*"
)
_POINT = re.compile(
    r"[^0-9]*[0-9]{1,3}(?:,[0-9]{3})*\.[0-9]{1,2}[^0-9]*|[^0-9]*[0-9]+\.[0-9]{1,2}[^0-9]*"
)


def decimal_mark_in(texts: Iterable[str]) -> str:
    """Which mark stands before decimals in a file, where its numbers leave no doubt; else empty.

    >>> decimal_mark_in(["31,50", "1.200"]), decimal_mark_in(["1,234.50"]), decimal_mark_in(["7"])
    ('comma', 'point', '')
    """
    marks = set()
    for text in texts:
        if len(text) <= 30:
            marks |= {COMMA} if _COMMA.fullmatch(text) else set()
            marks |= {POINT} if _POINT.fullmatch(text) else set()
    return marks.pop() if len(marks) == 1 else ""


def plain_cell(text: str) -> Cell:
    r"""A cell of a text: trimmed, line ends as spaces, refused where it is too long or unseen.

    >>> plain_cell("  a\r\nb ").text, plain_cell("a\x07").trouble
    ('a b', 'This text holds a character that cannot be seen (U+0007).')
    """
    if len(text) > LONGEST_TEXT:
        return Cell(
            trouble=f"This text has {len(text)} characters; at most {LONGEST_TEXT} are read."
        )
    if sign := unseen(text):
        return Cell(trouble=f"This text holds a character that cannot be seen ({sign}).")
    return Cell(" ".join(text.split()))

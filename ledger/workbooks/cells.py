"""What a file is read into: sheets of lines of cells, plain texts with their addresses."""

import re
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ledger.errors import BadFile, Fault

LONGEST_TEXT = 10_000
_UNSEEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufffe\uffff\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, the day a spreadsheet made of it, or why it cannot be read.

    Of a number that a workbook keeps as one, the text has its decimals behind a point.
    """

    text: str = ""
    day: date | None = None
    trouble: str = ""
    is_number: bool = False

    @property
    def empty(self) -> bool:
        """Whether nothing is written in it."""
        return not self.text and self.day is None and not self.trouble


@dataclass(frozen=True, slots=True)
class Line:
    """A row of cells and its number in the file."""

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table as it stands in a file; `place` names the file and the sheet."""

    name: str
    place: str
    is_workbook: bool
    lines: tuple[Line, ...]

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
    """A whole file refused."""
    return BadFile([Fault(path.name, sentence)])


def plain_cell(text: str) -> Cell:
    r"""A cell of a text: trimmed, line ends as spaces, refused where it is too long or unseen.

    >>> plain_cell("  a\r\nb ").text, plain_cell("a\x07").trouble
    ('a b', 'This text holds a character that cannot be seen (U+0007).')
    """
    if len(text) > LONGEST_TEXT:
        return Cell(
            trouble=f"This text has {len(text)} characters; at most {LONGEST_TEXT} are read."
        )
    if found := _UNSEEN.search(text):
        return Cell(
            trouble=f"This text holds a character that cannot be seen (U+{ord(found[0]):04X})."
        )
    return Cell(" ".join(text.split()))

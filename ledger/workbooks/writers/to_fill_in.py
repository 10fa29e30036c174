"""What all files to fill in share: words offered in a column, a sheet of notes, plain text."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from openpyxl import Workbook
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from ledger.errors import NotAllowed
from ledger.workbooks.paper import NOTE, SUBTITLE, WRAPPED, Value, add_sheet, put

LINES = 200
"""Rows that are made ready to be filled in."""


def offer(sheet: Worksheet, letter: str, source: str, last: int = LINES + 1) -> None:
    """Offer words in a column, `listed` or at an address; others may be written all the same."""
    words = DataValidation("list", formula1=source, allow_blank=True)
    words.add(f"{letter}2:{letter}{last}")
    sheet.add_data_validation(words)


def listed(words: Iterable[str]) -> str:
    """Words as a column is offered them."""
    return f'"{",".join(words)}"'


def add_notes(workbook: Workbook, notes: Sequence[tuple[str, str]], width: int = 90) -> Worksheet:
    """A sheet that explains and is never read; its first note is its title."""
    sheet = add_sheet(workbook, "notes", (24, width))
    for number, (name, words) in enumerate(notes, 1):
        put(sheet, number, 1, name, SUBTITLE if number == 1 else WRAPPED)
        put(sheet, number, 2, words, NOTE)
    return sheet


def write_text(path: Path, names: Sequence[str], rows: Iterable[Mapping[str, Value]]) -> Path:
    """Write a table as plain text, commas between.

    Raises:
        NotAllowed: the place cannot be written.
    """
    try:
        with path.open("w", encoding="utf-8-sig", newline="") as file:
            writer = csv.DictWriter(file, names, restval="")
            writer.writeheader()
            writer.writerows(rows)
    except OSError as trouble:
        raise NotAllowed(f"{path} cannot be written ({trouble.strerror}).") from trouble
    return path

"""What all files to fill in share: words offered in a column, a sheet of notes, plain text."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from ledger.errors import NotAllowed
from ledger.workbooks import paper

TEXT = "@"
LINES = 200
"""Rows that are made ready to be filled in."""


def add_text_sheet(
    workbook: Workbook,
    title: str,
    names: Sequence[str],
    rows: Sequence[Sequence[str]],
    widths: Sequence[float],
) -> Worksheet:
    """A table whose cells are all text, so that no spreadsheet program makes a day of `3/4`."""
    sheet = paper.add_sheet(workbook, title, widths, landscape=True, headings=1)
    paper.put_row(sheet, 1, names, paper.HEADING)
    for number, row in enumerate(rows, 2):
        for column, text in enumerate(row, 1):
            if text:
                paper.put(sheet, number, column, text, paper.BODY).number_format = TEXT
    for column in range(1, len(names) + 1):
        sheet.column_dimensions[get_column_letter(column)].number_format = TEXT
    return sheet


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
    sheet = paper.add_sheet(workbook, "notes", (24, width))
    for number, (name, words) in enumerate(notes, 1):
        paper.put(sheet, number, 1, name, paper.SUBTITLE if number == 1 else paper.WRAPPED)
        paper.put(sheet, number, 2, words, paper.NOTE)
    return sheet


def write_text(path: Path, names: Sequence[str], rows: Iterable[Mapping[str, paper.Value]]) -> Path:
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

"""Lists to fill in, each with examples that load as they stand: price list, past jobs, cut list.

One writer for all: the columns of the reader, a few example rows in the units of the book, and a
page of notes. A name that ends in .csv gives plain text (one table only).
"""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from ledger.errors import BadValue, NotAllowed
from ledger.workbooks.headings import Column
from ledger.workbooks.paper import (
    BODY,
    HEADING,
    NOTE,
    SUBTITLE,
    WRAPPED,
    add_sheet,
    new_workbook,
    put,
    put_row,
    save,
)

LINES = 200
_TEXT = "@"


@dataclass(frozen=True, slots=True)
class ListTable:
    """One table of a template: its columns and its example rows by column."""

    name: str
    columns: Sequence[Column]
    rows: Sequence[Mapping[str, str]]
    offered: Mapping[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class ListTemplate:
    """A template: its title, its tables, and what its notes say."""

    title: str
    tables: Sequence[ListTable]
    notes: Sequence[tuple[str, str]]


def write_template(template: ListTemplate, path: Path, shop: str, day: date) -> Path:
    """Write a template as a workbook or, where the name ends in .csv, as plain text.

    Raises:
        NotAllowed: the place cannot be written.
        BadValue: a template of several tables is to be one CSV file.
    """
    if path.suffix.lower() == ".csv":
        return _write_text(template, path)
    workbook = new_workbook(template.title, shop, day)
    for table in template.tables:
        names = _names(table)
        texts = [[row.get(name, "") for name in names] for row in table.rows]
        widths = [
            min(40, max(len(name) + 3, *(len(row[place]) + 2 for row in texts), 10))
            for place, name in enumerate(names)
        ]
        sheet = add_sheet(workbook, table.name, widths, landscape=True, headings=1)
        put_row(sheet, 1, names, HEADING)
        for number, row in enumerate(texts, 2):
            for column, text in enumerate(row, 1):
                if text:
                    put(sheet, number, column, text, BODY).number_format = _TEXT
        for place, name in enumerate(names, 1):
            letter = get_column_letter(place)
            sheet.column_dimensions[letter].number_format = _TEXT
            if name in table.offered:
                words = f'"{",".join(table.offered[name])}"'
                offer = DataValidation("list", formula1=words, allow_blank=True)
                offer.add(f"{letter}2:{letter}{LINES + 1}")
                sheet.add_data_validation(offer)
    notes = add_sheet(workbook, "notes", (24, 90))
    for number, (name, words) in enumerate((("How it is written", ""), *template.notes), 1):
        put(notes, number, 1, name, SUBTITLE if number == 1 else WRAPPED)
        put(notes, number, 2, words, NOTE)
    return save(workbook, path)


def _names(table: ListTable) -> list[str]:
    return [column.name for column in table.columns]


def _write_text(template: ListTemplate, path: Path) -> Path:
    if len(template.tables) > 1:
        names = " and ".join(table.name for table in template.tables)
        raise BadValue(f"{path.name} holds one table, and this has {names}; write to .xlsx.")
    table = template.tables[0]
    try:
        with path.open("w", encoding="utf-8-sig", newline="") as file:
            writer = csv.DictWriter(file, _names(table), restval="")
            writer.writeheader()
            writer.writerows(table.rows)
    except OSError as trouble:
        raise NotAllowed(f"{path} cannot be written ({trouble.strerror}).") from trouble
    return path

"""An empty log of hours for a telephone or a sheet of paper, with the jobs and operations to pick.

Every cell is text, so that no spreadsheet program makes a time of day of `1:30`.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from ledger.labor.log import CLASSES, CONTENT_TASKS
from ledger.workbooks import paper
from ledger.workbooks.readers.hours import COLUMNS
from ledger.workbooks.writers.to_fill_in import (
    LINES,
    TEXT,
    add_notes,
    add_text_sheet,
    offer,
    write_text,
)

_WIDTHS = {"job": 16, "operation": 22, "remark": 30, "prevention": 22}
_NOTES: Sequence[tuple[str, str]] = (
    ("How hours are written", ""),
    ("One line an entry", "Day, job, operation and hours are enough. A day or job left empty is"
     " that of the line above."),
    ("Day", "2025-05-06, may 6, yesterday, mon or -2d (told from the day the file is loaded)."),
    ("Job", "Its number or any part of its title; shop for work that is for no job."),
    ("Operation", "A word of the list, or a whole group such as cutting. Content: "
     + ", ".join(CONTENT_TASKS) + "."),
    ("Hours", "1h45, 1:30, 90m or 1.5: the time that passed; everybody in people worked it."),
    ("People", "Left empty it is the owner; owner, helper for both; a name for a helper alone."),
    ("Class", "Left empty it is work; else " + ", ".join(kind.replace("_", " ")
     for kind in CLASSES[1:]) + ". Rework may say its part, cause and prevention."),
    ("Your own notes", "Columns and sheets whose name begins with note or # are not read."),
)  # fmt: skip


def write_hours_template(
    path: Path, shop: str, day: date, jobs: Sequence[str], operations: Sequence[str]
) -> Path:
    """Write the empty log; `jobs` and `operations` are the words offered in their columns.

    Where the name ends in .csv it is plain text, which offers none.

    Raises:
        NotAllowed: the place cannot be written.
    """
    names = [column.name for column in COLUMNS]
    if path.suffix.lower() == ".csv":
        return write_text(path, names, [])
    workbook = paper.new_workbook("Hours", shop, day)
    widths = [_WIDTHS.get(name, 12) for name in names]
    sheet = add_text_sheet(workbook, "hours", names, (), widths)
    for column in range(1, len(names) + 1):
        for line in range(2, LINES + 2):
            sheet.cell(line, column).number_format = TEXT
    classes = [kind.replace("_", " ") for kind in CLASSES]
    _offer(workbook, sheet, {"job": jobs, "operation": operations, "class": classes})
    add_notes(workbook, _NOTES)
    return paper.save(workbook, path)


def _offer(workbook: Workbook, sheet: Worksheet, words: Mapping[str, Sequence[str]]) -> None:
    """Offer words in columns; what is not on a list may be written all the same."""
    lists = paper.add_sheet(workbook, "note lists", [30] * len(words))
    names = [column.name for column in COLUMNS]
    for number, (name, offered) in enumerate(words.items(), 1):
        paper.put(lists, 1, number, name, paper.HEADING)
        for line, word in enumerate(offered, 2):
            paper.put(lists, line, number, word)
        letter, target = get_column_letter(number), get_column_letter(names.index(name) + 1)
        place = f"'note lists'!${letter}$2:${letter}${max(2, len(offered) + 1)}"
        offer(sheet, target, place)

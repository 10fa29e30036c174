r"""Published limits and attacks on files: what a cell may hold, and what must stay text.

Sources: OWASP, *CSV Injection* (the risky first characters and the two vectors); Microsoft, *Excel
specifications and limits* (32,767 characters a cell); the openpyxl documentation (sheet names of 1
to 31 characters, none of `/ \ ? * : [ ]`, no apostrophe at either end, unique). That sheet names
are unique whatever their case, and that “History” is reserved, is from memory.
"""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900

from ledger.errors import NotAllowed
from ledger.workbooks.paper import add_sheet, clean_title, new_workbook, put, save
from ledger.workbooks.xlsx import workbook_sheets

DAY = date(2025, 4, 25)


def written(path: Path, *values: Any) -> list[Any]:
    """The cells that a document of these values has when it is opened again."""
    workbook = new_workbook("Test", "Quillhaven Workshop", DAY)
    sheet = add_sheet(workbook, "Sheet", [20])
    for row, value in enumerate(values, 1):
        put(sheet, row, 1, value)
    return [row[0] for row in load_workbook(save(workbook, path)).worksheets[0].iter_rows()]


@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_text_with_a_risky_first_character_stays_text(tmp_path: Path, first: str) -> None:
    """Source: OWASP, *CSV Injection*: = + - @, tab, carriage return and line feed."""
    (cell,) = written(tmp_path / "b.xlsx", f"{first}cmd|' /C calc'!A0")
    assert cell.data_type == "s"
    assert cell.quotePrefix
    assert "cmd|' /C calc'!A0" in cell.value


@pytest.mark.parametrize("vector", ['=1+2";=1+2', "=1+2'\" ;,=1+2"])
def test_the_published_vectors_stay_text(tmp_path: Path, vector: str) -> None:
    """Source: OWASP, *CSV Injection*: the two strings it tests escaping with."""
    (cell,) = written(tmp_path / "b.xlsx", vector)
    assert (cell.value, cell.data_type, cell.quotePrefix) == (vector, "s", True)


def test_harmless_text_is_not_marked_and_negative_numbers_stay_numbers(tmp_path: Path) -> None:
    """Source: OWASP, *CSV Injection*: the remedy is for text cells, not for numbers."""
    cells = written(tmp_path / "b.xlsx", "side [left]", "a = b", -5, Decimal("-0.25"))
    assert [(cell.data_type, bool(cell.quotePrefix)) for cell in cells] == [
        ("s", False), ("s", False), ("n", False), ("n", False),
    ]  # fmt: skip
    assert [cell.value for cell in cells[2:]] == [-5, -0.25]


@pytest.mark.parametrize("text", ["#N/A", "#REF!", "#DIV/0!"])
def test_text_that_looks_like_an_error_stays_text(tmp_path: Path, text: str) -> None:
    """Source: the openpyxl documentation: such strings would become error cells."""
    (cell,) = written(tmp_path / "b.xlsx", text)
    assert (cell.value, cell.data_type) == (text, "s")


def test_a_cell_holds_32767_characters_and_not_one_more(tmp_path: Path) -> None:
    """Source: Microsoft, *Excel specifications and limits*: total number of characters a cell."""
    (cell,) = written(tmp_path / "b.xlsx", "x" * 32_767)
    assert len(cell.value) == 32_767
    with pytest.raises(NotAllowed, match="A text of 32768 characters"):
        written(tmp_path / "c.xlsx", "x" * 32_768)


@pytest.mark.parametrize(
    "name",
    ["a/b", "a\\b", "a?b", "a*b", "a:b", "a[b]", "'a'", "", "   ", "x" * 32, "History", "'"],
)  # fmt: skip
def test_any_name_is_made_a_sheets_name(tmp_path: Path, name: str) -> None:
    """Source: the openpyxl documentation on sheet titles; “History” from memory."""
    title = clean_title(name)
    assert 1 <= len(title) <= 31
    assert not set(title) & set("/\\?*:[]")
    assert not title.startswith("'") and not title.endswith("'")
    assert title.casefold() != "history"


def test_sheets_never_share_a_name_whatever_its_case() -> None:
    """Source: the openpyxl documentation (unique); that case does not count is from memory."""
    taken: list[str] = []
    for _ in range(12):
        taken.append(clean_title("PARTS list of a very long title" if len(taken) % 2 else
                                 "Parts list of a very long title", taken))  # fmt: skip
    assert len({title.casefold() for title in taken}) == 12
    assert all(len(title) <= 31 for title in taken)


@pytest.mark.parametrize(
    ("epoch", "serial"), [(CALENDAR_WINDOWS_1900, 46023), (CALENDAR_MAC_1904, 44561)]
)
def test_a_days_number_is_read_by_the_calendar_of_its_workbook(tmp_path: Path, epoch, serial):
    """The first of 2026 in the calendars of 1900 and 1904: from memory, and counted."""
    workbook = Workbook()
    workbook.epoch = epoch
    workbook.active["A1"] = serial
    workbook.active["A1"].number_format = "yyyy-mm-dd"
    workbook.save(tmp_path / "days.xlsx")
    (table,) = workbook_sheets(tmp_path / "days.xlsx")
    assert [cell.day for line in table.lines for cell in line.cells] == [date(2026, 1, 1)]

"""Workbooks are opened with care, and their cells are read as they were typed."""

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from ledger.errors import BadFile
from ledger.measures.day import DateReader
from ledger.measures.length import Length
from ledger.measures.money import currency
from ledger.workbooks.cells import MOST_PLACES
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import Column
from ledger.workbooks.kinds import SHARE, TEXT, day, quantity, size
from ledger.workbooks.sheets import LARGEST_FILE, open_sheets

QUANTITY = quantity(currency("USD"))

COLUMNS = (Column("id", must=True), Column("value", must=True))


def workbook(path: Path, *values: Any, title: str = "parts", form: str = "") -> Path:
    """A workbook with one row for each value."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = title
    sheet.append(["id", "value"])
    for number, value in enumerate(values, 1):
        sheet.append([f"A{number}", value])
        if form:
            sheet.cell(number + 1, 2).number_format = form
    book.save(path)
    return path


def rows(path: Path, faults: Faults) -> list[GridRow]:
    """The rows of a workbook."""
    return list(rows_of(one_sheet(path, "parts"), COLUMNS, faults))


def read(path: Path, kind: Any) -> list[Any]:
    """The values of a workbook, or its refusal."""
    faults = Faults()
    found = [row.need("value", kind) for row in rows(path, faults)]
    faults.raise_if_any()
    return found


def refusal(path: Path, kind: Any = TEXT) -> list[str]:
    """What is told of a refused workbook."""
    with pytest.raises(BadFile) as caught:
        read(path, kind)
    return [str(fault) for fault in caught.value.faults]


def test_numbers_come_as_they_were_typed(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", 5, 5.0, 0.054, 0.1 + 0.2, 1e-6, "3-1/2", Decimal("2.5"))
    found = [amount.decimal for amount in read(path, QUANTITY)]
    assert found == [Decimal(text) for text in ("5", "5", "0.054", "0.3", "0.000001", "3.5", "2.5")]


def test_lengths_may_be_text_or_number(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", 31.6875, "31-11/16", '31-11/16"', "804.8625 mm")
    assert set(read(path, size("inch"))) == {Length.of(Decimal("31.6875"), "in")}


def test_a_percent_cell_is_a_share(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", 0.06, 1, form="0.0%")
    assert read(path, SHARE) == [Decimal("0.06"), 1]


def test_days_are_read_where_a_day_is_meant(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", date(2025, 4, 24), datetime(2025, 4, 24, 9), "2025-04-24")
    assert read(path, day(DateReader(date(2025, 4, 25)))) == [date(2025, 4, 24)] * 3


def test_a_day_where_a_length_is_meant_is_told_with_what_was_typed(tmp_path: Path) -> None:
    path = workbook(tmp_path / "bed.xlsx", "24", date(2025, 3, 4), title="Parts")
    assert refusal(path, size("inch")) == [
        "bed.xlsx, sheet Parts, cell B3: A spreadsheet made a day of it (2025-03-04; 3/4 was"
        " meant?). Format the cell as text and write it again."
    ]
    assert "made a day of it" in refusal(path, TEXT)[0]


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (time(9, 30), "A spreadsheet made a time of this cell (09:30:00); write it as text."),
        ("#REF!", "This cell shows the error #REF!; write the value."),
        ("x" * 10_001, "This text has 10001 characters; at most 10000 are read."),
        ("many", "“many” is not a quantity"),
        (-3, "“-3” is negative; a quantity is zero or more."),
        (True, "“yes” is not a quantity"),
        (None, "The value is missing; write for example 5 or 3-1/2."),
        ("=1+2", "This cell holds a formula whose value was never saved; open the file in a"),
    ],
)
def test_a_cell_that_cannot_be_read_is_told_with_its_address(
    tmp_path: Path, value: Any, said: str
) -> None:
    told = refusal(workbook(tmp_path / "bed.xlsx", 1, value), QUANTITY)
    assert len(told) == 1
    assert told[0].startswith(f"bed.xlsx, sheet parts, cell B3: {said}")


def test_a_formula_counts_by_the_value_saved_with_it(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", "=1+2")
    saved = rewritten(path, lambda name, text: text.replace(b"<v />", b"<v>3</v>").replace(
        b"<v></v>", b"<v>3</v>"))  # fmt: skip
    assert [amount.decimal for amount in read(saved, QUANTITY)] == [3]


def rewritten(path: Path, change: Callable[[str, bytes], bytes], **more: bytes) -> Path:
    """A workbook whose parts were changed one by one, and to which parts were added."""
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(path) as old,
        zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for entry in old.infolist():
            new.writestr(entry.filename, change(entry.filename, old.read(entry)))
        for name, content in more.items():
            new.writestr(name, content)
    changed = path.with_name("changed.xlsx")
    changed.write_bytes(packed.getvalue())
    return changed


def as_it_was(_name: str, content: bytes) -> bytes:
    """A part unchanged."""
    return content


def test_a_workbook_cut_short_at_any_place_is_refused(tmp_path: Path) -> None:
    content = workbook(tmp_path / "b.xlsx", 1, 2).read_bytes()
    for share in (4, 100, 500, len(content) // 2, len(content) - 30, len(content) - 1):
        cut = tmp_path / "cut.xlsx"
        cut.write_bytes(content[:share])
        assert refusal(cut) == [
            "cut.xlsx: This workbook is damaged or was cut short; save it again as .xlsx."
        ]


def test_a_damaged_part_is_refused(tmp_path: Path) -> None:
    content = bytearray(workbook(tmp_path / "b.xlsx", 1, 2).read_bytes())
    middle = content.find(b"sheet1.xml") + 40
    content[middle : middle + 20] = b"\xff" * 20
    damaged = tmp_path / "damaged.xlsx"
    damaged.write_bytes(bytes(content))
    assert "damaged or was cut short" in refusal(damaged)[0]


def test_a_bomb_is_refused_before_it_unfolds(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", 1)
    steep = rewritten(path, as_it_was, **{"xl/media/a.xml": b"0" * 5_000_000})
    assert refusal(steep) == [
        "changed.xlsx: xl/media/a.xml in this workbook unfolds too far; it is not read."
    ]
    wide = rewritten(path, as_it_was, **{f"xl/a{n}.bin": b"0" * 30_000_000 for n in range(4)})
    assert "unfold to far more" in refusal(wide)[0]
    many = rewritten(path, as_it_was, **{f"xl/a{n}.bin": b"" for n in range(2001)})
    assert "unfold to far more" in refusal(many)[0]


def test_a_document_type_is_refused_because_it_may_unfold_without_end(tmp_path: Path) -> None:
    def laugh(name: str, content: bytes) -> bytes:
        bomb = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]>'
        return content.replace(b"<worksheet", bomb + b"<worksheet", 1)

    told = refusal(rewritten(workbook(tmp_path / "b.xlsx", 1), laugh))
    assert told == [
        "changed.xlsx: xl/worksheets/sheet1.xml in this workbook declares a document type."
    ]


def test_a_cell_far_down_is_told_by_its_address_and_rows_far_to_the_right_are_refused(
    tmp_path: Path,
) -> None:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.append(["id", "value"])
    sheet.cell(1_048_576, 1, "x")
    book.save(tmp_path / "far.xlsx")
    assert refusal(tmp_path / "far.xlsx") == [
        "far.xlsx, sheet Sheet, cell B1048576: The value is missing; write for example a few words."
    ]
    for row in range(2, 3 + MOST_PLACES // 16_384):
        sheet.cell(row, 16_384, "x")
    book.save(tmp_path / "far.xlsx")
    assert "reaches as far as cell XFD" in refusal(tmp_path / "far.xlsx")[0]


def test_other_archives_and_old_workbooks_are_refused(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.xlsx", "w") as archive:
        archive.writestr("letter.txt", "hello")
    assert "This archive is no workbook" in refusal(tmp_path / "a.xlsx")[0]
    (tmp_path / "b.xls").write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 100)
    assert "password-protected" in refusal(tmp_path / "b.xls")[0]
    (tmp_path / "c.xlsx").write_text("id,value\nA,1\n")
    assert "This is no workbook" in refusal(tmp_path / "c.xlsx")[0]
    (tmp_path / "d.xlsx").write_bytes(b"")
    assert "This is no workbook" in refusal(tmp_path / "d.xlsx")[0]


def test_a_workbook_without_its_insides_is_refused(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", 1)
    told = refusal(rewritten(path, lambda name, text: b"<x/>" if "sheet1" in name else text))
    assert told
    told = refusal(rewritten(path, lambda name, text: b"not xml" if "workbook" in name else text))
    assert "cannot be read; save it again" in told[0]


def test_a_file_too_large_is_refused(tmp_path: Path) -> None:
    with (tmp_path / "big.csv").open("wb") as file:
        file.truncate(LARGEST_FILE + 1)
    assert "at most 20 MiB are read" in refusal(tmp_path / "big.csv")[0]


def test_sheets_of_ones_own_notes_are_left_alone(tmp_path: Path) -> None:
    book = Workbook()
    book.worksheets[0].title = "Notes of mine"
    book.worksheets[0].append(["anything"])
    book.create_sheet("parts").append(["id", "value"])
    book.create_sheet("empty")
    book.save(tmp_path / "b.xlsx")
    assert one_sheet(tmp_path / "b.xlsx", "parts").name == "parts"
    assert [s.name for s in open_sheets(tmp_path / "b.xlsx")] == ["Notes of mine", "parts", "empty"]


def test_a_number_in_a_column_of_words_is_read_as_its_digits(tmp_path: Path) -> None:
    assert read(workbook(tmp_path / "b.xlsx", 7, "007"), TEXT) == ["7", "007"]


def test_a_workbook_without_a_sheet_of_cells_is_refused(tmp_path: Path) -> None:
    book = Workbook()
    book.create_chartsheet("chart")
    del book["Sheet"]
    book.save(tmp_path / "chart.xlsx")
    with pytest.raises(BadFile, match=r"chart\.xlsx: .* no sheet"):
        one_sheet(tmp_path / "chart.xlsx")

"""CSV files are taken as people save them, and what is wrong is told with file, line and column."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import BadFile
from ledger.measures.day import DateReader
from ledger.measures.money import currency
from ledger.measures.quantity import Quantity
from ledger.workbooks.cells import LONGEST_TEXT
from ledger.workbooks.grid import (
    MOST_ROWS,
    Faults,
    GridRow,
    named_sheets,
    one_sheet,
    rows_of,
)
from ledger.workbooks.headings import Column
from ledger.workbooks.kinds import TEXT, day, flag, quantity, size, whole
from ledger.workbooks.sheets import open_sheets

QUANTITY = quantity(currency("USD"))

COLUMNS = (
    Column("id", ("mark",), must=True),
    Column("qty", ("quantity",), must=True),
    Column("length"),
    Column("done"),
    Column("note"),
)


def rows(path: Path, faults: Faults | None = None) -> list[GridRow]:
    """The rows of a file under the columns above; faults refuse it."""
    found = faults or Faults()
    read = list(rows_of(one_sheet(path), COLUMNS, found))
    if faults is None:
        found.raise_if_any()
    return read


def read(path: Path) -> list[tuple[str, Quantity]]:
    """Marks and quantities of a file, or its refusal."""
    faults = Faults()
    found = [(r.need("id", TEXT), r.need("qty", QUANTITY)) for r in rows(path, faults)]
    faults.raise_if_any()
    return found


def written(folder: Path, content: str | bytes, name: str = "parts.csv") -> Path:
    """A file of that content."""
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def refusal(path: Path) -> list[str]:
    """What is told of a refused file, line by line."""
    with pytest.raises(BadFile) as caught:
        read(path)
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize(
    "content",
    [
        "id,qty\nA1,2\nB 2,3-1/2\n",
        "\ufeffid,qty\r\nA1,2\r\nB 2,3-1/2\r\n",
        "id;qty\nA1;2\nB 2;3,5\n",
        "id\tqty\nA1\t2\nB 2\t3.5\n",
        "sep=;\nid;qty\nA1;2\nB 2;3,5\n",
        "\n\n Mark , QUANTITY (pieces)\n\nA1,2\n,\nB 2,3½\n",
        '"id","qty"\n"A1","2"\n"B 2","3.5"',
        "ID,qty,Note to self,#\nA1,2,mine,\nB 2,3.5,,x\n",
        "id,qty\nA1,2\nB 2,3.5\n".encode("utf-16"),
    ],
    ids=["plain", "mark", "semicolon", "tab", "sep", "spaces", "quoted", "notes", "utf-16"],
)
def test_the_usual_ways_to_save_a_table_are_all_read(tmp_path: Path, content: str | bytes) -> None:
    got = read(written(tmp_path, content))
    assert got == [("A1", Quantity.of(2)), ("B 2", Quantity(3_500_000))]


def test_windows_letters_are_read(tmp_path: Path) -> None:
    path = written(tmp_path, "id,qty\nTür “A”,1\n".encode("cp1252"))
    assert read(path)[0][0] == "Tür “A”"


@pytest.mark.parametrize(
    "name", ["O'Brien", "שלום", "🪵 oak", "side [left]", "a;b", "=cmd()", "-x"]
)
def test_names_are_kept_as_they_are_written(tmp_path: Path, name: str) -> None:
    assert read(written(tmp_path, f'id,qty\n"{name}",1\n'))[0][0] == name


def test_a_text_over_several_lines_is_one_line_and_counts_on(tmp_path: Path) -> None:
    path = written(tmp_path, 'id,qty\n"tall\r\nside",1\nB,x\n')
    (fault,) = refusal(path)
    assert fault.startswith("parts.csv line 4, column qty: “x” is not a quantity")


def test_every_bad_line_is_told_and_each_cell_of_it(tmp_path: Path) -> None:
    path = written(tmp_path, "id,quantity\nA,1\n,2\nB,\nC,many\n,\nD,1,234\n")
    assert refusal(path) == [
        "parts.csv line 7: This cell has no heading above it; is a separator misplaced?".replace(
            "line 7:", "line 7, column C:"
        ),
        "parts.csv line 3, column id: The id is missing; write for example a few words.",
        "parts.csv line 4, column quantity: The qty is missing; write for example 5 or 3-1/2.",
        "parts.csv line 5, column quantity: “many” is not a quantity; write a quantity such as 5,"
        " 3.1 or 3-1/2, without its unit.",
    ]


@pytest.mark.parametrize(
    ("head", "said"),
    [
        ("id,qty,lenght", "line 1, column lenght: No column is called “lenght”. Nearest: length."),
        ("id,qty,qty", "parts.csv line 1, column qty: The column qty is there twice; keep one"),
        ("id,qty,Quantity", "The column qty is there twice"),
        ("id,length", "parts.csv: The column qty is missing; there is: id, length."),
    ],
)  # fmt: skip
def test_headings_that_cannot_be_matched_are_told(tmp_path: Path, head: str, said: str) -> None:
    assert any(said in line for line in refusal(written(tmp_path, f"{head}\nA,1\n")))


def test_a_missing_column_is_told_once_and_not_again_in_every_row(tmp_path: Path) -> None:
    told = refusal(written(tmp_path, "id,length\nA,1\nB,2\n"))
    assert told == ["parts.csv: The column qty is missing; there is: id, length."]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "It is empty; the first line has the headings id, qty, length, done, note."),
        (b" ,\n\n", "It is empty"),
        (b"id,qty\nA,\x001\n", "This is no text file; save the table as .csv or .xlsx."),
        (b"id,qty\nA,1\x07\n", "qty: This text holds a character that cannot be seen (U+0007)."),
        (b"\xff\xfei\x00d\x00,", "The letters of this file cannot be read; save it as CSV UTF-8."),
        (b"id,qty\n\x81\x8d,1\n", "The letters of this file cannot be read"),
        (b'id,qty\n"A,1\n', "line 2: a quotation mark is opened and never closed"),
        (b'id,qty\n"A"b,1\n', "line 2: a quotation mark inside a text must be doubled"),
        (b"id,qty\n" + b"x" * 10_001 + b",1\n", "column id: This text has 10001 characters"),
        (b"id,qty\n" + b"x" * 200_000 + b",1\n", "line 2: a text is far too long"),
        (b"id,qty\nA,3/4/25 in\n", "column qty: "),
    ],
    ids=[
        "empty", "blank", "nul", "bell", "utf-16", "bytes", "open", "inner", "long", "huge", "unit",
    ],
)  # fmt: skip
def test_a_spoiled_file_is_refused_in_a_sentence(tmp_path: Path, content: bytes, said: str) -> None:
    assert any(said in line for line in refusal(written(tmp_path, content)))


def test_ten_thousand_characters_are_still_read(tmp_path: Path) -> None:
    assert len(read(written(tmp_path, f"id,qty\n{'x' * LONGEST_TEXT},1\n"))[0][0]) == LONGEST_TEXT


@pytest.mark.parametrize("eaten", ["4-Mar", "Mar-04", "03-Apr-2025", "2025-03-04", "3/4/2025"])
def test_a_length_that_a_spreadsheet_made_a_day_of_is_told(tmp_path: Path, eaten: str) -> None:
    path = written(tmp_path, f"id,qty,length\nA,1,{eaten}\n")
    faults = Faults()
    for row in rows(path, faults):
        row.may("length", size("inch"))
    assert [str(fault) for fault in faults.listed] == [
        f"parts.csv line 2, column length: A spreadsheet made a day of it ({eaten}). Format the"
        " cell as text and write it again."
    ]


def test_optional_cells_give_their_default_and_days_and_flags_are_read(tmp_path: Path) -> None:
    path = written(tmp_path, "id,qty,length,done,note\nA,2,,2025-04-24,yes\nB,2,3 ft,,\n")
    first, second = rows(path)

    assert first.may("length", size("inch")) is None
    assert first.need("done", day(DateReader(date(2025, 4, 25)))) == date(2025, 4, 24)
    assert first.may("note", flag(), False) is True
    assert second.may("note", flag(), False) is False
    assert second.may("done", day(DateReader(date(2025, 4, 25))), date(2000, 1, 1)) == date(
        2000, 1, 1
    )
    assert second.need("qty", whole(1, 9)) == 2


def test_a_day_ahead_or_impossible_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, "id,qty,done\nA,1,2025-05-26\nB,1,2025-02-30\nC,1,5/6/2025\n")
    faults = Faults()
    for row in rows(path, faults):
        row.need("done", day(DateReader(date(2025, 4, 25))))
    told = [str(fault) for fault in faults.listed]
    assert "lies after today" in told[0]
    assert "February 2025 has 28 days" in told[1]
    assert "may be 5 June 2025 or 6 May 2025" in told[2]


def test_a_table_of_more_rows_than_are_posted_at_once_is_refused(tmp_path: Path) -> None:
    head, row = "id,qty\n", "A,1\n"
    assert len(read(written(tmp_path, head + row * MOST_ROWS))) == MOST_ROWS
    told = refusal(written(tmp_path, head + row * (MOST_ROWS + 1)))
    assert told == ["parts.csv: It has more than 2000 rows; load it in several parts."]


def test_more_faults_than_anybody_reads_are_not_sought(tmp_path: Path) -> None:
    path = written(tmp_path, "id,qty\n" + "A,x\n" * 500)
    told = refusal(path)
    assert len(told) == 201
    assert told[-1] == "…: and more; mend these first."


def test_a_missing_file_and_a_folder_without_tables_are_told(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none.csv") == [
        "none.csv: There is no such file; check its name and folder."
    ]
    assert "has no CSV files" in refusal(tmp_path)[0]


def test_a_folder_stands_for_a_workbook(tmp_path: Path) -> None:
    written(tmp_path, "id,qty\nA,1\n", "Parts List.csv")
    written(tmp_path, "x\n1\n", "jonts.csv")
    written(tmp_path, "x\n1\n", "notes.csv")
    written(tmp_path, "secret", ".hidden.txt")
    faults = Faults()
    found = named_sheets(tmp_path, {"parts": ("parts list",), "joints": ()}, faults)

    assert list(found) == ["parts"]
    told = [str(f) for f in faults.listed]
    assert told == ["jonts.csv: No table is called “jonts”. Nearest: joints."]


def test_a_table_that_is_there_twice_is_told(tmp_path: Path) -> None:
    written(tmp_path, "id,qty\nA,1\n", "parts.csv")
    written(tmp_path, "id,qty\nA,1\n", "Parts list.csv")
    faults = Faults()
    named_sheets(tmp_path, {"parts": ("parts list",)}, faults)
    assert "The table parts is there twice" in str(faults.listed[0])


def test_several_sheets_need_the_right_name(tmp_path: Path) -> None:
    written(tmp_path, "id\nA\n", "a.csv")
    written(tmp_path, "id\nA\n", "b.csv")
    with pytest.raises(BadFile, match="It has the sheets a, b; name the one to be read “parts”"):
        one_sheet(tmp_path, "parts")
    assert one_sheet(tmp_path, "B").name == "b"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused_in_a_sentence(tmp_path: Path, content: bytes) -> None:
    path = written(tmp_path, content)
    try:
        open_sheets(path)
        read(path)
    except BadFile as refused:
        assert all(fault.sentence and fault.where for fault in refused.faults)

"""Files without end are answered within a few seconds and little memory."""

import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

from ledger.errors import BadFile
from ledger.workbooks.sheets import LARGEST_FILE, open_sheets

sys.path.insert(0, str(Path(__file__).parent))  # this folder is no package
import hostile

SECONDS = 5
MEBIBYTES = 300


def answers(folder: Path, files: Iterable[tuple[str, bytes]], ending: str) -> dict[str, str]:
    """What a program of its own made of the files, none of which took long or much memory."""
    paths = []
    for name, content in files:
        paths.append(folder / f"{name}.{ending}")
        paths[-1].write_bytes(content)
        assert len(content) <= LARGEST_FILE
    program = [sys.executable, hostile.__file__, *map(str, paths)]
    ran = subprocess.run(program, capture_output=True, text=True, timeout=300, check=True)
    *lines, memory = (line.split("\t") for line in ran.stdout.splitlines())
    assert len(lines) == len(paths)
    assert int(memory[0]) < MEBIBYTES
    slow = [line for line in lines if float(line[0]) > SECONDS]
    assert slow == []
    return {Path(name).stem: answer for _, name, answer in lines}


def test_what_is_said_of_a_whole_sheet_is_not_walked(tmp_path: Path) -> None:
    told = answers(tmp_path, hostile.spans(), "xlsx")
    assert set(told.values()) == {"taken: 1 rows"}


def test_a_workbook_without_end_is_refused_or_taken_without_what_holds_no_cells(
    tmp_path: Path,
) -> None:
    told = answers(tmp_path, hostile.workbooks(), "xlsx")
    taken = {name for name, answer in told.items() if answer.startswith("taken")}
    assert taken == {"empty rows", "formulas", "styles"}, told
    sayings = (
        "far more than",
        "more than 100 thousand cells",
        "reaches as far",
        "10 million letters",
    )
    assert [
        answer
        for name, answer in told.items()
        if name not in taken and not any(saying in answer for saying in sayings)
    ] == []


def test_a_text_file_without_end_is_refused(tmp_path: Path) -> None:
    told = answers(tmp_path, hostile.tables(), "csv")
    assert [answer for answer in told.values() if answer.startswith("taken")] == []


@pytest.mark.parametrize("part", ["sheet1", "workbook.xml.rels", "styles"])
def test_a_document_type_is_refused_wherever_it_stands(tmp_path: Path, part: str) -> None:
    parts = hostile.parts_of()
    chosen = next(name for name in parts if part in name)
    head, said, body = parts[chosen].rpartition(b"?>")
    kind = b" " * 9_000 + b'<!DOCTYPE x [<!ENTITY a "ha">]>'
    parts[chosen] = head + said + kind + body
    path = tmp_path / "typed.xlsx"
    path.write_bytes(hostile.packed(parts))
    with pytest.raises(BadFile, match="declares a document type"):
        open_sheets(path)


def test_a_workbook_that_lost_bytes_on_the_way_is_refused(tmp_path: Path) -> None:
    content = hostile.packed(hostile.parts_of())
    path = tmp_path / "lost.xlsx"
    for lost in (1, 7, 300):  # so the first part stands before the beginning of the file
        path.write_bytes(content[:40] + content[40 + lost :])
        with pytest.raises(BadFile, match="damaged or was cut short"):
            open_sheets(path)

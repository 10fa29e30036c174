"""A small workbook that would fill the memory, or keep the machine busy, is refused."""

import io
import os
import resource
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from ledger.errors import BadFile
from ledger.workbooks.sheets import open_sheets
from ledger.workbooks.xlsx import MOST_CELLS, MOST_MARKS, STEEPEST


def bomb(path: Path, part: str, before: bytes, charge: bytes) -> Path:
    """A workbook with a charge in one part, padded so that its steepness does not give it away."""
    book, packed = Workbook(), io.BytesIO()
    book.worksheets[0].append(["id", "A1"])
    book.save(packed)
    padding = b"<!--" + os.urandom(len(charge) // STEEPEST).hex().encode() + b"-->"
    with zipfile.ZipFile(packed) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        parts = {entry.filename: old.read(entry) for entry in old.infolist()}
        parts.setdefault("xl/sharedStrings.xml", b"<sst></sst>")  # it writes texts into their cells
        assert before in parts[part]
        parts[part] = parts[part].replace(before, charge + padding + before)
        for name, content in parts.items():
            new.writestr(name, content)
    return path


@pytest.mark.parametrize(
    ("part", "before", "piece"),
    [
        ("xl/worksheets/sheet1.xml", b"</sheetData>", b"<row><c><v>1</v></c></row>"),
        ("xl/worksheets/sheet1.xml", b"</sheetData>", b"<a>"),
        ("xl/styles.xml", b"</styleSheet>", b"<a/>"),
        ("xl/sharedStrings.xml", b"</sst>", b"<si><t>a</t></si>"),
    ],
    ids=["cells", "depth", "styles", "shared strings"],
)
def test_a_part_with_more_marks_than_a_table_needs_is_refused(
    tmp_path: Path, part: str, before: bytes, piece: bytes
) -> None:
    charge = piece * (1 + MOST_MARKS // piece.count(b"<"))
    path = bomb(tmp_path / "bomb.xlsx", part, before, charge)
    assert path.stat().st_size < 1_000_000
    with pytest.raises(BadFile, match="holds far more than a table needs"):
        open_sheets(path)


def test_many_sheets_share_one_limit_of_marks(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    book = Workbook()
    book.save(path)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        for number in range(2, 1_200):
            filler = b"<x>" * 1_700
            archive.writestr(f"xl/worksheets/sheet{number}.xml", filler)
    with pytest.raises(BadFile, match="holds far more than a table needs"):
        open_sheets(path)


@pytest.mark.parametrize("row", [MOST_CELLS + 1, 1_048_576])
def test_one_cell_far_down_is_refused_before_the_rows_above_it_are_made(
    tmp_path: Path, row: int
) -> None:
    book = Workbook()
    book.worksheets[0].cell(row, 1, "x")
    book.save(tmp_path / "far.xlsx")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(BadFile, match=f"reaches as far as cell A{row}"):
        open_sheets(tmp_path / "far.xlsx")
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 100_000, "kilobytes"


def test_a_workbook_that_lost_bytes_on_the_way_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "b.xlsx"
    Workbook().save(path)
    content = path.read_bytes()
    for lost in (1, 7, 300):  # so the first part stands before the beginning of the file
        path.write_bytes(content[:40] + content[40 + lost :])
        with pytest.raises(BadFile, match="damaged or was cut short"):
            open_sheets(path)

"""Files opened as sheets of plain texts, each cell with its address; no meaning yet.

CSV may be UTF-8 (with or without its mark), UTF-16 or Windows-1252, with commas, semicolons or
tabs. A workbook is checked before it is opened (`xlsx`), and its numbers come as the exact
decimals that were typed. A folder stands for a workbook whose sheets are its CSV files. A file is
read piece by piece and counted meanwhile, so that one of empty cells without end ends too.
"""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TextIO

from ledger.workbooks.cells import CellBudget, CellRow, CellTable, plain_cell, refused

LARGEST_FILE = 20 * 1024 * 1024
LONGEST_ROW = 1_000_000
"""Letters of one row of a CSV file, line ends inside of texts among them."""

_SEPARATORS = ",;\t"
_SAMPLE = 100_000
"""Letters of a file in which its separator is looked for."""

_LOOKED_AT = 30
"""Lines of them: titles may stand above the table."""

_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"


def open_sheets(path: Path) -> tuple[CellTable, ...]:
    """The sheets of a workbook, of one CSV file, or of a folder of CSV files.

    Raises:
        BadFile: the file is missing, damaged, too large or of another kind.

    """
    if is_folder(path):
        files = sorted(p for p in path.iterdir() if p.suffix.lower() == ".csv" and p.is_file())
        if not files:
            raise refused(path, "This folder has no CSV files; write for example parts.csv in it.")
        room = CellBudget(path)
        return tuple(_csv_sheet(file, room) for file in files)
    head = _head(path)
    if head.startswith(b"PK"):
        from ledger.workbooks.xlsx import workbook_sheets

        return workbook_sheets(path)
    if head.startswith(_OLD_WORKBOOK):
        old = "This is an old or password-protected workbook; save it as .xlsx without a password."
        raise refused(path, old)
    if path.suffix.lower() in {".xlsx", ".xlsm"}:
        raise refused(path, "This is no workbook, or it was cut short; save it again as .xlsx.")
    return (_csv_sheet(path, CellBudget(path)),)


def is_folder(path: Path) -> bool:
    """Whether it is a folder; a name that no file can have is none."""
    try:
        return path.is_dir()
    except OSError:  # a name that is too long, for example; reading its head says so
        return False


def _head(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise refused(path, "This is neither a file nor a folder.")
        if size > LARGEST_FILE:
            most = f"{LARGEST_FILE // 1024**2} MiB"
            raise refused(path, f"This file has {size} bytes; at most {most} are read.")
        with path.open("rb") as file:
            return file.read(8)
    except FileNotFoundError:
        raise refused(path, "There is no such file; check its name and folder.") from None
    except OSError as trouble:
        raise refused(path, f"This file cannot be read ({trouble.strerror}).") from trouble


def _csv_sheet(path: Path, room: CellBudget) -> CellTable:
    _head(path)
    content = path.read_bytes()
    encoding = _encoding(path, content)
    try:
        with io.TextIOWrapper(io.BytesIO(content), encoding, newline="") as text:
            separator, skip = _separator(text)
            text.seek(0)
            lines = tuple(_csv_lines(text, separator, skip, room))
    except csv.Error as trouble:
        raise refused(path, f"This file cannot be read as CSV ({trouble}).") from trouble
    return CellTable(path.stem, path.name, is_workbook=False, lines=lines)


def _encoding(path: Path, content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: Sequence[str] = ("utf-16",)
    elif b"\0" in content:
        raise refused(path, "This is no text file; save the table as .csv or .xlsx.")
    else:
        encodings = ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            with io.TextIOWrapper(io.BytesIO(content), encoding) as text:
                while text.read(65_536):
                    pass
        except UnicodeError:
            continue
        return encoding
    raise refused(path, "The letters of this file cannot be read; save it as CSV UTF-8.")


def _csv_lines(text: TextIO, separator: str, skip: int, room: CellBudget) -> Iterator[CellRow]:
    rows = _Rows(text)
    reader = csv.reader(rows, delimiter=separator, strict=True)
    begin = 1
    try:
        for row in reader:
            rows.row_ends()
            if begin > skip:
                cells = tuple(plain_cell(field) for field in row)
                room.line(cells)
                if cells:
                    yield CellRow(begin, cells)
            begin = reader.line_num + 1
    except csv.Error as trouble:
        raise csv.Error(f"line {begin}: {_in_words(str(trouble))}") from trouble


class _Rows:
    """The lines of a file, for as long as one row does not go on without end."""

    def __init__(self, text: TextIO) -> None:
        self.text = text
        self.letters = 0

    def row_ends(self) -> None:
        """Count the letters of the next row from zero."""
        self.letters = 0

    def __iter__(self) -> Iterator[str]:
        """Each line with its end."""
        while line := self.text.readline(LONGEST_ROW + 1):
            self.letters += len(line)
            if self.letters > LONGEST_ROW:
                raise csv.Error("a row has no end; is a quotation mark opened and never closed?")
            yield line


def _in_words(trouble: str) -> str:
    if "unexpected end" in trouble:
        return "a quotation mark is opened and never closed"
    if "expected after" in trouble:
        return "a quotation mark inside a text must be doubled"
    return "a text is far too long" if "field larger" in trouble else trouble


def _separator(text: TextIO) -> tuple[str, int]:
    """The mark that parts most of the first lines into the same number of columns.

    Where the file names it itself, in a line of its own, that line is not read: 1, else 0.
    """
    first = text.readline(LONGEST_ROW)
    if first[:4].lower() == "sep=" and first[4:5] and first[4] in _SEPARATORS:
        return first[4], 1
    outside = re.sub(r'"[^"]*"', "", first + text.read(_SAMPLE))
    lines = [line for line in outside.splitlines() if line.strip(f"{_SEPARATORS} ")][:_LOOKED_AT]

    def agreement(mark: str) -> tuple[int, int]:
        counts = Counter(line.count(mark) for line in lines if mark in line)
        return max(((often, count) for count, often in counts.items()), default=(0, 0))

    return max(_SEPARATORS, key=agreement), 0

"""Files opened as sheets of plain texts, each cell with its address; no meaning yet.

CSV may be UTF-8 (with or without its mark), UTF-16 or Windows-1252, with commas, semicolons or
tabs. A workbook is checked before it is opened (`xlsx`), and its numbers come as the exact
decimals that were typed. A folder stands for a workbook whose sheets are its CSV files.
"""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from ledger.workbooks.cells import Line, Sheet, plain_cell, refused

LARGEST_FILE = 20_000_000
_SEPARATORS = ",;\t"
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"


def open_sheets(path: Path) -> tuple[Sheet, ...]:
    """The sheets of a workbook, of one CSV file, or of a folder of CSV files.

    Raises:
        BadFile: the file is missing, damaged, too large or of another kind.

    """
    if _is_folder(path):
        files = sorted(p for p in path.iterdir() if p.suffix.lower() == ".csv" and p.is_file())
        if not files:
            raise refused(path, "This folder has no CSV files; write for example parts.csv in it.")
        return tuple(_csv_sheet(file) for file in files)
    head = _head(path)
    if head.startswith(b"PK"):
        from ledger.workbooks.xlsx import workbook_sheets

        return workbook_sheets(path)
    if head.startswith(_OLD_WORKBOOK):
        old = "This is an old or password-protected workbook; save it as .xlsx without a password."
        raise refused(path, old)
    if path.suffix.lower() in {".xlsx", ".xlsm"}:
        raise refused(path, "This is no workbook, or it was cut short; save it again as .xlsx.")
    return (_csv_sheet(path),)


def _is_folder(path: Path) -> bool:
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
            million = f"{LARGEST_FILE // 1_000_000} million"
            raise refused(path, f"This file has {size} bytes; at most {million} are read.")
        with path.open("rb") as file:
            return file.read(8)
    except FileNotFoundError:
        raise refused(path, "There is no such file; check its name and folder.") from None
    except OSError as trouble:
        raise refused(path, f"This file cannot be read ({trouble.strerror}).") from trouble


def _csv_sheet(path: Path) -> Sheet:
    _head(path)
    text = _decoded(path)
    try:
        lines = tuple(_csv_lines(text))
    except csv.Error as trouble:
        raise refused(path, f"This file cannot be read as CSV ({trouble}).") from trouble
    return Sheet(path.stem, path.name, is_workbook=False, lines=lines)


def _decoded(path: Path) -> str:
    content = path.read_bytes()
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: Sequence[str] = ("utf-16",)
    elif b"\0" in content:
        raise refused(path, "This is no text file; save the table as .csv or .xlsx.")
    else:
        encodings = ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise refused(path, "The letters of this file cannot be read; save it as CSV UTF-8.")


def _csv_lines(text: str) -> Iterator[Line]:
    separator = _separator(text)
    skip = 1 if text[:4].lower() == "sep=" else 0
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    begin = 1
    try:
        for row in reader:
            if begin > skip:
                yield Line(begin, tuple(plain_cell(field) for field in row))
            begin = reader.line_num + 1
    except csv.Error as trouble:
        raise csv.Error(f"line {begin}: {_in_words(str(trouble))}") from trouble


def _in_words(trouble: str) -> str:
    if "unexpected end" in trouble:
        return "a quotation mark is opened and never closed"
    if "expected after" in trouble:
        return "a quotation mark inside a text must be doubled"
    return "a text is far too long" if "field larger" in trouble else trouble


def _separator(text: str) -> str:
    """The mark that parts the first line that says anything into most columns."""
    if text[:4].lower() == "sep=" and text[4:5] and text[4] in _SEPARATORS:
        return text[4]
    first = next((line for line in text.splitlines() if line.strip(" ,;\t")), "")
    outside = re.sub(r'"[^"]*"', "", first)
    return max(_SEPARATORS, key=outside.count)

"""Workbooks and CSV files as nobody means them: small, and without end for whoever walks them.

`workbooks` and `tables` give each file's name and content; everything in them stays the same from
run to run. Run as a program, it reads the files that are named and prints for each the seconds of
the processor it took and what came of it, and at last the most memory that was ever in use.
"""

import io
import random
import sys
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path

from openpyxl import Workbook

SHEET = "xl/worksheets/sheet1.xml"
STRINGS = "xl/sharedStrings.xml"
MILLION = 1_000_000


def parts_of(*rows: list[str]) -> dict[str, bytes]:
    """The parts of a small workbook that is right, with shared strings of its own."""
    book, packed = Workbook(), io.BytesIO()
    for row in rows or [["code", "name"]]:
        book.worksheets[0].append(row)
    book.save(packed)
    with zipfile.ZipFile(packed) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    links = "xl/_rels/workbook.xml.rels"
    strings = b'<Relationship Id="rS" Type="/sharedStrings" Target="/%s"/>' % STRINGS.encode()
    parts[links] = parts[links].replace(b"</Relationships>", strings + b"</Relationships>")
    parts[STRINGS] = b"<sst></sst>"
    return parts


def packed(parts: dict[str, bytes]) -> bytes:
    """A workbook of those parts."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return file.getvalue()


def noise(length: int) -> bytes:
    """A comment that cannot be packed small, so that its part is not steep."""
    comments = random.Random(length).randbytes(length // 2).hex()
    return b"".join(
        b"<!--" + comments[at : at + 400_000].encode() + b"-->"
        for at in range(0, len(comments), 400_000)
    )


def changed(part: str, mark: bytes, charge: bytes, *, before: bool = True) -> bytes:
    """A workbook with a charge before (or after) a mark of one part."""
    parts = parts_of()
    assert mark in parts[part]
    padded = charge + noise(len(charge) // 60)
    parts[part] = parts[part].replace(mark, padded + mark if before else mark + padded, 1)
    return packed(parts)


def in_rows(charge: bytes) -> bytes:
    """A workbook with a charge among its rows."""
    return changed(SHEET, b"</sheetData>", charge)


def after_rows(charge: bytes) -> bytes:
    """A workbook with a charge behind its rows."""
    return changed(SHEET, b"</sheetData>", charge, before=False)


def spans() -> Iterator[tuple[str, bytes]]:
    """Small files that say something of a whole sheet, as a spreadsheet program writes them."""
    whole = b"A1:XFD1048576"
    merge = b'<mergeCells count="1"><mergeCell ref="%s"/></mergeCells>'
    link = b'<hyperlinks><hyperlink ref="%s" location="x"/></hyperlinks>'
    rule = (
        b'<conditionalFormatting sqref="%s"><cfRule type="expression" priority="1">'
        b"<formula>1</formula></cfRule></conditionalFormatting>"
    )
    choice = (
        b'<dataValidations count="1"><dataValidation sqref="%s" type="list"><formula1>1</formula1>'
        b"</dataValidation></dataValidations>"
    )
    yield "merged", after_rows(merge % whole)
    yield "merged in part", after_rows(merge % b"A3:IP1000")
    yield "linked", after_rows(link % whole)
    yield "formatted", after_rows(rule % whole)
    rows = b" ".join(b"A%d:XFD%d" % (row, row) for row in range(1, 40_000))
    yield "chosen from", after_rows(choice % rows)
    columns = b'<cols><col min="1" max="16384" width="9"/></cols>'
    yield "columns", changed(SHEET, b"<sheetData>", columns)
    name = b'<definedNames><definedName name="_xlnm.Print_Area" localSheetId="0">Sheet!%s'
    area = name % b"$A$1:$XFD$1048576</definedName></definedNames>"
    yield "print area", changed("xl/workbook.xml", b"</sheets>", area, before=False)


def workbooks() -> Iterator[tuple[str, bytes]]:
    """Large or nested beyond measure, wherever that is."""
    yield "cells", in_rows(b"<row>" + b"<c><v>1</v></c>" * 400_000 + b"</row>")
    yield "empty rows", in_rows(b"<row/>" * 990_000)
    far = b'<row r="%d"><c r="XFD%d" t="str"><v>x</v></c></row>'
    yield "far out", in_rows(b"".join(far % (row, row) for row in range(2, 60_000)))
    formula = b'<f t="shared" si="0" ref="A2:A9">' + b"+".join([b"A1"] * 4_000) + b"</f><v>1</v>"
    same = b'<row r="%d"><c r="A%d"><f t="shared" si="0"/><v>1</v></c></row>'
    rows = b"".join(same % (row, row) for row in range(3, 60_000))
    yield "formulas", in_rows(b'<row r="2"><c r="A2">' + formula + b"</c></row>" + rows)
    names = b" ".join(b'a%d=""' % number for number in range(MILLION))
    yield "attributes", in_rows(b"<row " + names + b"/>")
    yield "names", in_rows(b"".join(b"<x%d/>" % number for number in range(MILLION)))
    spaces = b"".join(b'<x xmlns:a%d="u"/>' % number for number in range(400_000))
    yield "namespaces", in_rows(spaces)
    yield "depth", in_rows(b"<a>" * MILLION)
    yield "comment", in_rows(b"<!--" + b"x" * 30 * MILLION + b"-->")
    text = b'<row><c t="str"><v>%s</v></c></row>'
    yield "text", in_rows(text % ("\U0001f600".encode() * 8 * MILLION))
    yield "texts", in_rows(text % (b"x" * 9_999) * 4_000)
    runs = (b"<r><t>" + b"x" * 1_000 + b"</t></r>") * 30_000
    yield "runs", in_rows(b'<row><c t="inlineStr"><is>' + runs + b"</is></c></row>")
    yield "strings", changed(STRINGS, b"</sst>", b"<si><t>y</t></si>" * 300_000)
    yield "styles", changed("xl/styles.xml", b"</cellXfs>", b"<xf/>" * 990_000)
    parts = parts_of()
    parts[STRINGS] = b"<sst><si><t>" + b"y" * 9_999 + b"</t></si></sst>"
    shared = b"<row>" + b'<c t="s"><v>0</v></c>' * 90_000 + b"</row>" + noise(MILLION // 10)
    parts[SHEET] = parts[SHEET].replace(b"</sheetData>", shared + b"</sheetData>")
    yield "one string", packed(parts)
    yield "sheets of one part", _one_part_often()
    yield "part of another name", _otherwise_named()
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for number in range(100_000):
            archive.writestr(f"a{number}", b"")
    yield "entries", file.getvalue()


def _one_part_often() -> bytes:
    parts = parts_of()
    sheet = b'<sheet name="s%d" sheetId="7" r:id="rId1" xmlns:r="r"/>'
    more = b"".join(sheet % number for number in range(2_000))
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b"</sheets>", more + b"</sheets>")
    rows = b"<row><c><v>1</v></c></row>" * 50_000 + noise(100_000)
    parts[SHEET] = parts[SHEET].replace(b"</sheetData>", rows + b"</sheetData>")
    return packed(parts)


def _otherwise_named() -> bytes:
    parts = parts_of()
    for name in ("[Content_Types].xml", "xl/_rels/workbook.xml.rels"):
        parts[name] = parts[name].replace(b"sheet1.xml", b"sheet1.bin")
    rows = b"<row><c><v>1</v></c></row>" * 300_000 + noise(200_000)
    filled = parts.pop(SHEET).replace(b"</sheetData>", rows + b"</sheetData>")
    return packed(parts | {"xl/worksheets/sheet1.bin": filled})


def tables() -> Iterator[tuple[str, bytes]]:
    """CSV files of the largest size that is read."""
    yield "commas", b"," * 20 * MILLION
    yield "lines", b"a\n" + b"\n" * 20 * MILLION
    yield "headings", b",".join(b"h%d" % number for number in range(MILLION)) + b"\n1"
    yield "one word", b"a" * 20 * MILLION
    yield "wide letters", "\U0001f600".encode() * 5 * MILLION
    yield "quotes", b'"' * 20 * MILLION
    yield "open quote", b'a,b\n"' + b"x\n" * 10 * MILLION
    yield "texts over lines", b'xx,"\n",' * (2_500 * 1_000)
    yield "separators", b";,\t" * 6 * MILLION
    yield "cells", b"a,b\n\xe9" + b"x,y\n" * 4 * MILLION
    yield "two bytes a letter", b"\xff\xfe" + ("a,b\n" * 2 * MILLION).encode("utf-16-le")
    yield "long cells", b"a\n" + (b"x" * 9_999 + b"\n") * 2_000


def _main(paths: list[Path]) -> None:
    from ledger.errors import LedgerError
    from ledger.workbooks.sheets import open_sheets

    for path in paths:
        begun = time.process_time()
        try:
            answer = f"taken: {sum(len(sheet.lines) for sheet in open_sheets(path))} rows"
        except LedgerError as refusal:
            answer = str(refusal).splitlines()[-1].strip()
        seconds = time.process_time() - begun
        sys.stdout.write(f"{seconds:.2f}\t{path.name}\t{answer[:200]}\n")
    memory = Path("/proc/self/status").read_text().partition("VmHWM:")[2].split()[0]
    sys.stdout.write(f"{int(memory) // 1024}\tMiB\n")


if __name__ == "__main__":
    _main([Path(name) for name in sys.argv[1:]])

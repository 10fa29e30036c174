"""Right tables and files spoiled in ways that people, programs and networks spoil them."""

import copy
import csv
import io
import zipfile
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from typing import Any

from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.utils.exceptions import IllegalCharacterError

type Rows = list[list[Any]]
type Tables = dict[str, Rows]
type Files = dict[str, bytes]

HOSTILE = (
    "", " ", "0", "-0", "-1", "1e9", "1E400", "NaN", "inf", "9" * 30, "9" * 400,
    "0." + "0" * 50 + "1", "3/4", "1/0", "0/0", "24-1/2", "24 1/2\"", "1-2-3", "12 ft 6 in",
    "5 furlong", "1.2.3", "1,234.50", "12.345", "٣", "½", "²", "①", "50 %", "1000 %", "-5 %",
    "2025-02-30", "2099-01-01", "0001-01-01", "9999-12-31", "3-Apr", "25:61", "1h99", "yes", "no",
    "=cmd()", "+1", "@x", "[red]x[/red]", "\\", "'", "\"", "x" * 300, "\u202eabc", "👍🏽",
    "e\u0301", "\u0130", "ß", "a\x00b", "\x1b[31m", "\ud800", "{width}", "a+b", "a*", "((((1))))",
    "(" * 300, "2**9", "9" * 40 + "*" + "9" * 40, "min()", "min(1,2", "round(1/3)",
    "mattress_width", "mattress_width/0", "floor(1 in)", "J-2507", "PLY34", "PLY", "R-102",
    "../../x", "L1 L1", "all round", "none", "each", "sheet", "ft", "owner, helper", "owner,",
    "rework",
)  # fmt: skip
"""Texts that a cell may hold and should not, and some that are right in another cell."""

_OBJECTS = (
    0, 1, -1, 10**15, 0.1, 1e-300, 1e300, True, False, None, date(2025, 3, 4), datetime(1900, 1, 1),
    datetime(9999, 12, 31, 23, 59), time(9, 30), "=1+2", "=A1", "#REF!", "=\"a\"",
)  # fmt: skip
"""What else a cell of a workbook may hold."""

texts = st.one_of(st.sampled_from(HOSTILE), st.text(max_size=8), st.integers().map(str))
objects = st.one_of(st.sampled_from(_OBJECTS), texts)
places = st.integers(0, 10_000)
_EDITS = ("cell", "cell", "cell", "drop row", "twice row", "drop column", "twice column", "add row",
          "heading", "empty", "swap")  # fmt: skip


def edits(cells: st.SearchStrategy[Any]) -> st.SearchStrategy[list[tuple[Any, ...]]]:
    """A few changes to tables: what, in which table, row and column, and a cell."""
    one = st.tuples(st.sampled_from(_EDITS), places, places, places, cells)
    return st.lists(one, min_size=1, max_size=4)


def edited(tables: Tables, changes: Sequence[tuple[Any, ...]]) -> Tables:
    """The tables with those changes made."""
    made = {name: [list(row) for row in rows] for name, rows in tables.items()}
    for what, table, line, column, cell in changes:
        rows = made[sorted(made)[table % len(made)]]
        if rows:
            _edit(rows, what, (line % len(rows), column), cell)
    return made


def _edit(rows: Rows, what: str, place: tuple[int, int], cell: Any) -> None:
    line = place[0]
    column = place[1] % max(1, len(rows[line]))
    if what == "cell":
        rows[line][column : column + 1] = [cell]
    elif what == "heading":
        rows[0][column : column + 1] = [cell]
    elif what == "drop row":
        del rows[line]
    elif what == "twice row":
        rows.append(list(rows[line]))
    elif what == "add row":
        rows.insert(line, [cell] * (1 + place[1] % 30))
    elif what == "swap":
        rows[line], rows[-1] = rows[-1], rows[line]
    elif what == "empty":
        rows[line] = []
    else:
        for row in rows:
            row[column : column + 1] = [] if what == "drop column" else row[column : column + 1] * 2


def as_csv(tables: Tables) -> Files:
    """The tables as CSV files."""
    files = {}
    for name, rows in tables.items():
        text = io.StringIO()
        csv.writer(text).writerows(rows)
        files[f"{name}.csv"] = text.getvalue().encode("utf-8", "surrogatepass")
    return files


def as_workbook(tables: Tables) -> bytes:
    """The tables as the sheets of a workbook; what no workbook can hold is left out of it."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for name, rows in tables.items():
        sheet = workbook.create_sheet(name)
        for line, row in enumerate(rows, 1):
            for column, value in enumerate(row, 1):
                _put(sheet.cell(line, column), value)
    packed = io.BytesIO()
    workbook.save(packed)
    return packed.getvalue()


def _put(cell: Any, value: Any) -> None:
    try:
        value.encode() if isinstance(value, str) else None
        cell.value = value
    except (ValueError, IllegalCharacterError):  # control characters, lone surrogates
        cell.value = "left out"


def filled(template: bytes, rows: Rows) -> bytes:
    """A workbook of the program's own with rows written below the headings of its first sheet."""
    workbook = load_workbook(io.BytesIO(template))
    for line, row in enumerate(rows, 2):
        for column, value in enumerate(row, 1):
            _put(workbook.worksheets[0].cell(line, column), value)
    packed = io.BytesIO()
    workbook.save(packed)
    return packed.getvalue()


byte_edits = st.lists(
    st.tuples(
        st.sampled_from(("put", "insert", "drop", "twice", "cut")), places, st.binary(max_size=6)
    ),
    min_size=1,
    max_size=4,
)


def spoiled(content: bytes, changes: Sequence[tuple[str, int, bytes]]) -> bytes:
    """Bytes with some replaced, put in, left out, doubled or all cut off from a place on."""
    for what, place, some in changes:
        at = place * (len(content) + 1) // 10_001
        end = at + len(some)
        middle = {"put": some, "insert": some + content[at:end], "drop": b"",
                  "twice": content[at : at + 40] * 2, "cut": b""}[what]  # fmt: skip
        rest = {"twice": content[at + 40 :], "cut": b""}.get(what, content[end:])
        content = content[:at] + middle + rest
    return content


def repacked(workbook: bytes, part: int, changes: Sequence[tuple[str, int, bytes]]) -> bytes:
    """A workbook one of whose parts is spoiled, packed again without a fault in the archive."""
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook)) as old,
        zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        names = old.namelist()
        for name in names:
            content = old.read(name)
            chosen = name == names[part % len(names)]
            new.writestr(name, spoiled(content, changes) if chosen else content)
    return packed.getvalue()


_json_values = st.sampled_from(
    (None, True, -1, 10**30, 1.5, float("inf"), "", "x", "9" * 5_000, "1e5", "-0.5", "1/0", [], {},
     [[]], {"a": 1}, "2025-02-30", "ten", "\ud800")
)  # fmt: skip
json_edits = st.lists(
    st.tuples(st.sampled_from(("put", "drop", "twice")), places, _json_values),
    min_size=1,
    max_size=3,
)


def json_edited(said: Any, changes: Sequence[tuple[str, int, Any]]) -> Any:
    """Plain values with some of them replaced, left out or doubled."""
    whole = {"": said}
    for what, place, value in changes:
        holders = list(_holders(whole))
        holder, key = holders[place % len(holders)]
        if what == "drop" and holder is not whole:
            del holder[key]
        elif what == "twice" and isinstance(holder, list):
            holder.append(copy.deepcopy(holder[key]))
        else:
            holder[key] = copy.deepcopy(value)
    return whole.get("")


def _holders(said: Any) -> Any:
    keys = list(said) if isinstance(said, Mapping) else range(len(said))
    for key in keys:
        yield said, key
        if isinstance(said[key], dict | list):
            yield from _holders(said[key])

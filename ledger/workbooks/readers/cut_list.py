"""A plain cut list, as any drawing program writes it: name, count, sizes, thickness, material."""

import re
from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

from ledger.designs.model import GRAINS
from ledger.designs.row import MOST_PIECES
from ledger.measures.length import LONGEST_SIZE, Length
from ledger.measures.values import replace
from ledger.workbooks.grid import Faults, GridRow, is_note, one_sheet, rows_of
from ledger.workbooks.headings import columns_of, fold
from ledger.workbooks.kinds import MARK, TEXT, choice, size, whole
from ledger.workbooks.readers.design_tables import EDGES, TABLES
from ledger.workbooks.sheets import is_folder, open_sheets

COLUMNS = columns_of(
    "id; name; quantity*; length*; width*; thickness; material; grain; banded; "
    "faces = faces fin., finished faces; note"
)
_LONGEST = {"inch": Length.of(200, "in"), "mm": LONGEST_SIZE}
"""A bare number of inches beyond this is of millimeters: no board is 16 ft long."""

_MOST = {"inch": "mm", "mm": "inch"}
_SHORTEST = Length.of(130, "mm")
_TURNS = {"no": "any", "none": "any", "any": "any", "may turn": "any", "free": "any",
          "length": "length", "long": "length", "l": "length", "yes": "length", "along": "length",
          "vertical": "length"}  # fmt: skip


class CutListRow(Struct, frozen=True):
    """One line of a cut list; `where` is the cell that names its material."""

    id: str
    name: str
    quantity: int
    length: Length
    width: Length
    thickness: Length | None
    material: str
    grain: str
    banded: tuple[str, ...]
    faces: int | None
    note: str
    where: str


class CutList(Struct, frozen=True):
    """The lines of a cut list, and what was taken where it says nothing."""

    rows: tuple[CutListRow, ...]
    notes: tuple[str, ...]


def is_cut_list(path: Path) -> bool:
    """Whether a file holds one plain table rather than the tables of a design.

    Raises:
        BadFile: it cannot be read.
    """
    if is_folder(path):
        return False
    known = {fold(word) for name, others in TABLES.items() for word in (name, *others)}
    sheets = [one for one in open_sheets(path) if one.lines and not is_note(one.name)]
    return len(sheets) == 1 and fold(sheets[0].name) not in known - {fold("parts")}


def read_cut_list(path: Path, units: str, named: Mapping[str, str] | None = None) -> CutList:
    """Read a cut list; `units` is what a bare length means.

    Raises:
        BadFile: with everything that is wrong in it.

    """
    faults = Faults(named)
    sheet = one_sheet(path, "parts")
    lines = list(rows_of(sheet, COLUMNS, faults))
    read = [_row(line, number, units) for number, line in enumerate(lines, 1)]
    if lines and not faults.listed:
        _refuse_other_unit(lines, read, units)
    elif not lines and not faults.listed:
        faults.add(path.name, "It lists no parts; write one line for each part.")
    faults.raise_if_any()
    notes = []
    if lines and "grain" not in lines[0].columns:
        notes.append("The list says no grain: every part keeps its length along the grain.")
    rows, doubled = _with_own_ids(read)
    if doubled:
        notes.append(f"Ids that stood twice got a number: {', '.join(doubled[:5])}.")
    return CutList(rows, tuple(notes))


def _row(row: GridRow, number: int, units: str) -> CutListRow:
    return CutListRow(
        id=row.may("id", MARK, "") or f"P{number}",
        name=row.may("name", TEXT, ""),
        quantity=row.need("quantity", whole(1, MOST_PIECES)),
        length=row.need("length", size(units)),
        width=row.need("width", size(units)),
        thickness=row.may("thickness", size(units)),
        material=row.may("material", TEXT, ""),
        grain=row.may("grain", choice("grain", _TURNS | {word: word for word in GRAINS}), "length"),
        banded=row.may("banded", EDGES, ()),
        faces=row.may("faces", whole(0, 2)),
        note=row.text("note"),
        where=row.where("material") if "material" in row.columns else row.where("length"),
    )


def _refuse_other_unit(lines: list[GridRow], rows: list[CutListRow], units: str) -> None:
    """Refuse bare numbers that are of the other unit by their size."""
    faults = lines[0].faults
    longest = max(rows, key=lambda row: row.length)
    line = lines[rows.index(longest)]
    if not _BARE.fullmatch(line.written("length")):
        return
    is_beyond = longest.length > _LONGEST[units]
    is_tiny = units == "mm" and longest.length < _SHORTEST
    if is_beyond or is_tiny:
        other = _MOST[units]
        cell = line.written("length")
        faults.add(
            line.where("length"),
            f"The longest part is {cell}, and bare numbers are {units} here; if they are {other},"
            f" say so: --units {other}.",
        )


_BARE = re.compile(r"[0-9.,/ ½¼¾⅛⅜⅝⅞-]+")


def _with_own_ids(rows: list[CutListRow]) -> tuple[tuple[CutListRow, ...], list[str]]:
    """The rows with an id each; a second row of an id gets a number behind it."""
    seen: dict[str, int] = {}
    result, doubled = [], []
    for row in rows:
        key = row.id.casefold()
        seen[key] = seen.get(key, 0) + 1
        if seen[key] > 1:
            doubled.append(f"{row.id}-{seen[key]}")
            row = replace(row, id=doubled[-1])
            seen.setdefault(row.id.casefold(), 1)
        result.append(row)
    return tuple(result), doubled

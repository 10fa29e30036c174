"""A plain list of parts: for a layout without a book, or as the design of a single job."""

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

from ledger.designs.build import flaws_of
from ledger.designs.model import GRAINS, Design
from ledger.designs.row import MOST_PIECES
from ledger.measures.length import Length
from ledger.workbooks.grid import Faults, one_sheet, rows_of
from ledger.workbooks.headings import columns_of
from ledger.workbooks.kinds import MARK, choice, size, whole
from ledger.workbooks.readers.design import make_row, tell_flaw
from ledger.workbooks.readers.design_tables import COLUMNS as DESIGN_COLUMNS

COLUMNS = columns_of(
    "id* = mark; qty* = quantity, pieces, count; length* = l; width* = w; grain; "
    "part = name, description; material"
)


class PartRow(Struct, frozen=True):
    """One line of a parts list; `grain` is `length` (stays along the sheet) or `any` (may turn)."""

    id: str
    quantity: int
    length: Length
    width: Length
    grain: str = "length"
    name: str = ""
    material: str = ""


def read_parts(
    path: Path, units: str | None, named: Mapping[str, str] | None = None
) -> tuple[PartRow, ...]:
    """Read a parts list; `units` is what a bare length means, None where each must have its unit.

    Raises:
        BadFile: with everything that is wrong in it.

    """
    faults = Faults(named)
    read: list[PartRow] = []
    seen: set[str] = set()
    for row in rows_of(one_sheet(path, "parts"), COLUMNS, faults):
        mark = row.need("id", MARK)
        if mark and mark.casefold() in seen:
            row.fault("id", f"{mark} stands twice; each id has one line.")
        seen.add(mark.casefold())
        part = PartRow(
            id=mark,
            quantity=row.need("qty", whole(1, MOST_PIECES)),
            length=row.need("length", size(units)),
            width=row.need("width", size(units)),
            grain=row.may("grain", choice("grain", GRAINS), "length"),
            name=row.text("part"),
            material=row.text("material"),
        )
        read.append(part)
    if not read and not faults.listed:
        faults.add(path.name, "It lists no parts; write one line for each part.")
    faults.raise_if_any()
    return tuple(read)


def read_parts_design(
    path: Path, name: str, title: str, units: str, named: Mapping[str, str] | None = None
) -> Design:
    """Read a parts list, with the columns of a design's, as a design without parameters.

    Raises:
        BadFile: with everything that is wrong in it.

    """
    faults = Faults(named)
    rows = list(rows_of(one_sheet(path, "parts"), DESIGN_COLUMNS["parts"], faults))
    if not rows:
        faults.raise_if_any()  # what is wrong with the table says it all
    design = Design(name, title, units, parts=tuple(make_row("parts", row) for row in rows))
    for flaw in flaws_of(design):
        if flaw.row < len(rows):
            tell_flaw(rows[flaw.row], flaw)
        else:
            faults.add(path.name, flaw.sentence)
    faults.raise_if_any()
    return design

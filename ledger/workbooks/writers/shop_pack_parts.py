"""What the pages of a shop pack share: the job, its units, and every part with its place."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from openpyxl import Workbook
from openpyxl.worksheet.pagebreak import Break

from ledger.costing.lumber import board_plans
from ledger.costing.needs import needs_of
from ledger.costing.sheet import CostSheet
from ledger.costing.taken import piece_of
from ledger.cutting.boards import BoardPlan
from ledger.cutting.layout import LaidSheet
from ledger.designs.built import BuiltPart
from ledger.designs.edges import show_edges
from ledger.jobs.assembling import Assembled
from ledger.jobs.plans import MaterialLayout
from ledger.measures.length import Length, show_length
from ledger.measures.rounding import trimmed
from ledger.workbooks.paper import add_sheet
from ledger.workbooks.writers.rows import HEADING_ROW, Rows

BOX = "☐"
"""A box to tick."""

SMALL = 10
"""The size of what is written in a shop pack."""

ROOM, TALL_ROOM = 500, 680
"""Points of rows that a landscape and an upright page hold."""


@dataclass(frozen=True)
class Pack:
    """A job as its shop pack tells it: the cost sheet's hours and lines, parts and plans."""

    sheet: CostSheet
    made: Assembled
    reach: Length | None = None
    kerf: Length | None = None

    @cached_property
    def boards(self) -> dict[str, BoardPlan]:
        """The rough boards with the solid parts on them; none where no saw is told."""
        if self.kerf is None:
            return {}
        return board_plans(self.made.build, self.made.materials, self.kerf)

    @cached_property
    def parts(self) -> dict[str, BuiltPart]:
        """The parts by their id."""
        return {part.id: part for part in self.made.build.parts}

    def need(self, material: str) -> str:
        """Why a material is needed and how much of it, all its lines together."""
        lines = [line for line in self.sheet.lines if line.item == material]
        basis = "; ".join(line.basis for line in lines)
        take = [f"{trimmed(n.quantity.decimal):f} {n.unit}" for n in needs_of(lines)]
        return f"{basis}: take {', '.join(take)}."

    def show(self, length_nm: int) -> str:
        """A length in the book's fractions or millimeters, without its unit."""
        return show_length(Length(length_nm), self.sheet.units)

    def show_unit(self, length_nm: int) -> str:
        """A length with its unit."""
        return show_length(Length(length_nm), self.sheet.units, suffix=True)

    def size(self, length_nm: int, width_nm: int) -> str:
        """Length × width, with the unit at the end."""
        return f"{self.show(length_nm)} × {self.show_unit(width_nm)}"

    def rows(
        self, workbook: Workbook, title: str, widths: tuple[float, ...], note: str = "",
        *, landscape: bool = False, headings: bool = False,
    ) -> Rows:  # fmt: skip
        """A page of the pack with its title; with `headings` row 3 stays in sight."""
        page = add_sheet(
            workbook, title, widths, landscape=landscape, headings=HEADING_ROW if headings else 0,
            letter=self.sheet.units == "inch",
        )  # fmt: skip
        rows = Rows(page, widths)
        rows.title(f"{self.sheet.job} {self.sheet.title}: {title.casefold()}", note)
        return rows

    def sheets(self) -> Iterator[tuple[MaterialLayout, int, LaidSheet]]:
        """Every sheet of every material with its number in its plan, from 1."""
        for plan in self.made.plans.values():
            for number, laid in enumerate(plan.layout.sheets, start=1):
                yield plan, number, laid

    def solid_parts(self) -> list[BuiltPart]:
        """The parts that are not cut from sheets but from boards."""
        laid = {piece.id for plan in self.made.plans.values() for piece in plan.problem.pieces}
        return [part for part in self.made.build.parts if part.id not in laid]

    def copies(self) -> Iterator["Copy"]:
        """Every single part, sheet after sheet, then the solid ones."""
        counts: dict[str, int] = {}
        for plan, number, laid in self.sheets():
            place = sheet_name(plan, number)
            for placed in laid.placements:
                counts[placed.part] = counts.get(placed.part, 0) + 1
                yield Copy(self.parts[placed.part], placed.mark, counts[placed.part], place)
        for part in self.solid_parts():
            for count, mark in enumerate(piece_of(part).copies, start=1):
                yield Copy(part, mark, count, f"{part.material} board")


def keep_together(rows: Rows, starts: Sequence[int]) -> None:
    """Begin a new page before a table that would not end on the one it begins on."""
    if not starts:
        return
    heights = rows.sheet.row_dimensions
    filled = sum(heights[row].height or 15 for row in range(1, starts[0]))
    for first, after in zip(starts, [*starts[1:], rows.row], strict=True):
        high = sum(heights[row].height or 15 for row in range(first, after))
        if filled + high > ROOM and first > starts[0]:
            rows.sheet.row_breaks.append(Break(id=first - 1))
            filled = 0
        filled = (filled + high) % ROOM


def fit_on_one(rows: Rows) -> None:
    """Print a page that is only a little too long on one sheet of paper, a little smaller."""
    heights = rows.sheet.row_dimensions
    high = sum(heights[row].height or 15 for row in range(1, rows.row))
    room = ROOM if rows.sheet.page_setup.orientation == "landscape" else TALL_ROOM
    if high <= room * 7 // 5:
        rows.sheet.page_setup.fitToHeight = 1


@dataclass(frozen=True, slots=True)
class Copy:
    """One single part: its mark, the how-manieth of its line it is, and what it is cut from."""

    part: BuiltPart
    mark: str
    number: int
    place: str

    @property
    def side(self) -> str:
        """Left or right for the parts of a pair, else nothing."""
        match = re.search(r"-([LR])\d+$", self.mark) if self.part.handed else None
        return {"L": "LEFT", "R": "RIGHT"}[match[1]] if match else ""


def sheet_name(plan: MaterialLayout, number: int) -> str:
    """A sheet as all pages call it."""
    return f"{plan.problem.material} sheet {number}"


def front_edge(part: BuiltPart) -> str:
    """Which edge is the front one, as far as the banding tells; parts of a pair are asked for it.

    An edge banded alone along the part is its front.
    """
    if part.banded in (("L1",), ("L2",)):
        return "front edge: the banded one"
    if part.handed:
        return "mark the front edge"
    return f"banded {show_edges(part.banded)}" if part.banded else ""

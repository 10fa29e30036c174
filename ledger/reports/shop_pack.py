"""The shop pack of a job: its parts with their sheets and boards, and the rows of its lists.

What hangs on the wall while a job is built; papers and the workbook read it. No price stands in it.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import cached_property

from msgspec import Struct, field

from ledger.costing.needs import needs_of
from ledger.costing.sheet import CostLine, CostSheet
from ledger.costing.taken import piece_of
from ledger.cutting.boards import BoardPlan
from ledger.cutting.layout import LaidSheet
from ledger.cutting.problem import CutPart
from ledger.designs.built import BuiltPart
from ledger.designs.edges import show_edges
from ledger.jobs.assembling import Assembled
from ledger.jobs.plans import MaterialLayout
from ledger.measures.length import Length, show_length
from ledger.measures.lumber import OVER_LENGTH_NM, OVER_WIDTH_NM
from ledger.measures.rounding import half_up
from ledger.measures.units import show_count
from ledger.stock.materials import NO_GRAIN

_LAID_ELSEWHERE = {"sheet", "lumber", "edging"}
"""Kinds with pages of their own; all others stand on the list of hardware and finish."""

_OVER = {"inch": Length.of(1, "in"), "mm": Length.of(25, "mm")}
"""How much longer than its edge a band is cut: common practice, no source."""


class PackPart(Struct, frozen=True):
    """A row of the parts list: where it is cut from, how many, its mark and finished size.

    `sheet` is its number in the material's plan, None on boards. Sizes are spelled in the book's
    units, `edges` and `note` in words.
    """

    material: str
    sheet: int | None
    pieces: int
    mark: str
    name: str
    length: str
    width: str
    thick: str
    edges: str
    note: str


class PackBand(Struct, frozen=True):
    """The banded edges of a part: which, how many, how long, cut to what; `sum` in feet or m."""

    material: str
    mark: str
    name: str
    edge: str
    bands: int
    is_long: str
    cut_to: str
    sum: Decimal


class Copy(Struct, frozen=True):
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


class Pack(Struct, frozen=True, dict=True):
    """A job as its shop pack tells it: the cost sheet's hours and lines, parts, plans, boards.

    `notes` are what typed lines of work say of themselves.
    """

    sheet: CostSheet
    made: Assembled
    boards: tuple[BoardPlan, ...] = ()
    reach: Length | None = None
    notes: tuple[str, ...] = ()
    shared: Mapping[str, str] = field(default_factory=dict)
    """Materials whose sheets other jobs share, with the numbers of those jobs: their sheets stand
    in the pack of all of them, and here only which of these have parts of this job."""
    together: tuple[str, ...] = ()
    """The jobs that are cut together where this is their pack; ids begin with the job's number."""

    @cached_property
    def parts(self) -> dict[str, BuiltPart]:
        """The parts by their id."""
        return {part.id: part for part in self.made.build.parts}

    @property
    def unit(self) -> str:
        """The unit in which edging is summed."""
        return "ft" if self.sheet.units == "inch" else "m"

    @property
    def band_over(self) -> Length:
        """How much longer than its edge a band is cut."""
        return _OVER[self.sheet.units]

    def show(self, length_nm: int) -> str:
        """A length in the book's fractions or millimeters, without its unit."""
        return show_length(Length(length_nm), self.sheet.units)

    def show_unit(self, length_nm: int) -> str:
        """A length with its unit."""
        return show_length(Length(length_nm), self.sheet.units, suffix=True)

    def size(self, length_nm: int, width_nm: int) -> str:
        """Length × width, with the unit at the end."""
        return f"{self.show(length_nm)} × {self.show_unit(width_nm)}"

    def material(self, code: str) -> str:
        """A material by its code and its name."""
        known = self.made.materials.get(code)
        return f"{code} {known.name}" if known else code

    def need(self, material: str) -> str:
        """Why a material is needed and how much of it, all its lines together."""
        lines = [line for line in self.sheet.lines if line.item == material]
        basis = "; ".join(line.basis for line in lines)
        take = [show_count(n.quantity, n.unit) for n in needs_of(lines)]
        return f"{basis}: take {', '.join(take)}."

    @property
    def own_plans(self) -> list[MaterialLayout]:
        """The plans whose sheets are cut by this pack."""
        return [plan for code, plan in self.made.plans.items() if code not in self.shared]

    def job_of(self, mark: str) -> str:
        """The job that a part is of."""
        return mark.partition(" ")[0] if self.together else self.sheet.job

    def sheets(self) -> Iterator[tuple[MaterialLayout, int, LaidSheet]]:
        """Every sheet of every material with its number in its plan, from 1."""
        for plan in self.made.plans.values():
            for number, laid in enumerate(plan.layout.sheets, start=1):
                yield plan, number, laid

    def solid_parts(self) -> list[BuiltPart]:
        """The parts that are not cut from sheets but from boards."""
        laid = {piece.id for plan in self.made.plans.values() for piece in plan.problem.pieces}
        return [part for part in self.made.build.parts if part.id not in laid]

    def copies(self) -> Iterator[Copy]:
        """Every single part, sheet after sheet, then the solid ones."""
        counts: Counter[str] = Counter()
        for plan, number, laid in self.sheets():
            others = self.shared.get(plan.problem.material)
            shared = f" shared with {others}" if others else ""
            place = f"{plan.problem.material} sheet {number}{shared}"
            for placed in laid.placements:
                counts[placed.part] += 1
                yield Copy(self.parts[placed.part], placed.mark, counts[placed.part], place)
        for part in self.solid_parts():
            for count, mark in enumerate(piece_of(part).copies, start=1):
                yield Copy(part, mark, count, f"{part.material} board")

    def part_rows(self) -> Iterator[PackPart]:
        """The parts list: sheet by sheet in the order of the design, then what boards give."""
        order = {part: place for place, part in enumerate(self.parts)}
        for plan, number, laid in self.sheets():
            counts = Counter(
                (placed.part, placed.mark, placed.turned) for placed in laid.placements
            )
            for id_, mark, turned in sorted(counts, key=lambda key: (order[key[0]], key)):
                across = turned and self.has_grain(plan.problem.material)
                note = self._sheet_note(plan.problem.by_id[id_], turned=across)
                yield self._row(self.parts[id_], number, counts[id_, mark, turned], mark, note)
        solid = self.solid_parts()
        for material in dict.fromkeys(part.material for part in solid):
            for part in solid:
                if part.material == material:
                    yield self._row(part, None, part.quantity, part.id, self._board_note(part))

    def band_rows(self) -> Iterator[PackBand]:
        """Every banded edge by edging material, with the length to cut the band to."""
        for band in self.made.build.bands:
            for part in self.made.build.parts:
                if part.edging == band.material:
                    yield from self._bands(part, band.material)

    def other_lines(self) -> Iterator[CostLine]:
        """Hardware, fasteners, finish and supplies: all that is neither cut nor banded."""
        return (line for line in self.sheet.lines if line.kind not in _LAID_ELSEWHERE)

    def _row(
        self, part: BuiltPart, sheet: int | None, pieces: int, mark: str, note: str
    ) -> PackPart:
        return PackPart(
            material=part.material,
            sheet=sheet,
            pieces=pieces,
            mark=mark,
            name=part.name,
            length=self.show(part.length.nm),
            width=self.show(part.width.nm),
            thick=self.show(part.thickness.nm) if part.thickness else "",
            edges=show_edges(part.banded),
            note="; ".join(filter(None, (note, part.note))),
        )

    def has_grain(self, material: str) -> bool:
        """Whether a sheet has a direction; one that is not in the price list may have it."""
        known = self.made.materials.get(material)
        return known is None or known.grain != NO_GRAIN

    def _sheet_note(self, piece: CutPart, *, turned: bool) -> str:
        notes = ["laid across the grain"] if turned else []
        if piece.extra_length_nm or piece.extra_width_nm:
            size = self.size(piece.cut_length_nm, piece.cut_width_nm)
            when = "to size once its case is measured" if piece.later else "then to size"
            notes.append(f"cut {size} first, {when}")
        return "; ".join(notes)

    def _board_note(self, part: BuiltPart) -> str:
        over_length = part.oversize.nm if part.oversize else OVER_LENGTH_NM
        over_width = part.oversize.nm if part.oversize else OVER_WIDTH_NM
        rough = self.size(part.length.nm + over_length, part.strip_width.nm + over_width)
        strips = f"{part.strips} strips of " if part.strips > 1 else ""
        return f"{strips}rough {rough}, then dressed"

    def _bands(self, part: BuiltPart, material: str) -> Iterator[PackBand]:
        for edge, letter, length in (("long", "L", part.length), ("short", "W", part.width)):
            count = sum(mark.startswith(letter) for mark in part.banded) * part.quantity
            if count:
                summed = length * count
                yield PackBand(
                    material=material,
                    mark=part.id,
                    name=part.name,
                    edge=edge,
                    bands=count,
                    is_long=self.show(length.nm),
                    cut_to=self.show((length + self.band_over).nm),
                    sum=half_up(summed.feet if self.unit == "ft" else summed.meters, 1),
                )


def front_edge(part: BuiltPart) -> str:
    """Which edge is the front one, as far as the banding tells; parts of a pair are asked for it.

    An edge banded alone along the part is its front.
    """
    if part.banded in (("L1",), ("L2",)):
        return "front edge: the banded one"
    if part.handed:
        return "mark the front edge"
    return f"banded {show_edges(part.banded)}" if part.banded else ""

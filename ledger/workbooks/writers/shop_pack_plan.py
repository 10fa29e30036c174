"""The plan of a sheet drawn to scale in the cells, one printed page a sheet.

Columns and rows run from one edge of a part to the next, as wide as that is on the sheet, so the
drawing needs few cells and every part is one. The blade's cut between two parts is drawn a little
wider than it is, that a thick banded edge can be told from its neighbor's.
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import cast

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from ledger.cutting.apart import Cut
from ledger.cutting.layout import LaidSheet, Leftover, Placement
from ledger.cutting.sequence import cut_list
from ledger.jobs.plans import MaterialLayout
from ledger.workbooks.paper import FONT, Look, add_sheet, put, put_text
from ledger.workbooks.writers.shop_pack_parts import Pack
from ledger.workbooks.writers.shop_pack_sequence import cuts_in_brief

WIDE, HIGH = 900, 460
"""The most that a drawing takes of a printed page, in dots of 1/96 in."""

LEAST_BOARD = 150
"""A narrow board is drawn wider than it is: so many dots, for the names of its strips."""

MARGIN = 30
KERF = 3
"""The least distance between two lines of the drawing, in dots."""

LINE_LETTERS = 150
"""So many letters of the size below a drawing find room beside one another."""

FIRST_ROW = 4
_HATCH = PatternFill("lightUp", fgColor="8C8C8C", bgColor="FFFFFF")
_THIN, _THICK = Side(style="thin", color="000000"), Side(style="thick", color="000000")
_OUTLINE = Side(style="medium", color="000000")
_SIDES = {"L1": "bottom", "L2": "top", "W1": "left", "W2": "right"}
_TURNED = {"L1": "right", "L2": "left", "W1": "bottom", "W2": "top"}
SMALL = 0.68
"""The size of the letters of further lines, as a share of the first one's."""

_LEAST, _LEGIBLE, _EASY, _MOST = 5, 7, 10, 20
"""Sizes of letters in points; what would be smaller than `_LEGIBLE` is listed below instead."""


def add_plans(workbook: Workbook, pack: Pack) -> None:
    """A page for every sheet of every material, then for every rough board."""
    boards = [MaterialLayout(plan.problem, plan.layout) for plan in pack.boards.values()]
    for name, plans in (("sheet", pack.made.plans.values()), ("board", boards)):
        for plan in plans:
            cuts = cut_list(plan.problem, plan.layout)
            for number in range(1, len(plan.layout.sheets) + 1):
                _Drawing(workbook, pack, plan, number, cuts.of_sheet(number), name).draw()


@dataclass(frozen=True, slots=True)
class Block:
    """Cells of a drawing from row and column to row and column, with their size in dots."""

    top: int
    left: int
    bottom: int
    right: int
    wide: int
    high: int


class Axis:
    """The lines across one direction of a sheet, and where they fall in dots."""

    def __init__(self, places: Iterable[int], scale: float) -> None:
        self.lines = sorted(set(places))
        self.dots: list[int] = []
        for line in self.lines:
            least = self.dots[-1] + KERF if self.dots else 0
            self.dots.append(max(round(line * scale), least))

    def at(self, place: int) -> int:
        """The number of a line, or of the one that follows."""
        return min(bisect_left(self.lines, place), len(self.lines) - 1)

    def steps(self) -> list[int]:
        """The distances from line to line in dots."""
        return [after - before for before, after in zip(self.dots, self.dots[1:], strict=False)]

    def between(self, low: int, high: int) -> int:
        """How many dots lie between two lines."""
        return self.dots[high] - self.dots[low]


class _Drawing:
    """One sheet on its way onto its page."""

    def __init__(
        self,
        workbook: Workbook,
        pack: Pack,
        plan: MaterialLayout,
        number: int,
        cuts: tuple[Cut, ...],
        name: str,
    ) -> None:
        self.name = name
        self.pack, self.plan, self.cuts, self.number = pack, plan, cuts, number
        self.laid: LaidSheet = plan.layout.sheets[number - 1]
        items: list[Placement | Leftover] = [*self.laid.placements, *self.laid.leftovers]
        scale = min(WIDE / self.laid.length_nm, HIGH / self.laid.width_nm)
        self.wider = name == "board" and self.laid.width_nm * scale < LEAST_BOARD
        strips = [cut for cut in cuts if cut.of.label == str(number) and not cut.trims]
        ends = {"rip": {0, self.laid.width_nm}, "crosscut": {0, self.laid.length_nm}}
        for cut in strips:
            ends[cut.way] |= {cut.at_nm - cut.size_nm, cut.at_nm, cut.at_nm + cut.lost_nm}
        self.strips = strips
        self.across = Axis(
            ends["crosscut"]
            | {end for item in items for end in (item.x_nm, item.x_nm + item.length_nm)},
            scale,
        )
        self.up = Axis(
            ends["rip"] | {end for item in items for end in (item.y_nm, item.y_nm + item.width_nm)},
            LEAST_BOARD / self.laid.width_nm if self.wider else scale,
        )
        title = f"{plan.problem.material} {number}"
        self.sheet: Worksheet = add_sheet(
            workbook, title, (), landscape=True, letter=pack.sheet.units == "inch"
        )
        self.last_column = len(self.across.lines) + 1
        self.last_row = FIRST_ROW + len(self.up.lines) - 2
        self.unnamed: Counter[str] = Counter()

    def draw(self) -> None:
        """Draw the whole page."""
        self._set_up()
        self._heading()
        self._outline()
        for rest in self.laid.leftovers:
            self._leftover(rest)
        for part in self.laid.placements:
            self._part(part)
        self._strip_names()
        self._legend()

    def _set_up(self) -> None:
        sheet = self.sheet
        sheet.page_setup.fitToHeight = 1
        sheet.print_options.horizontalCentered = True
        margins = sheet.page_margins
        margins.left = margins.right = 0.4
        margins.top, margins.bottom, margins.footer = 0.4, 0.7, 0.3
        steps = (MARGIN, *self.across.steps(), MARGIN)
        for column, dots in enumerate(steps, start=1):
            sheet.column_dimensions[get_column_letter(column)].width = dots / 7
        for row, dots in enumerate(reversed(self.up.steps()), start=FIRST_ROW):
            sheet.row_dimensions[row].height = dots * 0.75

    def _heading(self) -> None:
        pack, laid, problem = self.pack, self.laid, self.plan.problem
        kind = "rough board" if self.name == "board" else "new sheet"
        kind = f"rack, {laid.label}" if laid.source == "rack" else kind
        called = f"{problem.material} {self.name} {self.number}"
        head = f"{called} of {len(self.plan.layout.sheets)}"
        self._line(1, f"{head}   ·   {pack.sheet.job} {pack.sheet.title}", Look(bold=True, size=18))
        material = pack.made.materials[problem.material].name
        self._line(
            2,
            f"{material}: {kind}, {pack.size(laid.length_nm, laid.width_nm)}.   Grain ↔"
            f"   Kerf {pack.show_unit(problem.kerf_nm)}, trim {pack.show_unit(laid.trim_nm)} at"
            " each edge.",
            Look(size=11),
        )
        self.sheet.row_dimensions[3].height = 8

    def _line(self, row: int, text: str, look: Look) -> None:
        put(self.sheet, row, 1, text, look)
        self.sheet.merge_cells(None, row, 1, row, self.last_column)
        self.sheet.row_dimensions[row].height = look.size * 1.4

    def _block(self, x: tuple[int, int], y: tuple[int, int]) -> Block:
        """The cells between two places along the sheet and two across it."""
        left, right = self.across.at(x[0]), self.across.at(x[1])
        low, high = self.up.at(y[0]), self.up.at(y[1])
        return Block(
            top=self.last_row - high + 1,
            left=left + 2,
            bottom=self.last_row - low,
            right=right + 1,
            wide=self.across.between(left, right),
            high=self.up.between(low, high),
        )

    def _block_of(self, item: Placement | Leftover) -> Block:
        return self._block(
            (item.x_nm, item.x_nm + item.length_nm), (item.y_nm, item.y_nm + item.width_nm)
        )

    def _outline(self) -> None:
        whole = self._block((0, self.laid.length_nm), (0, self.laid.width_nm))
        self._frame(whole, dict.fromkeys(("left", "right", "top", "bottom"), _OUTLINE))

    def _frame(self, block: Block, sides: dict[str, Side]) -> None:
        """Draw the sides of a block on its outer cells, what is drawn there already kept."""
        for row in range(block.top, block.bottom + 1):
            for column in range(block.left, block.right + 1):
                at = {
                    "left": column == block.left, "right": column == block.right,
                    "top": row == block.top, "bottom": row == block.bottom,
                }  # fmt: skip
                if any(at.values()):
                    cell = self.sheet.cell(row, column)
                    old = cell.border
                    cell.border = Border(
                        left=sides["left"] if at["left"] else old.left,
                        right=sides["right"] if at["right"] else old.right,
                        top=sides["top"] if at["top"] else old.top,
                        bottom=sides["bottom"] if at["bottom"] else old.bottom,
                    )

    def _part(self, part: Placement) -> None:
        piece = self.plan.problem.by_id[part.part]
        block = self._block_of(part)
        size = f"{self.pack.show(part.length_nm)} × {self.pack.show(part.width_nm)}"
        if part.turned:
            size += " (turned)"
        named = tuple(filter(None, (part.mark, piece.own_name)))
        if not self._write(block, (*named, size)):
            self.unnamed[f"{' '.join(named)}, {size}"] += 1
        names = _TURNED if part.turned else _SIDES
        banded = {names[edge] for edge in piece.banded}
        sides = ("left", "right", "top", "bottom")
        self._frame(block, {side: _THICK if side in banded else _THIN for side in sides})

    def _leftover(self, rest: Leftover) -> None:
        block = self._block_of(rest)
        size = f"{self.pack.show(rest.length_nm)} × {self.pack.show(rest.width_nm)}"
        self._write(block, ("keep", size) if rest.usable else (size,), quiet=True)
        for row in range(block.top, block.bottom + 1):
            for column in range(block.left, block.right + 1):
                self.sheet.cell(row, column).fill = _HATCH
        sides = ("left", "right", "top", "bottom")
        self._frame(block, dict.fromkeys(sides, _THIN))

    def _write(self, block: Block, words: tuple[str, ...], *, quiet: bool = False) -> bool:
        """Write into a block as large as it fits; False where not all of it finds room."""
        written = fitted(block.wide, block.high, words)
        if block.bottom > block.top or block.right > block.left:
            self.sheet.merge_cells(None, block.top, block.left, block.bottom, block.right)
        if written is None:
            return False
        cell = cast(Cell, self.sheet.cell(block.top, block.left))
        put_text(cell, "\n".join(written.lines))
        text = str(cell.value)
        first, _, more = text.partition("\n")
        size = written.size
        if more and not quiet:
            small = max(_LEAST, round(size * SMALL))
            cell.value = CellRichText(
                TextBlock(InlineFont(rFont=FONT, b=True, sz=size), first),
                TextBlock(InlineFont(rFont=FONT, sz=small), f"\n{more}"),
            )
        cell.font = Font(name=FONT, size=size if not quiet else min(size, 11), bold=not quiet)
        cell.alignment = Alignment(
            horizontal="center", vertical="center", wrap_text=bool(more),
            text_rotation=90 if written.upright else 0,
        )  # fmt: skip
        return written.whole

    def _strip_names(self) -> None:
        """Name the first pieces of the sheet in its margin, as the cut sequence calls them."""
        for place, cut in enumerate(self.strips):
            low, high = cut.at_nm - cut.size_nm, cut.at_nm
            if cut.off:
                self._strip_name(cut.way, low, high, cut.off.label)
            rest = cut.rest
            if place == len(self.strips) - 1 and rest and rest.label != cut.of.label:
                end = self.laid.width_nm if cut.way == "rip" else self.laid.length_nm
                self._strip_name(cut.way, high + cut.lost_nm, end, rest.label)

    def _strip_name(self, way: str, low: int, high: int, name: str) -> None:
        if way == "rip":
            first, last = self.up.at(low), self.up.at(high)
            top, bottom = self.last_row - last + 1, self.last_row - first
            left = right = 1
        else:
            top = bottom = self.last_row + 1
            left, right = self.across.at(low) + 2, self.across.at(high) + 1
        if bottom < top or right < left:
            return
        cell = put(self.sheet, top, left, name, Look(bold=True, size=9))
        if bottom > top or right > left:
            self.sheet.merge_cells(None, top, left, bottom, right)
        cell.alignment = Alignment(horizontal="center", vertical="center")

    def _legend(self) -> None:
        row = self.last_row + 1
        self.sheet.row_dimensions[row].height = 14
        lines = [
            "Thick edge: banded.   Hatched: left over.   In the margin: the first pieces, as the"
            " cut sequence names them."
        ]
        if self.wider:
            lines.append("The board is drawn wider than it is.")
        named = [f"{words} ({count} times)" if count > 1 else words
                 for words, count in self.unnamed.items()]  # fmt: skip
        lines += _in_lines(named)
        lines += _in_lines(
            ["Cuts, in the order of the list:", *cuts_in_brief(self.pack, self.cuts)]
        )
        for number, words in enumerate(lines, start=row + 1):
            self._line(number, words, Look(size=10))
        self.sheet.print_area = f"A1:{get_column_letter(self.last_column)}{row + len(lines)}"


def _in_lines(words: Iterable[str]) -> list[str]:
    """Set short words one after another in as many lines as they need."""
    lines: list[str] = []
    for said in words:
        if lines and len(lines[-1]) + len(said) + 7 <= LINE_LETTERS:
            gap = "   " if lines[-1].endswith(":") else "   ·   "
            lines[-1] += f"{gap}{said}"
        else:
            lines.append(said)
    return lines


@dataclass(frozen=True, slots=True)
class Fitted:
    """Lines for a block, the size of the first one, and whether all words are among them."""

    lines: tuple[str, ...]
    size: int
    upright: bool
    whole: bool


def fitted(wide: int, high: int, words: Sequence[str]) -> Fitted | None:
    """The lines that a block of so many dots holds, as large as they fit; None for none.

    First all words, one below the other or in one row, whichever is read better, then without the
    middle one (a name), each upright where it does not fit as it lies; last the mark alone.
    """
    short = (words[0], words[-1])
    for upright in (False, True):
        across, down = (high, wide) if upright else (wide, high)
        for text in (tuple(words), short):
            ways = (text, ("  ".join(text),))
            sizes = [_size(across, down, lines) for lines in ways]
            best = 0 if sizes[0] * SMALL >= min(sizes[1], _EASY) else 1
            if sizes[best] * (1 if best else SMALL) >= _LEGIBLE:
                return Fitted(ways[best], sizes[best], upright, whole=True)
    for upright in (False, True):
        size = _size(*((high, wide) if upright else (wide, high)), words[:1])
        if size >= _LEAST:
            return Fitted((words[0],), size, upright, whole=len(words) == 1)
    return None


def _size(wide: int, high: int, lines: Sequence[str]) -> int:
    """Points of the first line; the others are a third smaller."""
    share = [1.0 if place == 0 else SMALL for place in range(len(lines))]
    letters = max(len(line) * part for line, part in zip(lines, share, strict=True))
    by_width = (wide - 8) * 0.75 / (0.56 * max(letters, 1))
    leading = 1.05 if len(lines) == 1 else 1.2
    by_height = (high - 1) * 0.75 / (leading * sum(share))
    return min(_MOST, int(by_width), int(by_height))

"""From the sheets a search has found to the layout on the wall.

Every sheet is laid anew with its own parts, pressed to one end and to one edge, and the laying
is kept that is easiest to hold, then leaves the largest usable piece (in steps of a square foot),
then is easiest to cut.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from msgspec import Struct

from ledger.cutting.arrange import Filled, Shop, arrangements
from ledger.cutting.engine import Blank, Effort, EqualParts, First, Goal, Pattern, pack
from ledger.cutting.hardship import A_SETTING, Hardship, hardship
from ledger.cutting.hardship import together as hardship_of_all
from ledger.cutting.layout import SQUARE_FOOT, LaidSheet, Leftover, Placement
from ledger.cutting.problem import Problem, Stock
from ledger.cutting.slicing import Box
from ledger.cutting.units import Unit
from ledger.measures.values import replace

MOST_TOGETHER = 30
"""Two sheets with more parts than this are not laid anew together."""

type Plan = tuple[tuple[int, Pattern], ...]
"""The sheets of a candidate: the number of the stock and the pattern cut from it."""


class Spot(Struct, frozen=True):
    """Which kind of unit lies in a box, and whether turned."""

    kind: int
    turned: bool


class FilledSheet(Struct, frozen=True):
    """One sheet with everything in its place, before the parts' copies are named."""

    stock: int
    filled: Filled[Spot]


class Finisher:
    """Arranges the sheets of candidates; equal sheets are arranged once."""

    def __init__(
        self, problem: Problem, stocks: Sequence[Stock], kinds: Sequence[EqualParts],
        heaps: Sequence[Sequence[Unit]],
    ) -> None:  # fmt: skip
        self._problem = problem
        self._stocks = stocks
        self._kinds = kinds
        self._heaps = heaps
        self._blanks = [blank_of(stock, problem.kerf_nm) for stock in stocks]
        self._first: First = "rip" if problem.rip_first else "any"
        self._shop = Shop(
            problem.kerf_nm, problem.usable_length_nm, problem.usable_width_nm, problem.rip_first
        )
        self._known: dict[tuple[int, Pattern], FilledSheet] = {}
        self._arranged: dict[tuple[int, Pattern], FilledSheet] = {}
        self._hardships: dict[FilledSheet, Hardship] = {}

    def finish(self, plan: Plan) -> tuple[FilledSheet, ...]:
        """Arrange all sheets of a candidate."""
        return tuple(self._sheet(stock, pattern) for stock, pattern in plan)

    def gathered(self, plan: Plan) -> Plan:
        """Fill one sheet after another from the emptiest, so that its rest grows in one piece."""
        *fuller, emptiest = sorted(plan, key=lambda sheet: -self._area(sheet[1]))
        kept = []
        for sheet in fuller:
            pair = self._repacked(sheet, emptiest) if self._may_gain(sheet, emptiest) else ()
            if len(pair) == 2 and merit(self.finish(pair)) > merit(self.finish((sheet, emptiest))):
                sheet, emptiest = sorted(pair, key=lambda one: -self._area(one[1]))
            kept.append(sheet)
        return (*kept, emptiest)

    def _may_gain(self, one: tuple[int, Pattern], two: tuple[int, Pattern]) -> bool:
        """Ask whether two sheets hold enough free area for a larger usable piece than they leave.

        Both are in square feet. An offcut lies on one sheet, so it is no larger than a whole one.
        """
        if one[0] != two[0]:
            return False
        blank = self._blanks[one[0]]
        whole = blank.length * blank.width
        free = 2 * whole - self._area(one[1]) - self._area(two[1])
        return min(free, whole) // SQUARE_FOOT > merit(self.finish((one, two)))[0]

    def _repacked(self, one: tuple[int, Pattern], two: tuple[int, Pattern]) -> Plan:
        stock, pattern = one
        both = Pattern(pattern.blank, pattern.parts + two[1].parts)
        blank = self._blanks[stock]
        if len(both.parts) > MOST_TOGETHER:
            return ()
        kinds, numbers = self._own_kinds(both)
        effort = Effort("tree", 64, self._first)
        packed = pack(kinds, [replace(blank, copies=2)], effort, "leftover")
        return tuple((stock, _renumbered(pattern, numbers)) for pattern in packed.patterns)

    def _area(self, pattern: Pattern) -> int:
        kinds = (self._kinds[laid.kind] for laid in pattern.parts)
        return sum(kind.length * kind.width for kind in kinds)

    def _sheet(self, stock: int, pattern: Pattern) -> FilledSheet:
        key = (stock, pattern)
        if key not in self._known:
            blank = self._blanks[stock]
            ways = [pattern, *self._pressed(blank, pattern)]
            sheets = [self.arranged(stock, way) for way in ways]
            self._known[key] = max(sheets, key=self._worth)
        return self._known[key]

    def _pressed(self, blank: Blank, pattern: Pattern) -> list[Pattern]:
        kinds, numbers = self._own_kinds(pattern)
        goals: tuple[Goal, ...] = ("length", "width")
        packings = [pack(kinds, [blank], Effort("tree", 64, self._first), goal) for goal in goals]
        pressed = [_renumbered(one.patterns[0], numbers) for one in packings if one.patterns]
        return [one for one in pressed if self._inside(blank, one)]

    def _inside(self, blank: Blank, pattern: Pattern) -> bool:
        boxes = self._boxes(pattern)
        return all(
            box.x + box.length <= blank.length and box.y + box.width <= blank.width for box in boxes
        )

    def _own_kinds(self, pattern: Pattern) -> tuple[list[EqualParts], list[int]]:
        numbers = sorted({laid.kind for laid in pattern.parts})
        counts = [sum(laid.kind == number for laid in pattern.parts) for number in numbers]
        kinds = [
            EqualParts(kind.length, kind.width, kind.may_turn, count)
            for kind, count in zip((self._kinds[n] for n in numbers), counts, strict=True)
        ]
        return kinds, numbers

    def _boxes(self, pattern: Pattern) -> list[Box[Spot]]:
        boxes = []
        for laid in pattern.parts:
            kind = self._kinds[laid.kind]
            length, width = kind.length, kind.width
            if laid.turned:
                length, width = width, length
            boxes.append(Box(laid.x, laid.y, length, width, Spot(laid.kind, laid.turned)))
        return boxes

    def arranged(self, stock: int, pattern: Pattern) -> FilledSheet:
        """Lay a pattern's parts anew on a sheet of a stock, by its own cuts alone."""
        key = (stock, pattern)
        if key not in self._arranged:
            blank = self._blanks[stock]
            ways = arrangements(self._boxes(pattern), blank.length, blank.width, self._shop)
            sheets = (FilledSheet(stock, filled) for filled in ways)
            self._arranged[key] = max(sheets, key=self._worth)
        return self._arranged[key]

    def laid(self, sheet: FilledSheet) -> LaidSheet:
        """Give a sheet with some copy of each part named; which copy decides nothing."""
        return laid_sheets(self._problem, self._stocks, self._heaps, [sheet])[0]

    def hardship(self, sheet: FilledSheet) -> Hardship:
        """Give how hard a sheet is to cut; each is taken apart once."""
        if sheet not in self._hardships:
            self._hardships[sheet] = hardship(self._problem, self.laid(sheet))
        return self._hardships[sheet]

    def effort(self, stock: int, pattern: Pattern) -> int:
        """Give the effort that a pattern takes as one sheet of many: half its settings are new.

        Cuts that are hard to hold are left out, for moving small parts rids a plan of most.
        """
        one = self.hardship(self.arranged(stock, pattern))
        return one.effort + A_SETTING * len(one.settings) // 2

    def worth(self, sheets: Iterable[FilledSheet]) -> tuple[int, ...]:
        """Compare plans: cuts that are hard to hold, the largest rest, the effort, all rests."""
        sheets = tuple(sheets)
        awkward, effort = hardship_of_all(map(self.hardship, sheets)).worth
        largest, usable = merit(sheets)
        return awkward, largest, effort, usable

    def _worth(self, sheet: FilledSheet) -> tuple[int, ...]:
        return self.worth([sheet])


def blank_of(stock: Stock, kerf: int, copies: int = 1) -> Blank:
    """Give a stock's sheet between its trims, grown by the kerf."""
    length, width = stock.usable_length_nm + kerf, stock.usable_width_nm + kerf
    return Blank(length, width, copies, stock.cost or 0)


def merit(sheets: Iterable[FilledSheet]) -> tuple[int, ...]:
    """Compare finished candidates by what they leave: the largest usable piece, then all."""
    sheets = tuple(sheets)
    largest = max((sheet.filled.merit[0] for sheet in sheets), default=0)
    usable = sum(sheet.filled.merit[1] for sheet in sheets)
    return largest, usable


def laid_sheets(
    problem: Problem, stocks: Sequence[Stock], heaps: Sequence[Sequence[Unit]],
    sheets: Iterable[FilledSheet],
) -> tuple[LaidSheet, ...]:  # fmt: skip
    """Name every copy: units of a kind are dealt out in order, sheet after sheet."""
    waiting = [list(heap) for heap in heaps]
    laid = []
    for sheet in sorted(sheets, key=lambda sheet: _sheet_order(stocks, sheet)):
        stock = stocks[sheet.stock]
        left, near = stock.trimmed("left"), stock.trimmed("near")
        placements: list[Placement] = []
        rests = [
            _leftover(
                problem, rest.x + left, rest.y + near,
                rest.length - problem.kerf_nm, rest.width - problem.kerf_nm,
            )
            for rest in sheet.filled.rests
        ]  # fmt: skip
        for box in sorted(sheet.filled.parts, key=lambda box: (box.x, box.y)):
            unit = waiting[box.what.kind].pop(0)
            x, y = box.x + left, box.y + near
            placements.extend(unit.at(x, y, box.what.turned))
            inside = unit.rests(box.length - problem.kerf_nm, problem.kerf_nm)
            rests.extend(_leftover(problem, x + dx, y + dy, *size) for dx, dy, *size in inside)
        laid.append(
            LaidSheet(
                problem.material, stock.source, stock.length_nm, stock.width_nm, stock.trim_nm,
                stock.cost or 0, stock.label, tuple(sorted(placements)), tuple(sorted(rests)),
                stock.factory,
            )
        )  # fmt: skip
    return tuple(laid)


def together(
    problem: Problem, sheets: Sequence[LaidSheet], groups: Iterable[str]
) -> tuple[LaidSheet, ...]:
    """Bring the sheets of each split group next to one another."""
    holders: defaultdict[str, list[LaidSheet]] = defaultdict(list)
    for sheet in sheets:
        for group in {problem.by_id[part.part].group for part in sheet.placements}:
            holders[group].append(sheet)
    order = list(sheets)
    for group in groups:
        first, *rest = holders[group]
        order = [sheet for sheet in order if not any(sheet is one for one in rest)]
        at = next(i for i, sheet in enumerate(order) if sheet is first) + 1
        order[at:at] = rest
    return tuple(order)


def _renumbered(pattern: Pattern, numbers: Sequence[int]) -> Pattern:
    parts = tuple(replace(laid, kind=numbers[laid.kind]) for laid in pattern.parts)
    return Pattern(pattern.blank, parts)


def _sheet_order(stocks: Sequence[Stock], sheet: FilledSheet) -> tuple[object, ...]:
    """Put the rack first, then the fullest sheets, equal ones one after another."""
    parts = sheet.filled.parts
    area = sum(box.length * box.width for box in parts)
    look = tuple((box.x, box.y, box.what.kind, box.what.turned) for box in parts)
    return stocks[sheet.stock].source == "new", sheet.stock, -area, look


def _leftover(problem: Problem, x: int, y: int, length: int, width: int) -> Leftover:
    small, large = sorted((problem.usable_length_nm, problem.usable_width_nm))
    usable = min(length, width) >= small and max(length, width) >= large
    return Leftover(x, y, length, width, usable)

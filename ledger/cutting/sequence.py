"""The order of the saw: from the full sheet down to the parts, and what that counts for.

Stage by stage: the cuts that break a sheet down, then the pieces of those, and so on. In a stage
the rips come first, the widest first, so that equal strips share one fence setting; then the wide
crosscuts along the guide rail, then the narrow ones at the miter saw. A piece's factory edge is
trimmed before anything is measured from it; the far one falls off with the last cut.

Names: sheet 2 gives strips 2A, 2B …; strip 2A gives 2A1, 2A2 …; 2A1 gives 2A1a, and so on. What
stays behind a cut keeps the name of the piece it was, until it is a strip or part itself.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from ledger.cutting.layout import LaidSheet, Layout, Leftover, Placement
from ledger.cutting.problem import Problem
from ledger.cutting.slicing import Box, Slice, Way, other, row_of, slice_up

type Tool = Literal["table saw", "guide rail", "miter saw"]


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut. `size_nm` comes off as `off`; `lost_nm` is what the blade (or a trim) takes.

    A rip runs along the sheet at y = `at_nm`, a crosscut across it at x = `at_nm`; the cut begins
    at `from_nm` along its way and is `span_nm` long. A trimming cut takes nothing off but waste.
    """

    sheet: int
    number: int
    way: Way
    tool: Tool
    piece: str
    off: str
    rest: str
    size_nm: int
    lost_nm: int
    at_nm: int
    from_nm: int
    span_nm: int

    @property
    def trims(self) -> bool:
        """Whether it only cleans a factory edge."""
        return not self.off


@dataclass(frozen=True, slots=True)
class CutCounts:
    """What drives the hours at the saw."""

    strips: int = 0
    fence_settings: int = 0
    wide_crosscuts: int = 0
    narrow_crosscuts: int = 0

    def __add__(self, more: "CutCounts") -> "CutCounts":
        return CutCounts(
            self.strips + more.strips,
            self.fence_settings + more.fence_settings,
            self.wide_crosscuts + more.wide_crosscuts,
            self.narrow_crosscuts + more.narrow_crosscuts,
        )


@dataclass(frozen=True, slots=True)
class SheetCuts:
    """The ordered cuts of one sheet, and which named piece is which part or leftover."""

    cuts: tuple[Cut, ...]
    parts: dict[str, Placement]
    leftovers: dict[str, Leftover]
    strips: int


@dataclass(frozen=True, slots=True)
class _CutPiece:
    """A piece of the sheet on its way: its name and its real extent, raw edges included."""

    name: str
    left: int
    right: int
    near: int
    far: int

    def span(self, way: Way) -> tuple[int, int]:
        """Give where cuts of this way may fall."""
        return (self.near, self.far) if way == "rip" else (self.left, self.right)

    def part(self, name: str, way: Way, low: int, high: int) -> "_CutPiece":
        """Give a piece of it between two cuts of one way."""
        if way == "rip":
            return _CutPiece(name, self.left, self.right, low, high)
        return _CutPiece(name, low, high, self.near, self.far)


type _Item = Placement | Leftover
type _Work = tuple[Way, list[Cut]]


class _Bench:
    """Takes one sheet apart and gathers the cuts of each stage."""

    def __init__(
        self, sheet: LaidSheet, number: int, kerf: int, capacity: int, rip_first: bool
    ) -> None:
        self.kerf = kerf
        self.capacity = capacity
        self.number = number
        self.stages: list[list[_Work]] = []
        self.parts: dict[str, Placement] = {}
        self.leftovers: dict[str, Leftover] = {}
        self.strips = 0
        items: list[_Item] = [*sheet.placements, *sheet.leftovers]
        boxes: list[Box[_Item]] = [
            Box(item.x_nm, item.y_nm, item.length_nm + kerf, item.width_nm + kerf, item)
            for item in items
        ]
        whole = _CutPiece(str(number), 0, sheet.length_nm, 0, sheet.width_nm)
        tree = slice_up(boxes, "rip")
        if rip_first and tree.way == "crosscut" and self.span(tree, "rip") != whole.span("rip"):
            tree = row_of("rip", (tree,))
        self.take_apart(tree, whole, 0)

    def take_apart(self, tree: Slice[_Item], piece: _CutPiece, stage: int) -> None:
        """Plan the cuts that turn a piece into what the tree says it holds."""
        if not tree.box:
            self.cut(tree, piece, stage)
        elif isinstance(tree.box.what, Leftover):
            self.leftovers[piece.name] = tree.box.what
        else:
            for way in ("rip", "crosscut"):
                if piece.span(way) != self.span(tree, way):
                    self.cut(row_of(way, (tree,)), piece, stage)
                    return
            self.parts[piece.name] = tree.box.what

    def span(self, tree: Slice[_Item], way: Way) -> tuple[int, int]:
        """Give the real extent of a slice across cuts of this way."""
        if tree.box:
            box = tree.box
            return (
                (box.y, box.y + box.width - self.kerf)
                if way == "rip"
                else (box.x, box.x + box.length - self.kerf)
            )
        spans = [self.span(part, way) for part in tree.parts]
        return min(low for low, _ in spans), max(high for _, high in spans)

    def cut(self, tree: Slice[_Item], piece: _CutPiece, stage: int) -> None:
        """Cut a piece into the slices of a tree, one after another from its near or left edge."""
        way = tree.way
        at, end = piece.span(way)
        cuts: list[Cut] = []
        first = self.span(tree.parts[0], way)[0]
        if at < first:
            cuts.append(self.one(way, piece, ("", piece.name), (at, 0, first - at)))
            at = first
        if way == "rip":
            self.strips += sum(1 for part in tree.parts if not _is_rest(part))
        whole = _is_rest(tree.parts[-1]) or self.span(tree.parts[-1], way)[1] == end
        names = [_child(piece.name, index) for index in range(len(tree.parts))]
        if len(names) == 1 and whole:
            names = [piece.name]
        for index, (name, part) in enumerate(zip(names, tree.parts, strict=True), start=1):
            if index == len(names) and whole:
                self.take_apart(part, piece.part(name, way, at, end), stage + 1)
                break
            far = self.span(part, way)[1]
            lost = min(self.kerf, end - far)
            rest = names[-1] if whole and index == len(names) - 1 else piece.name
            rest = rest if far + lost < end else ""
            cuts.append(self.one(way, piece, (name, rest), (at, far - at, lost)))
            self.take_apart(part, piece.part(name, way, at, far), stage + 1)
            at = far + lost
        if cuts:
            self.stages.extend([] for _ in range(stage + 1 - len(self.stages)))
            self.stages[stage].append((way, cuts))

    def one(
        self, way: Way, piece: _CutPiece, names: tuple[str, str], sizes: tuple[int, int, int]
    ) -> Cut:
        """Describe one cut: what comes off a piece and what stays."""
        (off, rest), (at, size, lost) = names, sizes
        low, high = piece.span(other(way))
        width = high - low
        tool: Tool = "table saw"
        if way == "crosscut":
            tool = "guide rail" if width > self.capacity else "miter saw"
        return Cut(
            self.number, 0, way, tool, piece.name, off, rest, size, lost, at + size, low, width
        )  # fmt: skip

    def ordered(self) -> Iterator[Cut]:
        """Give the cuts in the order of the saw."""
        for works in self.stages:
            yield from _widest_first([cuts for way, cuts in works if way == "rip"])
            crosscuts = [cuts for way, cuts in works if way == "crosscut"]
            for tool in ("guide rail", "miter saw"):
                for cuts in crosscuts:
                    yield from (cut for cut in cuts if cut.tool == tool)


def cut_sheet(
    sheet: LaidSheet, number: int, kerf_nm: int, capacity_nm: int, rip_first: bool = False
) -> SheetCuts:
    """Give the ordered cuts of one sheet; `number` is the sheet's number in its plan."""
    bench = _Bench(sheet, number, kerf_nm, capacity_nm, rip_first)
    cuts = tuple(
        Cut(
            cut.sheet, count, cut.way, cut.tool, cut.piece, cut.off, cut.rest, cut.size_nm,
            cut.lost_nm, cut.at_nm, cut.from_nm, cut.span_nm,
        )
        for count, cut in enumerate(bench.ordered(), start=1)
    )  # fmt: skip
    return SheetCuts(cuts, bench.parts, bench.leftovers, bench.strips)


def cut_sequence(problem: Problem, layout: Layout) -> tuple[SheetCuts, ...]:
    """Give the ordered cuts of every sheet of a layout."""
    return tuple(
        cut_sheet(sheet, number, problem.kerf_nm, problem.crosscut_capacity_nm, problem.rip_first)
        for number, sheet in enumerate(layout.sheets, start=1)
    )


def count_cuts(problem: Problem, layout: Layout) -> CutCounts:
    """Count what drives the hours; equal sheets are cut together, with one fence setting."""
    counts = CutCounts()
    seen: set[object] = set()
    for sheet, plan in zip(layout.sheets, cut_sequence(problem, layout), strict=True):
        look = _look(sheet)
        counts += CutCounts(
            plan.strips,
            0 if look in seen else fence_settings(plan.cuts),
            sum(cut.tool == "guide rail" for cut in plan.cuts),
            sum(cut.tool == "miter saw" for cut in plan.cuts),
        )
        seen.add(look)
    return counts


def fence_settings(cuts: Iterable[Cut]) -> int:
    """Count how often the fence is set while these cuts are made in order."""
    settings, last = 0, -1
    for cut in cuts:
        if cut.way == "rip" and not cut.trims and cut.size_nm != last:
            settings, last = settings + 1, cut.size_nm
    return settings


def cut_notes(problem: Problem, layout: Layout, reach_nm: int | None = None) -> tuple[str, ...]:
    """Say what to watch: crosscuts that just fit the miter saw, pieces beyond the saw's reach."""
    plans = cut_sequence(problem, layout)
    capacity = problem.crosscut_capacity_nm
    exact = sorted(
        {
            part.mark
            for plan in plans
            for cut in plan.cuts
            if cut.tool == "miter saw" and cut.span_nm == capacity
            for name, part in plan.parts.items()
            if name in (cut.off, cut.rest)
        }
    )
    notes = list(layout.notes)
    if exact:
        notes.append(
            f"Exactly as wide as the miter saw's capacity, counted as narrow: {', '.join(exact)}."
        )
    if reach_nm is not None:
        long = sorted(
            {
                part.mark
                for _, part in layout.placements()
                if max(part.length_nm, part.width_nm) > reach_nm
            }
        )
        if long:
            notes.append(f"Longer than the saw's reach, cut with support: {', '.join(long)}.")
    return tuple(notes)


def _widest_first(heaps: Sequence[list[Cut]]) -> Iterator[Cut]:
    """Merge the rips of several pieces, each piece's own order kept, equal fences together."""
    queues = [list(heap) for heap in heaps]
    while any(queues):
        heads = [queue for queue in queues if queue]
        widest = max(heads, key=lambda queue: (queue[0].trims, queue[0].size_nm))
        yield widest.pop(0)


def _child(name: str, index: int) -> str:
    """Name the piece that comes off: letters and numbers take turns, so no name stands twice."""
    if not name[-1].isdigit():
        return f"{name}{index + 1}"
    first = "A" if name.isdigit() else "a"
    letters = ""
    index += 1
    while index:
        index, letter = divmod(index - 1, 26)
        letters = chr(ord(first) + letter) + letters
    return name + letters


def _is_rest(tree: Slice[_Item]) -> bool:
    if tree.box:
        return isinstance(tree.box.what, Leftover)
    return all(_is_rest(part) for part in tree.parts)


def _look(sheet: LaidSheet) -> object:
    """Give what makes two sheets cut alike."""
    places = tuple(
        (part.x_nm, part.y_nm, part.length_nm, part.width_nm) for part in sheet.placements
    )
    return sheet.length_nm, sheet.width_nm, sheet.trim_nm, places

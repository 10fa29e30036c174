"""One sheet taken apart: every cut from the factory edges down to the parts, each with its tool.

The near and the left factory edge are trimmed once, along the whole sheet; whatever is measured
later is measured from a cut edge. The far ones fall off with the last cuts. All cuts of one piece
are planned before those of the pieces they free, so a cut never stands before the one it waits for.

Labels: sheet 2 gives strips 2A, 2B …; strip 2A gives 2A1, 2A2 …; 2A1 gives 2A1a, and so on. What
stays behind a cut keeps the label of the piece it was, until it is a strip or a part itself.
"""

from collections.abc import Sequence
from itertools import count
from typing import Literal

from msgspec import Struct

from ledger.cutting.layout import LaidSheet, Leftover, Placement
from ledger.cutting.problem import Edge, Problem
from ledger.cutting.slicing import Box, Slice, Way, other, row_of, slice_up
from ledger.cutting.tools import Aid, CutShape, Tool, ToolChoice, choices
from ledger.measures.values import replace

type Kind = Literal["sheet", "piece", "blank", "part", "offcut", "waste"]

SQUARE_METER = 10**18


class CutPiece(Struct, frozen=True):
    """A piece on its way: its real extent on the sheet, raw edges included, and what it is.

    `key` is its own on its sheet and never used again; the `label` is what is written on it.
    """

    key: int
    label: str
    left: int
    right: int
    near: int
    far: int
    kind: Kind = "piece"
    item: Placement | Leftover | None = None

    @property
    def length(self) -> int:
        """How long it is along the sheet."""
        return self.right - self.left

    @property
    def width(self) -> int:
        """How wide it is across the sheet."""
        return self.far - self.near

    @property
    def mark(self) -> str:
        """The part's own id, nothing for what is no part."""
        return self.item.mark if isinstance(self.item, Placement) else ""

    def span(self, way: Way) -> tuple[int, int]:
        """Give where cuts of this way may fall."""
        return (self.near, self.far) if way == "rip" else (self.left, self.right)

    def between(self, key: int, label: str, way: Way, low: int, high: int) -> "CutPiece":
        """Give the piece of it that lies between two places."""
        if way == "rip":
            return CutPiece(key, label, self.left, self.right, low, high)
        return CutPiece(key, label, low, high, self.near, self.far)


class Cut(Struct, frozen=True):
    """One cut through all of a piece: `off` comes off, `rest` stays, the blade takes `lost_nm`.

    A rip runs along the sheet at y = `at_nm`, a crosscut across it at x = `at_nm`. A cut that
    trims takes nothing off but waste. `setting_nm` lies against the fence or the stop. The cuts of
    a whole sheet break it down; round 2 brings blanks to size.
    """

    sheet: int
    number: int
    way: Way
    of: CutPiece
    off: CutPiece | None
    rest: CutPiece | None
    size_nm: int
    lost_nm: int
    choice: ToolChoice
    shape: CutShape
    trim: Edge | Literal[""] = ""
    whole: bool = False
    grams: int = 0
    round: int = 1

    @property
    def tool(self) -> Tool:
        """The tool that makes it."""
        return self.choice.tool

    @property
    def aid(self) -> Aid:
        """What it takes besides the tool."""
        return self.choice.aid

    @property
    def setting_nm(self) -> int:
        """The size that lies against the fence or the stop."""
        return self.choice.setting

    @property
    def trims(self) -> bool:
        """Whether it only cleans an edge."""
        return self.off is None

    @property
    def at_nm(self) -> int:
        """Where the blade enters, from the sheet's near or left edge."""
        return self.of.span(self.way)[0] + self.size_nm

    @property
    def from_nm(self) -> int:
        """Where the cut begins along its way."""
        return self.of.span(other(self.way))[0]

    @property
    def span_nm(self) -> int:
        """How long the cut is."""
        return self.shape.run


class ApartSheet(Struct, frozen=True):
    """A sheet as it lies on the bench, and its cuts, each after those that it waits for."""

    start: CutPiece
    cuts: tuple[Cut, ...]


def take_sheet_apart(problem: Problem, sheet: LaidSheet, number: int) -> ApartSheet:
    """Plan the cuts of one sheet; they bear no numbers yet."""
    pieces = _Apart(problem, sheet, number)
    return ApartSheet(pieces.run(), tuple(pieces.cuts))


def cuts_to_size(problem: Problem, blanks: Sequence[tuple[int, CutPiece]]) -> tuple[Cut, ...]:
    """Give the cuts that bring blanks, each with its sheet's number, to their own size later."""
    cuts: list[Cut] = []
    keys = count(-1, -1)
    for sheet, blank in blanks:
        item = blank.item
        assert isinstance(item, Placement)
        part = problem.by_id[item.part]
        size = {"rip": part.width_nm, "crosscut": part.length_nm}
        if item.turned:
            size = {"rip": part.length_nm, "crosscut": part.width_nm}
        piece, ways = blank, [way for way in _WAYS if _across(blank, way) > size[way]]
        for way in ways:
            low, high = piece.span(way)
            lost = min(problem.kerf_nm, high - low - size[way])
            off = piece.between(next(keys), blank.label, way, low, low + size[way])
            off = replace(off, kind="part" if way == ways[-1] else "blank", item=item)
            shape = _shape(problem, piece, way, size[way], lost, is_true=True)
            far = low + size[way] + lost
            rest = None
            if far < high:
                waste = piece.between(next(keys), blank.label, way, far, high)
                rest = replace(waste, kind="waste")
            choice = choices(problem.tools, shape)[0]
            grams = _grams(problem, piece)
            cuts.append(
                Cut(sheet, 0, way, piece, off, rest, size[way], lost, choice, shape,
                    grams=grams, round=2)
            )  # fmt: skip
            piece = off
    return tuple(cuts)


type _Item = Placement | Leftover
_WAYS: tuple[Way, Way] = ("rip", "crosscut")


class _Apart:
    """Takes one sheet apart and gathers its cuts."""

    def __init__(self, problem: Problem, sheet: LaidSheet, number: int) -> None:
        self.problem = problem
        self.sheet = sheet
        self.number = number
        self.kerf = problem.kerf_nm
        self.keys = 0
        self.cuts: list[Cut] = []

    def run(self) -> CutPiece:
        """Trim the whole sheet, then cut it as its tree says; give the sheet it began with."""
        sheet, kerf = self.sheet, self.kerf
        items: list[_Item] = [*sheet.placements, *sheet.leftovers]
        boxes: list[Box[_Item]] = [
            Box(item.x_nm, item.y_nm, item.length_nm + kerf, item.width_nm + kerf, item)
            for item in items
        ]
        tree = slice_up(boxes, "rip")
        start = CutPiece(0, str(self.number), 0, sheet.length_nm, 0, sheet.width_nm, "sheet")
        inside = (sheet.trimmed("near"), sheet.width_nm)
        if self.problem.rip_first and tree.way == "crosscut" and self.span(tree, "rip") != inside:
            tree = row_of("rip", (tree,))
        piece = start
        whole = sheet.source == "new" and not self.problem.boards
        edges: tuple[tuple[Edge, Way], ...] = (("near", "rip"), ("left", "crosscut"))
        for edge, way in edges:
            if lost := sheet.trimmed(edge):
                piece = self.trimmed(piece, way, lost, edge, whole)
        done = self.named(tree, piece)
        if done != piece:
            if not self.cuts:
                return done
            self.cuts[-1] = replace(self.cuts[-1], rest=done)
        self.take_apart(tree, done, whole)
        return start

    def trimmed(self, piece: CutPiece, way: Way, lost: int, edge: Edge, whole: bool) -> CutPiece:
        """Plan the cut that cleans a factory edge of the whole sheet, and give what stays."""
        low, high = piece.span(way)
        rest = piece.between(self.key(), piece.label, way, low + lost, high)
        self.add(way, piece, (None, rest), (0, lost), whole, edge)
        return rest

    def take_apart(self, tree: Slice[_Item], piece: CutPiece, whole: bool = False) -> None:
        """Plan the cuts that turn a piece into what the tree says it holds."""
        way = self.next_way(tree, piece)
        if way is None:
            return
        rows = tree if way == tree.way and not tree.box else row_of(way, (tree,))
        begun = len(self.cuts)
        children = self.cut_row(rows, piece, whole)
        self.cuts[begun:] = _one_tool(self.cuts[begun:], self.problem)
        for part, child in zip(rows.parts, children, strict=True):
            self.take_apart(part, child)

    def next_way(self, tree: Slice[_Item], piece: CutPiece) -> Way | None:
        """Give the way of the next cuts of a piece, None where it is done."""
        if not tree.box:
            return tree.way
        if isinstance(tree.box.what, Leftover):
            return None
        return next((way for way in _WAYS if piece.span(way) != self.span(tree, way)), None)

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

    def cut_row(self, tree: Slice[_Item], piece: CutPiece, whole: bool) -> list[CutPiece]:
        """Cut a piece into the slices of a row, one after another from its near or left edge."""
        way, label = tree.way, piece.label
        at, end = piece.span(way)
        first = self.span(tree.parts[0], way)[0]
        if at < first:
            rest = piece.between(self.key(), label, way, first, end)
            self.add(way, piece, (None, rest), (0, first - at), whole)
            piece, at = rest, first
        to_end = _is_rest(tree.parts[-1]) or self.span(tree.parts[-1], way)[1] == end
        labels = [_child(label, index) for index in range(len(tree.parts))]
        if len(labels) == 1 and to_end:
            labels = [label]
        children: list[CutPiece] = []
        last = len(labels)
        for index, (own, part) in enumerate(zip(labels, tree.parts, strict=True), start=1):
            if index == last and to_end:
                done = self.named(part, piece)
                if done != piece:
                    self.cuts[-1] = replace(self.cuts[-1], rest=done)
                children.append(done)
                break
            far = self.span(part, way)[1]
            lost = min(self.kerf, end - far)
            off = self.named(part, piece.between(self.key(), own, way, at, far))
            rest_at = far + lost
            stays: CutPiece | None = None
            if rest_at < end:
                stays = piece.between(self.key(), label, way, rest_at, end)
                if index == last:
                    stays = replace(stays, kind="waste")
                elif index == last - 1 and to_end:
                    stays = replace(stays, label=labels[-1])
            self.add(way, piece, (off, stays), (far - at, lost), whole)
            children.append(off)
            whole = False
            if stays is not None:
                piece, at = stays, rest_at
        return children

    def named(self, tree: Slice[_Item], piece: CutPiece) -> CutPiece:
        """Say what a piece is: a part or a leftover where it is cut no more."""
        if tree.box is None or self.next_way(tree, piece):
            return piece
        item = tree.box.what
        if isinstance(item, Leftover):
            return replace(piece, kind="offcut" if item.usable else "waste", item=item)
        later = self.problem.by_id[item.part].later if item.part in self.problem.by_id else False
        return replace(piece, kind="blank" if later else "part", item=item)

    def add(
        self, way: Way, piece: CutPiece, pieces: tuple[CutPiece | None, CutPiece | None],
        sizes: tuple[int, int], whole: bool, edge: Edge | Literal[""] = "",
    ) -> None:  # fmt: skip
        """Plan one cut: what comes off a piece and what stays; its tool is the rule's first."""
        (off, rest), (size, lost) = pieces, sizes
        end, far = piece.span(way)[1], self.sheet.width_nm
        far = far if way == "rip" else self.sheet.length_nm
        is_true = end < far or not self.sheet.trimmed("far" if way == "rip" else "right")
        shape = _shape(self.problem, piece, way, size, lost, is_true=is_true)
        grams = _grams(self.problem, piece)
        heavy = whole or grams > self.problem.tools.carry_alone
        shape = replace(shape, too_heavy=heavy)
        self.cuts.append(
            Cut(self.number, 0, way, piece, off, rest, size, lost,
                choices(self.problem.tools, shape)[0], shape, edge, whole, grams)
        )  # fmt: skip

    def key(self) -> int:
        """Give the key of a new piece."""
        self.keys += 1
        return self.keys


def _shape(
    problem: Problem, piece: CutPiece, way: Way, size: int, lost: int, *, is_true: bool
) -> CutShape:
    across = _across(piece, way)
    run = _across(piece, other(way))
    heavy = _grams(problem, piece) > problem.tools.carry_alone
    return CutShape(run, across, size, across - size - lost, heavy, is_true)


def _across(piece: CutPiece, way: Way) -> int:
    low, high = piece.span(way)
    return high - low


def _grams(problem: Problem, piece: CutPiece) -> int:
    return problem.grams_per_m2 * piece.length * piece.width // SQUARE_METER


def _one_tool(row: list[Cut], problem: Problem) -> list[Cut]:
    """Leave the last of three equal cuts at the tool of those before it, if that may cut it.

    Two stops never agree exactly.
    """
    last = row[-3:]
    if len(last) < 3 or len({cut.size_nm for cut in last}) > 1:
        return row
    ways = choices(problem.tools, row[-1].shape)
    same = next((way for way in ways if way.tool == row[-2].tool), None)
    return row if same is None else [*row[:-1], replace(row[-1], choice=same)]


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

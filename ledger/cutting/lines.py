"""The list of cuts in lines to tick: equal cuts that follow one another are one line.

A line says which cuts, with which tool, what is set, and what comes off and stays, such as
`14–21  miter, stop 3 → 8 × B4 (9-1/4 × 3)`.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from msgspec import Struct

from ledger.cutting.apart import Cut, CutPiece
from ledger.cutting.layout import Placement
from ledger.cutting.problem import Show
from ledger.cutting.tools import Tool

SHORT: dict[Tool, str] = {
    "guide rail": "track saw", "table saw": "fence", "miter saw": "miter", "sled": "sled",
    "none": "NO TOOL",
}  # fmt: skip
"""A tool in a word, as it stands on the page at the saw."""

STATIONS: dict[Tool, str] = {
    "guide rail": "Track saw", "table saw": "Table saw", "miter saw": "Miter saw", "sled": "Sled",
    "none": "No tool of the shop fits",
}  # fmt: skip

SET = {"table saw": "", "miter saw": "stop ", "sled": "stop "}


class CutLine(Struct, frozen=True):
    """Cuts that are alike and follow one another."""

    cuts: tuple[Cut, ...]

    @property
    def first(self) -> Cut:
        """The first of them; what it is done with and set to is that of all."""
        return self.cuts[0]

    @property
    def numbers(self) -> str:
        """Their numbers: 14, or 14–21."""
        first, last = self.cuts[0].number, self.cuts[-1].number
        return str(first) if first == last else f"{first}–{last}"

    @property
    def of(self) -> str:
        """The labels of the pieces they are made in, each once."""
        return ", ".join(dict.fromkeys(cut.of.label for cut in self.cuts))


class Station(Struct, frozen=True):
    """Cuts that follow one another at one tool, and what they are called."""

    name: str
    is_breakdown: bool
    cuts: tuple[Cut, ...]


def stations(cuts: Iterable[Cut]) -> Iterator[Station]:
    """Part a list of cuts where the work goes to another tool."""
    for (later, heavy, tool), group in groupby(cuts, key=_station):
        name = "Break down, sheet by sheet" if heavy else STATIONS[tool]
        if later:
            name = f"Second round, measured at the case: {name}"
        yield Station(name, heavy and not later, tuple(group))


def _station(cut: Cut) -> tuple[bool, bool, Tool]:
    return cut.round == 2, cut.shape.too_heavy, cut.tool


def cut_lines(cuts: Iterable[Cut]) -> list[CutLine]:
    """Gather equal cuts that follow one another."""
    heaps: list[list[Cut]] = []
    for cut in cuts:
        if heaps and _goes_with(heaps[-1], cut):
            heaps[-1].append(cut)
        else:
            heaps.append([cut])
    return [CutLine(tuple(heap)) for heap in heaps]


def line_words(line: CutLine, show: Show) -> str:
    """Say a line without its numbers: tool, setting, and what falls."""
    cut = line.first
    return f"{tool_words(cut, show)} → {comes_off(line, show)}{_and_stays(line, show)}"


def tool_words(cut: Cut, show: Show) -> str:
    """Say with which tool a cut is made, what is set, and what it takes besides."""
    tool = SHORT[cut.tool]
    if not cut.trims:
        comma = "," if cut.tool in ("miter saw", "sled") else ""
        tool += f"{comma} {SET.get(cut.tool, '')}{show(cut.setting_nm)}"
    return f"{tool}, {cut.aid}" if cut.aid else tool


def comes_off(line: CutLine, show: Show) -> str:
    """Say what comes off: parts with how many, pieces by label, each with its size."""
    cut, count = line.first, len(line.cuts)
    if cut.trims:
        edge = f"{cut.trim} {'long' if _is_long(cut) else 'short'} edge" if cut.trim else "edge"
        return f"trim {edge} of {line.of}"
    pieces = [one.off for one in line.cuts if one.off]
    return _named(pieces, count, show)


def stays(line: CutLine, show: Show) -> str:
    """Say what stays of the last piece, or of each where they are alike."""
    rests = [cut.rest for cut in line.cuts if cut.rest]
    if not rests or line.cuts[-1].rest is None:
        return "nothing"
    if _is_chain(line.cuts):
        rests = rests[-1:]
    return _named(rests, len(rests), show)


def _and_stays(line: CutLine, show: Show) -> str:
    rest = line.cuts[-1].rest
    if line.first.trims or rest is None or rest.kind in ("piece", "waste"):
        return ""
    words = stays(line, show)
    return f"; leaves {'an ' if words.startswith('offcut') else ''}{words}"


def _named(pieces: Sequence[CutPiece], count: int, show: Show) -> str:
    piece = pieces[0]
    times = f"{count} × " if count > 1 else ""
    size = _size(piece, show)
    if piece.kind == "waste":
        return f"{times}waste {size}"
    if piece.kind == "offcut":
        return f"{times}offcut {size} keep"
    if isinstance(piece.item, Placement):
        blank = " blank" if piece.kind == "blank" else ""
        return f"{times}{piece.mark}{blank} ({size})"
    labels = piece.label if count == 1 else f"{piece.label} to {pieces[-1].label}"
    return f"{labels} ({size}{' each' if count > 1 else ''})"


def _size(piece: CutPiece, show: Show) -> str:
    """Say a piece's size: a part's as it is listed, an offcut's without its raw edges."""
    length, width = piece.length, piece.width
    if piece.kind == "offcut" and piece.item is not None:
        length, width = piece.item.length_nm, piece.item.width_nm
    if isinstance(piece.item, Placement) and piece.item.turned:
        length, width = width, length
    return f"{show(length)} × {show(width)}"


def _is_long(cut: Cut) -> bool:
    return cut.shape.run >= cut.shape.across


def _goes_with(heap: Sequence[Cut], cut: Cut) -> bool:
    before = heap[-1]
    if (before.number + 1, _alike(before), before.trim) != (cut.number, _alike(cut), cut.trim):
        return False
    if before.rest and before.rest.key == cut.of.key and before.sheet == cut.sheet:
        return len(heap) == 1 or _is_chain(heap)
    chained = len(heap) > 1 and _is_chain(heap)
    return not chained and _what(before.rest) == _what(cut.rest) and not cut.trims


def _is_chain(cuts: Sequence[Cut]) -> bool:
    """Ask whether all are made in one piece, one after another."""
    return len({(cut.sheet, cut.of.label) for cut in cuts}) == 1


def _alike(cut: Cut) -> object:
    return cut.round, cut.choice, cut.size_nm, cut.way, _what(cut.off)


def _what(piece: CutPiece | None) -> object:
    return piece and (piece.kind, piece.mark, piece.length, piece.width)

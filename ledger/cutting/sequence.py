"""One list of the cuts of a material, in the order of work, and what it counts for.

First the sheets are broken down one after another by guide rail, until every piece is light enough
to carry. Then the work goes from station to station: it stays at a tool while a cut is ready there,
and at a setting while one is ready for it, over all sheets; next comes the widest setting all of
whose cuts are ready. Blanks of parts that are cut later come to size in a second round.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, permutations

from msgspec import Struct

from ledger.cutting.apart import Cut, CutPiece, cuts_to_size, take_sheet_apart
from ledger.cutting.layout import LaidSheet, Layout
from ledger.cutting.problem import ALL_EDGES, Edge, Problem
from ledger.cutting.tools import Tool
from ledger.measures.values import replace

STATIONS: tuple[Tool, ...] = ("guide rail", "table saw", "miter saw", "sled")

type PieceKey = tuple[int, int]
"""A sheet's number and the key of a piece of it."""


class CutCounts(Struct, frozen=True):
    """What drives the hours at the saw.

    Strips are the cuts at the fence. Wide crosscuts are those by guide rail, without the break-down
    of whole sheets, which belongs to the sheets. Narrow ones are those at the miter saw or the
    sled, and those that no tool of the shop fits: their time is at least that.
    """

    strips: int = 0
    fence_settings: int = 0
    wide_crosscuts: int = 0
    narrow_crosscuts: int = 0
    breakdown: int = 0
    trims: int = 0
    stops: int = 0
    station_changes: int = 0
    clamped: int = 0
    no_tool: int = 0

    def __add__(self, more: "CutCounts") -> "CutCounts":
        return CutCounts(
            *(getattr(self, name) + getattr(more, name) for name in self.__struct_fields__)
        )


class CutList(Struct, frozen=True):
    """The cuts of all sheets of a material, numbered in the order of work.

    `starts` are the sheets as they lie on the bench before the first cut.
    """

    starts: tuple[CutPiece, ...]
    cuts: tuple[Cut, ...]

    def of_sheet(self, number: int) -> tuple[Cut, ...]:
        """Give the cuts of one sheet that are drawn on it: those of the first round."""
        return tuple(cut for cut in self.cuts if cut.sheet == number and cut.round == 1)

    @property
    def offcuts(self) -> Iterator[tuple[int, CutPiece]]:
        """Give every usable offcut that falls, with its sheet's number."""
        for cut in self.cuts:
            for piece in (cut.off, cut.rest):
                if piece is not None and piece.kind == "offcut":
                    yield cut.sheet, piece

    @property
    def counts(self) -> CutCounts:
        """Count what drives the hours."""
        cuts, tool = self.cuts, [cut.tool for cut in self.cuts]
        breakdown = sum(cut.whole for cut in cuts)
        no_tool = tool.count("none")
        rail = sum(cut.tool == "guide rail" and not cut.whole for cut in cuts)
        return CutCounts(
            strips=tool.count("table saw"),
            fence_settings=_settings(cuts, ("table saw",)),
            wide_crosscuts=rail,
            narrow_crosscuts=len(cuts) - tool.count("table saw") - rail - breakdown,
            breakdown=breakdown,
            trims=sum(cut.trims for cut in cuts),
            stops=_settings(cuts, ("miter saw", "sled")),
            station_changes=sum(1 for _ in groupby(tool)) - 1 if cuts else 0,
            clamped=sum(cut.aid == "clamp" for cut in cuts),
            no_tool=no_tool,
        )


def cut_list(problem: Problem, layout: Layout) -> CutList:
    """Give the one list of cuts of a layout."""
    sheets = [
        take_sheet_apart(problem, sheet, number)
        for number, sheet in enumerate(layout.sheets, start=1)
    ]
    cuts = [cut for sheet in sheets for cut in sheet.cuts]
    heavy = [cut for cut in cuts if cut.shape.too_heavy]
    rest = [cut for cut in cuts if not cut.shape.too_heavy]
    last = heavy[-1].tool if heavy else "none"
    first = [*heavy, *_in_order(rest, last)]
    blanks = [(cut.sheet, piece) for cut in first for piece in (cut.off, cut.rest) if piece]
    blanks += [(number, sheet.start) for number, sheet in enumerate(sheets, start=1)]
    later = cuts_to_size(problem, [(sheet, one) for sheet, one in blanks if one.kind == "blank"])
    last = first[-1].tool if first else "none"
    ordered = [*first, *_in_order(list(later), last)]
    return CutList(
        tuple(sheet.start for sheet in sheets),
        tuple(replace(cut, number=number) for number, cut in enumerate(ordered, start=1)),
    )


def factory_edges(sheet: LaidSheet, offcut: CutPiece) -> tuple[Edge, ...] | None:
    """Give the edges of an offcut that still are the sheet's own; None where nobody knows.

    Of a rack piece without trim it is not known which of its edges are the factory's.
    """
    ends = {
        "near": offcut.near == 0,
        "far": offcut.far == sheet.width_nm,
        "left": offcut.left == 0,
        "right": offcut.right == sheet.length_nm,
    }
    known = sheet.source == "new" or sheet.trim_nm or sheet.factory != ALL_EDGES
    if not known and any(ends.values()):
        return None
    return tuple(edge for edge in ALL_EDGES if ends[edge] and edge in sheet.factory)


def count_cuts(problem: Problem, layout: Layout) -> CutCounts:
    """Count what drives the hours, from the one list of cuts."""
    return cut_list(problem, layout).counts


def setting_groups(cuts: Iterable[Cut]) -> Iterator[tuple[Cut, ...]]:
    """Give the cuts that follow one another at one tool with one setting."""
    for _, group in groupby(cuts, key=_station):
        yield tuple(group)


def cut_notes(problem: Problem, layout: Layout, reach_nm: int | None = None) -> tuple[str, ...]:
    """Say what to watch: what no tool fits, what is clamped, just fits, or overhangs the saw."""
    cuts = cut_list(problem, layout).cuts
    notes = list(layout.notes)
    if helped := _numbers(cut for cut in cuts if cut.aid == "helper"):
        notes.append(
            f"Longer than the guide rail cuts: a second person, or a longer rail: {helped}."
        )
    if lacking := _numbers(cut for cut in cuts if cut.tool == "none" and cut.aid != "helper"):
        notes.append(
            f"No tool of the shop fits, too short to be held: {lacking}; cut them from a longer"
            " strip, or by hand."
        )
    if clamped := _numbers(cut for cut in cuts if cut.aid == "clamp"):
        notes.append(f"Clamp the piece, and wait for the blade to stop: {clamped}.")
    capacity = problem.tools.crosscut_capacity
    exact = _marks(
        piece for cut in cuts if cut.tool == "miter saw" and cut.span_nm == capacity
        for piece in (cut.off, cut.rest)
    )  # fmt: skip
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
    if not problem.grams_per_m2 and not problem.boards and cuts:
        notes.append(
            "No weight of these sheets is known, for the price list lacks a density or a thickness:"
            " only whole ones count as too heavy for the table saw."
        )
    return tuple(notes)


def _in_order(cuts: Sequence[Cut], tool: Tool) -> list[Cut]:
    """Order cuts by station and setting; of several ways round the shop the shortest is taken."""
    ways = [
        _Stations(cuts, patient=patient).run(tool, way)
        for way in permutations(STATIONS)
        if _is_used(way, cuts)
        for patient in (False, True)
    ]
    return min(ways, key=lambda way: _effort(way, tool), default=[])


def _is_used(way: Sequence[Tool], cuts: Sequence[Cut]) -> bool:
    """Ask whether tools that make no cut stand last and in their order: one way is then enough."""
    used = {cut.tool for cut in cuts}
    idle = [tool for tool in STATIONS if tool not in used]
    return list(way[len(way) - len(idle) :]) == idle if idle else True


def _effort(cuts: Sequence[Cut], tool: Tool) -> tuple[int, int]:
    """Weigh an order: to set a fence or a stop takes about as long as to change the station."""
    changes = sum(1 for _ in groupby([tool, *(cut.tool for cut in cuts)]))
    return changes + sum(1 for _ in setting_groups(cuts)), changes


class _Stations:
    """The cuts that are left, by tool and setting, and which of them are ready."""

    def __init__(self, cuts: Sequence[Cut], *, patient: bool) -> None:
        self.patient = patient
        self.waiting: defaultdict[PieceKey, list[int]] = defaultdict(list)
        self.unready: defaultdict[tuple[Tool, int], int] = defaultdict(int)
        self.ready: dict[Tool, defaultdict[int, list[int]]] = {}
        self.cuts = cuts
        made = {(c.sheet, piece.key) for c in cuts for piece in (c.off, c.rest) if piece}
        for place, cut in enumerate(cuts):
            key = (cut.sheet, cut.of.key)
            if key in made:
                self.waiting[key].append(place)
                self.unready[cut.tool, cut.setting_nm] += 1
            else:
                self._put(place)

    def run(self, tool: Tool, preferred: Sequence[Tool]) -> list[Cut]:
        """Give the cuts in order, beginning at a tool if something is ready there."""
        ordered: list[Cut] = []
        while any(self.ready.values()):
            tool = self._next_tool(tool, preferred)
            settings = self.ready[tool]
            setting = min(settings, key=lambda size: (self.unready[tool, size] > 0, -size))
            while settings.get(setting):
                heap = settings[setting]
                place = min(heap, key=self._order)
                heap.remove(place)
                if not heap:
                    del settings[setting]
                ordered.append(self.cuts[place])
                for piece in (self.cuts[place].off, self.cuts[place].rest):
                    if piece:
                        self._free((self.cuts[place].sheet, piece.key))
        return ordered

    def _next_tool(self, tool: Tool, preferred: Sequence[Tool]) -> Tool:
        """Stay while a cut is ready; the patient leave where each setting would come again."""
        able = [one for one in (*preferred, "none") if self.ready.get(one)]
        if tool in able and not (self.patient and not self._is_whole(tool)):
            return tool
        whole = [one for one in able if self._is_whole(one)] if self.patient else []
        return tool if tool in able and not whole else (whole or able)[0]

    def _is_whole(self, tool: Tool) -> bool:
        """Ask whether a setting of the tool has all of its cuts ready."""
        return any(not self.unready[tool, setting] for setting in self.ready[tool])

    def _free(self, key: PieceKey) -> None:
        for place in self.waiting.pop(key, ()):
            cut = self.cuts[place]
            self.unready[cut.tool, cut.setting_nm] -= 1
            self._put(place)

    def _put(self, place: int) -> None:
        cut = self.cuts[place]
        self.ready.setdefault(cut.tool, defaultdict(list))[cut.setting_nm].append(place)

    def _order(self, place: int) -> tuple[bool, int, int]:
        """Order the cuts of one setting: trims first, long before short, else as they lie."""
        cut = self.cuts[place]
        return not cut.trims, -cut.span_nm, place


def _station(cut: Cut) -> tuple[int, Tool, int]:
    return cut.round, cut.tool, cut.setting_nm


def _settings(cuts: Iterable[Cut], tools: Sequence[Tool]) -> int:
    """Count how often fence or stop is set while these cuts are made in order."""
    own = [cut for cut in cuts if cut.tool in tools]
    return sum(1 for _ in groupby(own, key=lambda cut: (cut.tool, cut.setting_nm)))


def _marks(pieces: Iterable[CutPiece | None]) -> list[str]:
    return sorted({piece.mark for piece in pieces if piece and piece.mark})


def _numbers(cuts: Iterable[Cut]) -> str:
    """Name cuts by number, each row of numbers in short."""
    runs: list[list[int]] = []
    for cut in cuts:
        if runs and cut.number == runs[-1][-1] + 1:
            runs[-1].append(cut.number)
        else:
            runs.append([cut.number])
    shown = [str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs]
    return f"cut {', '.join(shown)}" if shown else ""

"""The list of cuts of `benchledger layout`, as the terminal shows it."""

from itertools import groupby

from ledger.cli import voice
from ledger.cutting.apart import Cut
from ledger.cutting.layout import Layout
from ledger.cutting.lines import cut_lines, line_words
from ledger.cutting.problem import Problem, Show
from ledger.cutting.sequence import CutCounts, cut_list
from ledger.measures.spoken import how_many

_STATIONS = {
    "guide rail": "Track saw", "table saw": "Table saw", "miter saw": "Miter saw", "sled": "Sled",
    "none": "No tool of the shop fits",
}  # fmt: skip


def show_cuts(problem: Problem, layout: Layout, show: Show, box: str) -> None:
    """Say the cuts of a material in the order of work, with a box to tick before each line."""
    for (later, heavy, tool), group in groupby(cut_list(problem, layout).cuts, key=_station):
        station = "Break down, sheet by sheet" if heavy else _STATIONS[tool]
        voice.say(f"Second round, measured at the case: {station}" if later else station)
        for line in cut_lines(group):
            voice.say(f"  {box} {line.numbers:>5}  {line_words(line, show)}")


def counted(cuts: CutCounts) -> str:
    """Say the counts that drive the hours in a sentence."""
    words = (
        f"{how_many(cuts.breakdown, 'break-down cut')}, {how_many(cuts.strips, 'strip')},"
        f" {how_many(cuts.fence_settings, 'fence setting')}, {cuts.wide_crosscuts} wide and"
        f" {how_many(cuts.narrow_crosscuts, 'narrow crosscut')}, {how_many(cuts.stops, 'stop')}"
    )
    if cuts.clamped:
        words += f", {cuts.clamped} clamped"
    if cuts.no_tool:
        words += f", {cuts.no_tool} that no tool fits"
    return f"{words}."


def _station(cut: Cut) -> tuple[bool, bool, str]:
    return cut.round == 2, cut.shape.too_heavy, cut.tool

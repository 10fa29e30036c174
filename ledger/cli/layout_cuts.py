"""The list of cuts of `benchledger layout`, as the terminal shows it."""

from ledger.cli import voice
from ledger.cutting.layout import Layout
from ledger.cutting.lines import cut_lines, line_words, stations
from ledger.cutting.problem import Problem, Show
from ledger.cutting.sequence import CutCounts, cut_list
from ledger.measures.spoken import how_many


def show_cuts(problem: Problem, layout: Layout, show: Show, box: str) -> None:
    """Say the cuts of a material in the order of work, with a box to tick before each line."""
    for station in stations(cut_list(problem, layout).cuts):
        voice.say(station.name)
        for line in cut_lines(station.cuts):
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

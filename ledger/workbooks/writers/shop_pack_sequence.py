"""The cuts in the order of work: break-down first, then station by station, each with its box."""

from itertools import groupby

from openpyxl import Workbook

from ledger.cutting.apart import Cut
from ledger.cutting.lines import CutLine, comes_off, cut_lines, line_words, stays
from ledger.cutting.sequence import CutList, cut_list, cut_notes
from ledger.jobs.plans import MaterialLayout
from ledger.measures.spoken import how_many
from ledger.workbooks.paper import Look
from ledger.workbooks.writers.rows import Rows
from ledger.workbooks.writers.shop_pack_parts import BOX, Pack, keep_together

LINE = Look(wrap=True, line_below=True)

_WIDTHS = (4, 9, 13, 10, 8, 16, 40, 34)
_NAMES = ("", "Cut", "At the", "Set to", "Fence, stop", "Of", "Comes off", "Stays")
_STATION = {
    "guide rail": "Track saw", "table saw": "Table saw", "miter saw": "Miter saw", "sled": "Sled",
    "none": "No tool of the shop fits",
}  # fmt: skip


def add_cut_sequence(workbook: Workbook, pack: Pack) -> None:
    """The one list of the cuts of each material, as it is ticked off."""
    note = (
        "Sheets are broken down first; then one station after another, over all sheets. Write the"
        " label and an arrow along the grain on each piece as it falls. The manual of the saw"
        " stands above this list."
    )
    rows = pack.rows(workbook, "Cut sequence", _WIDTHS, note, landscape=True)
    reach = pack.reach.nm if pack.reach else None
    plans = list(pack.made.plans.values())
    for plan in plans:
        for words in cut_notes(plan.problem, plan.layout, reach):
            rows.note(f"{plan.problem.material}: {words}")
    starts = []
    for plan in plans:
        starts += _material(rows, pack, plan, cut_list(plan.problem, plan.layout))
    keep_together(rows, starts)


def cuts_in_brief(pack: Pack, cuts: tuple[Cut, ...]) -> list[str]:
    """The cuts of a sheet in their order, each line in a few words, for below its drawing."""
    return [f"{line.numbers} {line_words(line, pack.show)}" for line in cut_lines(cuts)]


def _material(rows: Rows, pack: Pack, plan: MaterialLayout, made: CutList) -> list[int]:
    starts = []
    for (later, heavy, tool), group in groupby(made.cuts, key=_station):
        cuts = list(group)
        title = "Break down, sheet by sheet" if heavy else _STATION[tool]
        if later:
            title = f"Second round, measured at the case: {title}"
        rows.subtitle(f"{plan.problem.material}: {title} ({how_many(len(cuts), 'cut')})")
        starts.append(rows.row - 1)
        rows.headings(_NAMES)
        setting = None
        for line in cut_lines(cuts):
            rows.add(_row(pack, line, setting), (), LINE)
            setting = None if line.first.trims else line.first.setting_nm
    return starts


def _station(cut: Cut) -> tuple[bool, bool, str]:
    return cut.round == 2, cut.shape.too_heavy, cut.tool


def _row(pack: Pack, line: CutLine, setting: int | None) -> tuple[str, ...]:
    cut, count = line.first, len(line.cuts)
    tool = _STATION[cut.tool].casefold() if cut.tool != "none" else "no tool"
    if cut.aid:
        tool = f"{tool}, {cut.aid}"
    set_to, same = "", ""
    if not cut.trims:
        set_to = pack.show(cut.setting_nm)
        if cut.tool in ("table saw", "miter saw", "sled"):
            same = "same" if cut.setting_nm == setting else "set"
    numbers = f"{line.numbers} ×{count}" if count > 1 else line.numbers
    off, rest = comes_off(line, pack.show), stays(line, pack.show)
    return BOX, numbers, tool, set_to, same, line.of, off, rest

"""The cut list by sheet and the ordered cuts, as they are ticked off at the saw."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from openpyxl import Workbook

from ledger.cutting.layout import LaidSheet
from ledger.cutting.problem import CutPart
from ledger.cutting.sequence import Cut, SheetCuts, cut_notes, cut_sequence
from ledger.designs.built import BuiltPart
from ledger.jobs.plans import MaterialLayout
from ledger.measures.lumber import OVER_LENGTH_NM, OVER_WIDTH_NM
from ledger.measures.rounding import half_up
from ledger.workbooks.paper import Look
from ledger.workbooks.readers.design_tables import show_edges
from ledger.workbooks.writers.rows import Rows, padded
from ledger.workbooks.writers.shop_pack_parts import BOX, Pack, keep_together, sheet_name

LINE = Look(wrap=True, line_below=True)

_LIST = (4, 8, 10, 22, 11, 11, 8, 13, 36)
_LIST_FORMATS = ("", padded("0"))
_LIST_NAMES = ("", "Pieces", "Id", "Part", "Length", "Width", "Thick", "Banded", "Note")
_CUTS = (4, 8, 13, 12, 12, 11, 8, 34, 30)
_CUT_NAMES = ("", "Cut", "What", "At the", "Of", "Set to", "Fence", "Comes off", "Stays")


def add_cut_list(workbook: Workbook, pack: Pack) -> None:
    """What is cut from which sheet, and from which boards."""
    note = f"Finished sizes in {_unit(pack)}: length runs along the grain."
    rows = pack.rows(workbook, "Cut list", _LIST, note, landscape=True)
    starts = []
    order = {part: place for place, part in enumerate(pack.parts)}
    for plan, number, laid in pack.sheets():
        starts.append(_table(rows, _sheet_words(pack, plan, number, laid), _LIST_NAMES, (2,)))
        counts = Counter((placed.part, placed.mark, placed.turned) for placed in laid.placements)
        for part, mark, turned in sorted(counts, key=lambda key: (order[key[0]], key)):
            note = _note(pack, plan.problem.by_id[part], turned)
            count = counts[part, mark, turned]
            rows.add(_list_row(pack, pack.parts[part], mark, count, note), _LIST_FORMATS, LINE)
    keep_together(rows, [*starts, *_boards(rows, pack)])


def add_cut_sequence(workbook: Workbook, pack: Pack) -> None:
    """The cuts of every sheet in the order of the saw."""
    note = (
        "Rips with the widest first, equal ones with one fence setting; then wide crosscuts by"
        " guide rail, narrow ones at the miter saw. What stays keeps its name until it is a part."
    )
    rows = pack.rows(workbook, "Cut sequence", _CUTS, note, landscape=True)
    starts = []
    for plan in pack.made.plans.values():
        reach = pack.reach.nm if pack.reach else None
        for words in cut_notes(plan.problem, plan.layout, reach):
            rows.note(f"{plan.problem.material}: {words}")
    for plan in pack.made.plans.values():
        for number, cuts in enumerate(cut_sequence(plan.problem, plan.layout), start=1):
            laid = plan.layout.sheets[number - 1]
            starts.append(_table(rows, _sheet_words(pack, plan, number, laid), _CUT_NAMES))
            fence = -1
            for alike in _alike(cuts):
                rows.add(_cut_row(pack, cuts, alike, fence), (), LINE)
                if alike[0].way == "rip" and not alike[0].trims:
                    fence = alike[0].size_nm
    keep_together(rows, starts)


def cuts_in_brief(pack: Pack, cuts: SheetCuts) -> list[str]:
    """The cuts of a sheet in the order of the saw, each in a few words, for below its drawing."""
    lines = []
    for alike in _alike(cuts):
        cut, last, count = alike[0], alike[-1], len(alike)
        number = str(cut.number) if count == 1 else f"{cut.number}–{last.number}"
        piece = cut.piece if cut.piece == last.piece else f"{cut.piece} to {last.piece}"
        if cut.trims:
            lines.append(f"{number} trim {piece}")
            continue
        off = cut.off if count == 1 else f"{cut.off} to {last.off}"
        mark = cuts.parts[cut.off].mark if cut.off in cuts.parts else ""
        what = f"{number} {cut.way} {piece} at {pack.show(cut.size_nm)}"
        lines.append(f"{what}: {f'{off} = {mark}' if mark else off}")
    return lines


def _table(rows: Rows, title: str, names: tuple[str, ...], figures: Sequence[int] = ()) -> int:
    """Begin a table of its own under a title, and give back where."""
    rows.subtitle(title)
    first = rows.row - 1
    rows.headings(names, figures)
    return first


def _alike(cuts: SheetCuts) -> Iterator[list[Cut]]:
    """The cuts in their order, those that take the same off one piece, or off several, together."""
    heap: list[Cut] = []
    for cut in cuts.cuts:
        if heap and not _goes_with(cuts, heap, cut):
            yield heap
            heap = []
        heap.append(cut)
    if heap:
        yield heap


def _goes_with(cuts: SheetCuts, heap: list[Cut], cut: Cut) -> bool:
    before = heap[-1]
    if (before.way, before.tool, before.size_nm) != (cut.way, cut.tool, cut.size_nm):
        return False
    if _kind(cuts, before.off, before) != _kind(cuts, cut.off, cut):
        return False
    of_one = before.piece == cut.piece
    if len(heap) > 1 and of_one != (heap[0].piece == before.piece):
        return False
    return of_one or _kind(cuts, before.rest, before) == _kind(cuts, cut.rest, cut)


def _kind(cuts: SheetCuts, name: str, cut: Cut) -> tuple[str | int, ...]:
    """What a piece is: a part, a leftover of a size, nothing but an edge, or to be cut further."""
    if name in cuts.parts:
        return "part", cuts.parts[name].mark
    if name in cuts.leftovers:
        rest = cuts.leftovers[name]
        return "rest", rest.length_nm, rest.width_nm
    return ("piece",) if name else ("edge", cut.lost_nm)


def _unit(pack: Pack) -> str:
    return "inches" if pack.sheet.units == "inch" else "millimeters"


def _sheet_words(pack: Pack, plan: MaterialLayout, number: int, laid: LaidSheet) -> str:
    kind = f"from the rack, {laid.label}" if laid.source == "rack" else "new"
    used = half_up(Fraction(100 * laid.parts_area, laid.area), 0)
    size = pack.size(laid.length_nm, laid.width_nm)
    count = len(plan.layout.sheets)
    return f"{sheet_name(plan, number)} of {count}: {kind}, {size}, {used} % used"


def _list_row(
    pack: Pack, part: BuiltPart, mark: str, count: int, note: str
) -> tuple[str | int, ...]:
    thick = pack.show(part.thickness.nm) if part.thickness else ""
    return (
        BOX, count, mark, part.name, pack.show(part.length.nm), pack.show(part.width.nm), thick,
        show_edges(part.banded), "; ".join(filter(None, (note, part.note))),
    )  # fmt: skip


def _note(pack: Pack, piece: CutPart, turned: bool) -> str:
    notes = ["laid across the grain"] if turned else []
    if piece.extra_length_nm or piece.extra_width_nm:
        size = pack.size(piece.cut_length_nm, piece.cut_width_nm)
        notes.append(f"cut {size} first, then to size")
    return "; ".join(notes)


def _boards(rows: Rows, pack: Pack) -> list[int]:
    starts = []
    parts = pack.solid_parts()
    for material in dict.fromkeys(part.material for part in parts):
        bases = (line.basis for line in pack.sheet.lines if line.item == material)
        title = f"{material}: {next(bases, 'solid parts')}"
        starts.append(_table(rows, title, _LIST_NAMES, (2,)))
        for part in parts:
            if part.material == material:
                over_length = part.oversize.nm if part.oversize else OVER_LENGTH_NM
                over_width = part.oversize.nm if part.oversize else OVER_WIDTH_NM
                rough = pack.size(part.length.nm + over_length, part.width.nm + over_width)
                row = _list_row(pack, part, part.id, part.quantity, f"rough {rough}, then dressed")
                rows.add(row, _LIST_FORMATS, LINE)
    return starts


def _cut_row(pack: Pack, cuts: SheetCuts, alike: list[Cut], fence: int) -> tuple[str, ...]:
    cut, last, count = alike[0], alike[-1], len(alike)
    number = str(cut.number) if count == 1 else f"{cut.number}–{last.number}"
    what, set_to, same = cut.way if not cut.trims else "trim", "", ""
    off = f"{pack.show_unit(cut.lost_nm)} of the edge"
    if not cut.trims:
        set_to = pack.show(cut.size_nm)
        off = _all_named(pack, cuts, [one.off for one in alike])
        if cut.way == "rip":
            same = "same" if cut.size_nm == fence else "set"
    one_piece = cut.piece == last.piece
    rests = [last.rest] if one_piece else [one.rest for one in alike]
    rest = _all_named(pack, cuts, rests) if last.rest else "nothing"
    return (
        BOX, number, f"{what} ×{count}" if count > 1 else what, cut.tool,
        cut.piece if one_piece else f"{cut.piece} to {last.piece}", set_to, same, off, rest,
    )  # fmt: skip


def _all_named(pack: Pack, cuts: SheetCuts, names: Sequence[str]) -> str:
    """Pieces that are alike by their first and last name, and what they are where they are done."""
    if len(names) == 1:
        return _named(pack, cuts, names[0])
    names_words = f"{names[0]} to {names[-1]}"
    if names[0] in cuts.parts:
        part = cuts.parts[names[0]].part
        return f"{names_words} = {len(names)} {part} {pack.parts[part].name}"
    _, equals, what = _named(pack, cuts, names[0]).partition(" = ")
    return f"{names_words} = {what} each" if equals else names_words


def _named(pack: Pack, cuts: SheetCuts, name: str) -> str:
    """A piece by its name, and what it is where it is done."""
    if name in cuts.parts:
        part = cuts.parts[name]
        return f"{name} = {part.mark} {pack.parts[part.part].name}"
    if name in cuts.leftovers:
        rest = cuts.leftovers[name]
        word = "keep" if rest.usable else "left over"
        return f"{name} = {word} {pack.size(rest.length_nm, rest.width_nm)}"
    return name

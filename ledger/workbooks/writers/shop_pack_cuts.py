"""The cut list by sheet: what is cut from which sheet, and from which boards."""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from openpyxl import Workbook

from ledger.cutting.layout import LaidSheet
from ledger.cutting.problem import CutPart
from ledger.designs.built import BuiltPart
from ledger.designs.edges import show_edges
from ledger.jobs.plans import MaterialLayout
from ledger.measures.lumber import OVER_LENGTH_NM, OVER_WIDTH_NM
from ledger.measures.rounding import half_up
from ledger.workbooks.paper import Look
from ledger.workbooks.writers.rows import Rows, padded
from ledger.workbooks.writers.shop_pack_parts import BOX, Pack, keep_together, sheet_name

LINE = Look(wrap=True, line_below=True)

_LIST = (4, 8, 10, 22, 11, 11, 8, 13, 36)
_LIST_FORMATS = ("", padded("0"))
_LIST_NAMES = ("", "Pieces", "Id", "Part", "Length", "Width", "Thick", "Banded", "Note")


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


def _table(rows: Rows, title: str, names: tuple[str, ...], figures: Sequence[int] = ()) -> int:
    """Begin a table of its own under a title, and give back where."""
    rows.subtitle(title)
    first = rows.row - 1
    rows.headings(names, figures)
    return first


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
        when = "to size once its case is measured" if piece.later else "then to size"
        notes.append(f"cut {size} first, {when}")
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
                rough = pack.size(part.length.nm + over_length, part.strip_width.nm + over_width)
                strips = f"{part.strips} strips of " if part.strips > 1 else ""
                words = f"{strips}rough {rough}, then dressed"
                row = _list_row(pack, part, part.id, part.quantity, words)
                rows.add(row, _LIST_FORMATS, LINE)
    return starts

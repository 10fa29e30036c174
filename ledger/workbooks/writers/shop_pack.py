"""The shop pack: what hangs on the wall while a job is built, and what is written on it.

No price stands in it; hours do, with room to write the actual ones beside them.
"""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Font

from ledger.costing.sheet import CostSheet
from ledger.cutting.sequence import CutCounts
from ledger.designs.built import BuiltPart
from ledger.jobs.assembling import Assembled
from ledger.labor.estimate import total_hours
from ledger.measures.length import Length
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many
from ledger.workbooks.paper import (
    FONT,
    HOURS,
    USUAL,
    Look,
    Value,
    new_workbook,
    save,
    set_font,
)
from ledger.workbooks.writers.rows import Rows, count_format, padded
from ledger.workbooks.writers.shop_pack_cuts import LINE, add_cut_list
from ledger.workbooks.writers.shop_pack_labels import add_labels
from ledger.workbooks.writers.shop_pack_parts import BOX, SMALL, Pack, fit_on_one
from ledger.workbooks.writers.shop_pack_plan import add_plans
from ledger.workbooks.writers.shop_pack_sequence import add_cut_sequence

_LAID_ELSEWHERE = {"sheet", "lumber", "edging"}
"""Kinds with pages of their own; all others stand on the hardware list."""

_OVER = {"inch": Length.of(1, "in"), "mm": Length.of(25, "mm")}
"""How much longer than its edge a band is cut: common practice, no source."""

_WRITE = Look(size=11, wrap=True, line_below=True)


def write_shop_pack(
    sheet: CostSheet,
    made: Assembled,
    path: Path,
    *,
    shop: str = "",
    reach: Length | None = None,
    kerf: Length | None = None,
) -> Path:
    """Write the shop pack of a job, readable by its owner alone.

    Parts beyond the saw's reach are named; with a kerf, solid parts are laid on their boards. A
    work order has no parts: its pack is material, operations and cautions.
    """
    pack = Pack(sheet, made, reach, kerf)
    workbook = new_workbook(f"Shop pack {sheet.job}", shop, sheet.as_of)
    if made.build.parts:
        _add_overview(workbook, pack)
        add_cut_list(workbook, pack)
        add_plans(workbook, pack)
        add_cut_sequence(workbook, pack)
        _add_edging(workbook, pack)
    _add_hardware(workbook, pack)
    _add_operations(workbook, pack)
    _add_cautions(workbook, pack)
    if made.build.parts:
        add_labels(workbook, pack)
    _write_small(workbook)
    return save(workbook, path, private=True)


def _write_small(workbook: Workbook) -> None:
    """Write all of a workbook a size smaller, and measure its columns in that size too.

    Columns are as many digits of the workbook's own font wide as they are told, and openpyxl has
    no public word for that one; plans are drawn to scale in it.
    """
    set_font(workbook, SMALL)
    for sheet in workbook.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                old = cell.font
                if cell.has_style and old.sz == USUAL:
                    cell.font = Font(name=FONT, size=SMALL, bold=old.b, color=old.color)


def _add_overview(workbook: Workbook, pack: Pack) -> None:
    """What is built, from how many sheets, in which sizes and thicknesses."""
    sheet = pack.sheet
    note = f"{sheet.design}, as of {sheet.as_of}."
    rows = pack.rows(workbook, "Overview", (26, 14, 56), note)
    _facts(rows, "What it is", sheet.facts)
    rows.subtitle("Sheets")
    for laid in sheet.layouts:
        proven = "the fewest possible" if laid.proven else f"at least {laid.fewest_possible} needed"
        used = f"{half_up(laid.sheet_yield * 100, 0)} % used, {proven}"
        name = pack.made.materials[laid.material].name
        rows.add((f"{laid.material} {name}", laid.sheets, used), ("", "0_)"), LINE)
    cuts = pack.made.cuts
    rows.subtitle("Cuts")
    for name, count, words in (
        ("Break-down cuts", cuts.breakdown, "of whole sheets by track saw, part of sheet work"),
        ("Strips", cuts.strips, "cut at the table saw's fence"),
        ("Fence settings", cuts.fence_settings, "equal strips of all sheets share one"),
        ("Wide crosscuts", cuts.wide_crosscuts, "by track saw, whole sheets aside"),
        ("Narrow crosscuts", cuts.narrow_crosscuts, _narrow_words(cuts)),
        ("Stops set", cuts.stops, "equal sizes share one"),
    ):
        rows.add((name, count, words), ("", "0_)"), LINE)
    _facts(rows, "Sizes it was worked out for", dict(pack.made.build.parameters))
    fit_on_one(rows)


def _narrow_words(cuts: CutCounts) -> str:
    """What the narrow cuts are, with those that are clamped or fit no tool."""
    words = "at the miter saw or a sled"
    if cuts.clamped:
        words += f", {cuts.clamped} clamped"
    return f"{words}; {cuts.no_tool} fit no tool" if cuts.no_tool else words


def _facts(rows: Rows, heading: str, pairs: dict[str, str]) -> None:
    if not pairs:
        return
    rows.subtitle(heading)
    for name, words in pairs.items():
        rows.add((name.replace("_", " "), "", words), (), LINE)


def _add_edging(workbook: Workbook, pack: Pack) -> None:
    """Every banded edge by edging material, with the length to cut the band to."""
    unit = "ft" if pack.sheet.units == "inch" else "m"
    over = _OVER[pack.sheet.units]
    note = f"A band is cut about {pack.show_unit(over.nm)} longer than its edge and trimmed after."
    widths = (4, 10, 26, 8, 9, 12, 12, 11)
    rows = pack.rows(workbook, "Edging", widths, note, headings=True)
    names = ("", "Id", "Part", "Edge", "Bands", "Edge is", "Cut to", f"Sum {unit}")
    rows.headings(names, figures=(5, 8))
    for band in pack.made.build.bands:
        rows.subtitle(f"{band.material} {pack.made.materials[band.material].name}")
        rows.note(pack.need(band.material))
        for part in pack.made.build.parts:
            if part.edging == band.material:
                for cells in _bands(pack, part, over, unit):
                    rows.add(cells, ("", "", "", "", padded("0"), "", "", padded("0.0")), LINE)


def _bands(pack: Pack, part: BuiltPart, over: Length, unit: str) -> list[tuple[Value, ...]]:
    rows: list[tuple[Value, ...]] = []
    for name, letter, edge in (("long", "L", part.length), ("short", "W", part.width)):
        count = sum(mark.startswith(letter) for mark in part.banded) * part.quantity
        if count:
            summed = _in(edge * count, unit)
            rows.append(
                (BOX, part.id, part.name, name, count, pack.show(edge.nm),
                 pack.show((edge + over).nm), summed)
            )  # fmt: skip
    return rows


def _in(length: Length, unit: str) -> Decimal:
    return half_up(length.feet if unit == "ft" else length.meters, 1)


def _add_hardware(workbook: Workbook, pack: Pack) -> None:
    """Hardware, fasteners, finish and supplies to lay out before work begins."""
    rows = pack.rows(workbook, "Hardware", (4, 13, 40, 10, 10, 44), landscape=True, headings=True)
    rows.headings(("", "Code", "What", "Quantity", "Unit", "For"), figures=(4,))
    for line in pack.sheet.lines:
        if line.kind not in _LAID_ELSEWHERE:
            quantity = trimmed(line.quantity.decimal)
            rows.add(
                (BOX, line.item, line.words, quantity, line.unit, line.basis),
                ("", "", "", count_format(quantity)), LINE,
            )  # fmt: skip


def _add_operations(workbook: Workbook, pack: Pack) -> None:
    """Operations with the estimated hours, and room for the actual ones."""
    widths = (7, 34, 13, 10, 14, 9, 9, 12, 14, 24)
    note = "Hours are person-hours. Write the actual ones here, then enter them with “hours add”."
    rows = pack.rows(workbook, "Operations", widths, note, landscape=True, headings=True)
    rows.headings(
        ("Code", "Operation", "Group", "Count", "Unit", "Hours", "Helper", "Actual h", "Day, who",
         "Note"), figures=(4, 6, 7),
    )  # fmt: skip
    form = padded(HOURS)
    for line in pack.sheet.hours:
        count = trimmed(half_up(Fraction(line.driver), 2))
        rows.add(
            (line.operation, line.name, line.group.replace("_", " "), count, line.unit,
             line.estimate, line.helper or None, None, None, None),
            ("", "", "", count_format(count), "", form, form), _WRITE,
        )  # fmt: skip
        high = rows.sheet.row_dimensions[rows.row - 1]
        high.height = max(20, high.height or 0)
    hours = total_hours(line.estimate for line in pack.sheet.hours)
    helper = total_hours(line.helper for line in pack.sheet.hours)
    rows.sums("Sum", {6: hours, 7: helper}, form)
    rows.row += 1
    rows.note(
        f"Typically {pack.sheet.range.p50} h with rework; 8 such jobs in 10 stay under"
        f" {pack.sheet.range.p80} h"
        f" ({how_many(pack.sheet.range.jobs, 'past job')} behind this)."
    )
    fit_on_one(rows)


def _add_cautions(workbook: Workbook, pack: Pack) -> None:
    rows = pack.rows(workbook, "Cautions", (4, 22, 78), headings=True)
    rows.headings(("", "About", "Caution for this job"))
    for caution in pack.sheet.cautions:
        rows.add((BOX, caution.about, caution.words), (), LINE)

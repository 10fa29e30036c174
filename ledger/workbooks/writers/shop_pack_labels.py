"""Part labels, three in a row, to be cut apart and taped on: which part, which way round."""

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from ledger.workbooks.paper import FONT, Look, add_sheet, put
from ledger.workbooks.writers.shop_pack_parts import Copy, Pack, front_edge

ACROSS = 3
DOWN = 8
"""Labels on one page."""

WIDTHS = (28, 1.5, 28, 1.5, 28)
_LINES = (
    (Look(bold=True, size=18), 25),
    (Look(bold=True, size=10), 14),
    (Look(size=11), 15),
    (Look(size=9), 13),
    (Look(size=8, color="444444"), 12),
)
"""Looks and heights of a label's lines: mark, name, size, way round, where it comes from."""

_GAP = 5
_LONGEST = 34
"""Letters of a name that fit a label."""


def add_labels(workbook: Workbook, pack: Pack) -> None:
    """A label for every single part."""
    sheet = add_sheet(workbook, "Labels", WIDTHS, letter=pack.sheet.units == "inch")
    # Breaks between rows of labels hold only where the page is not fitted.
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=False)
    sheet.page_margins.left = sheet.page_margins.right = 0.5
    rows = len(_LINES) + 1
    place = -1
    for place, copy in enumerate(pack.copies()):
        row, column = divmod(place, ACROSS)
        _add_label(sheet, 1 + row * rows, 1 + 2 * column, _words(pack, copy))
    for row in range(place // ACROSS + 1):
        for line, (_, height) in enumerate(_LINES):
            sheet.row_dimensions[1 + row * rows + line].height = height
        sheet.row_dimensions[(row + 1) * rows].height = _GAP
        if (row + 1) % DOWN == 0:
            sheet.row_breaks.append(Break(id=(row + 1) * rows))


def _words(pack: Pack, copy: Copy) -> tuple[str, ...]:
    part = copy.part
    size = f"{pack.show(part.length.nm)} × {pack.show(part.width.nm)}"
    thick = pack.show_unit(part.thickness.nm) if part.thickness else ""
    size = f"{size} × {thick}" if thick else pack.size(part.length.nm, part.width.nm)
    name = part.name if len(part.name) <= _LONGEST else f"{part.name[: _LONGEST - 1]}…"
    count = f"  ({copy.number} of {part.quantity})" if part.quantity > 1 else ""
    mark = f"{copy.mark}   {copy.side}".rstrip()
    return mark, f"{name}{count}", size, front_edge(part), f"{pack.sheet.job} · {copy.place}"


def _add_label(sheet: Worksheet, row: int, column: int, words: tuple[str, ...]) -> None:
    edge = Side(style="dotted", color="666666")
    for line, (text, (look, _)) in enumerate(zip(words, _LINES, strict=True)):
        cell = put(sheet, row + line, column, text, look)
        cell.font = Font(name=FONT, size=look.size, bold=look.bold, color=look.color)
        cell.alignment = Alignment(horizontal="left", vertical="center", indent=1)
        cell.border = Border(
            left=edge, right=edge, top=edge if line == 0 else None,
            bottom=edge if line == len(words) - 1 else None,
        )  # fmt: skip

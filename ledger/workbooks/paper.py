"""The paper that documents are written on: safe text, quiet styles, print set-up, a careful save.

Text that a spreadsheet program might take for a formula is kept as text, and marked so that it
stays text when the owner edits the cell. Documents hold values, never formulas, so that what was
sent can be read anywhere and never recalculates. Numbers are numbers, with the digits of the
book's currency; days are days.
"""

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, cast

from msgspec import Struct
from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.chart import BarChart, Reference
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from ledger.book.parts import put_whole
from ledger.errors import NotAllowed
from ledger.measures.letters import FORMULA_STARTERS, UNSEEN
from ledger.measures.money import Currency
from ledger.measures.values import replace
from ledger.workbooks.packing import packed
from ledger.workbooks.xlsx import ERRORS

LONGEST_CELL = 32_767
LONGEST_TITLE = 31

_NOT_IN_TITLES = re.compile(r"[/\\?*:\[\]\x00-\x1f\x7f]")

_PAGES = "Page &P of &N"

_FOOTER_LETTERS = 30
"""So many letters of shop, paper and sheet each find room at the foot of a page."""

SIDES = 0.5
"""The margins left and right of a printed sheet, in inches."""

FONT = "Arial"
"""A font whose widths every spreadsheet program has, so that columns clip nowhere."""

USUAL = 11
"""The size of what is written, where its look does not say another."""

HOURS = "0.00"
SHARE = '0.0" %"'
DAY = "yyyy-mm-dd"
GENERAL = "General"

type Value = str | int | Decimal | date | None


class Look(Struct, frozen=True):
    """How a cell looks; the looks of this house are the constants below.

    Text that is `inset` stands a little off its left edge, clear of what is beside it. A day that
    is `left` stands as text does.
    """

    bold: bool = False
    size: int = 11
    color: str = "000000"
    fill: str = ""
    right: bool = False
    inset: bool = False
    left: bool = False
    wrap: bool = False
    line_above: bool = False
    line_below: bool = False


BODY = Look()
WRAPPED = Look(wrap=True)
FIGURE = Look(right=True)
HEADING = Look(bold=True, fill="E8E4DC", wrap=True, line_below=True)
FIGURE_HEADING = Look(bold=True, fill="E8E4DC", right=True, wrap=True, line_below=True)
TITLE = Look(bold=True, size=16)
SUBTITLE = Look(bold=True, size=12)
NOTE = Look(color="555555", size=10, wrap=True)
TOTAL = Look(bold=True, line_above=True)
FIGURE_TOTAL = Look(bold=True, right=True, line_above=True)


def new_workbook(title: str, shop: str, day: date) -> Workbook:
    """A workbook without sheets that says what it is, of whom and of which day."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    set_font(workbook, USUAL)
    workbook.properties.title = _seen(title)
    workbook.properties.creator = _seen(shop)
    workbook.properties.created = datetime.combine(day, time(12), UTC).replace(tzinfo=None)
    return workbook


def set_font(workbook: Workbook, size: int) -> None:
    """Set the font of cells without a look, in which the widths of columns are measured too."""
    inside = cast(Any, workbook)
    inside._fonts[0] = Font(name=FONT, size=size)
    inside._named_styles["Normal"].font = Font(name=FONT, size=size)


def add_sheet(
    workbook: Workbook,
    title: str,
    widths: Sequence[float],
    *,
    landscape: bool = False,
    headings: int = 0,
) -> Worksheet:
    """A sheet that prints at its true size, with shop, paper and page at the foot of each page.

    `headings` is the number of the heading row: it and what stands above stay in sight, and it
    stands on every page. What is wider than a page goes on beside it, the first column repeated.
    """
    sheet: Worksheet = workbook.create_sheet(clean_title(title, workbook.sheetnames))
    for number, width in enumerate(widths, 1):
        sheet.column_dimensions[get_column_letter(number)].width = width
    sheet.sheet_view.showGridLines = False
    sheet.page_setup.orientation = "landscape" if landscape else "portrait"
    sheet.page_setup.scale = 100
    margins = sheet.page_margins
    margins.left = margins.right = SIDES
    margins.top = margins.bottom = 0.7
    _put_footer(workbook, sheet)
    if headings:
        sheet.freeze_panes = f"A{headings + 1}"
        sheet.print_title_rows = f"{headings}:{headings}"
    return sheet


def _put_footer(workbook: Workbook, sheet: Worksheet) -> None:
    """Paper (with its job or month), sheet and shop at the left, the page at the right."""
    about = workbook.properties
    parts = [part for part in (about.title, sheet.title, about.creator) if part]
    shown = (
        part if len(part) <= _FOOTER_LETTERS else f"{part[: _FOOTER_LETTERS - 1]}…"
        for part in dict.fromkeys(parts)
    )
    footer = cast(Any, sheet.oddFooter)
    footer.left.text, footer.left.size = " · ".join(shown).replace("&", "&&"), 8
    footer.right.text, footer.right.size = _PAGES, 8


def put(
    sheet: Worksheet,
    row: int,
    column: int,
    value: Value,
    look: Look = BODY,
    number_format: str = GENERAL,
) -> Cell:
    """Write one value into a cell, text always as text.

    Raises:
        NotAllowed: a text is longer than a cell holds.

    """
    cell = cast(Cell, sheet.cell(row, column))
    if isinstance(value, str):
        put_text(cell, value)
    elif value is not None:
        cell.value = value
        cell.number_format = DAY if isinstance(value, date) else number_format
    _dress(cell, look)
    return cell


def put_plain(sheet: Worksheet, row: int, column: int, value: Value, format_like: Cell) -> None:
    """Write a cell of a long table: what `put` writes, without asking about each cell again.

    The format is that of a cell written before. It takes half as long as `put`, which in a table
    of 50,000 rows is ten seconds.

    Raises:
        NotAllowed: a text is longer than a cell holds.

    """
    inside = cast(Any, format_like)
    cell = Cell(sheet, row=row, column=column, style_array=inside._style)
    plain = cast(Any, cell)
    if isinstance(value, str):
        plain._value, plain.data_type = _fitting(value), "s"
        if _is_risky(plain._value):
            plain.quotePrefix = True
    else:
        plain._value = value
        plain.data_type = "d" if isinstance(value, date) else "n"
    cast(Any, sheet)._cells[row, column] = cell


def put_row(
    sheet: Worksheet,
    row: int,
    values: Sequence[Value],
    look: Look = BODY,
    formats: Sequence[str] = (),
) -> None:
    """Write values side by side from the first column on; figures stand right, text off both."""
    right, inset = replace(look, right=True), replace(look, inset=True)
    for column, value in enumerate(values, 1):
        number_format = formats[column - 1] if column <= len(formats) else GENERAL
        figure = isinstance(value, int | Decimal)
        own = right if figure else inset if value and column > 1 else look
        put(sheet, row, column, value, own, number_format)


def put_text(cell: Cell, text: str) -> None:
    """Write a text that stays text, whatever it begins with.

    Raises:
        NotAllowed: the text is longer than a cell holds.

    """
    shown = _fitting(text)
    cell.value = shown
    if _is_risky(shown):
        cell.data_type = "s"
        cell.quotePrefix = True


def _fitting(text: str) -> str:
    """The text as a cell may hold it."""
    if len(text) > LONGEST_CELL:
        message = f"A text of {len(text)} characters (“{text[:40]}…”) does not fit into a cell"
        raise NotAllowed(f"{message}; at most {LONGEST_CELL} do. Shorten it.")
    return _seen(text)


def _is_risky(text: str) -> bool:
    """Whether a spreadsheet program may take the text for a formula or an error."""
    return text.startswith(FORMULA_STARTERS) or text in ERRORS


def money_format(currency: Currency) -> str:
    """The number format of amounts in a currency, with its digits and signs for negatives."""
    return "#,##0" + ("." + "0" * currency.digits if currency.digits else "")


def price_format(currency: Currency) -> str:
    """The number format of unit prices, which may have more digits than the currency."""
    return money_format(currency) + ("" if currency.digits else ".") + "#" * 4


def clean_title(text: str, taken: Sequence[str] = ()) -> str:
    """A sheet's name made of any text: allowed characters, at most 31, and no other sheet's.

    >>> clean_title("Price: bed/towers [A]"), clean_title("'quoted'"), clean_title("History")
    ('Price- bed-towers -A-', 'quoted', 'History 2')
    >>> clean_title("Parts", ["parts"]), clean_title(""), len(clean_title("x" * 40))
    ('Parts 2', 'Sheet', 31)
    """
    cleaned = _NOT_IN_TITLES.sub("-", text).strip().strip("'").strip()[:LONGEST_TITLE]
    cleaned = cleaned.rstrip("' ") or "Sheet"
    known = {name.casefold() for name in taken} | {"history"}
    title, number = cleaned, 2
    while title.casefold() in known:
        ending = f" {number}"
        title, number = cleaned[: LONGEST_TITLE - len(ending)] + ending, number + 1
    return title


def add_bars(
    sheet: Worksheet, title: str, labels: tuple[int, int], values: int, anchor: str,
    *, width: int = 16,
) -> None:  # fmt: skip
    """A chart of horizontal bars beside the rows it shows, so many centimeters wide.

    `labels` are the first and last row, their names in the first column; `values` the column.
    """
    first, last = labels
    chart = BarChart()
    chart.type = "bar"
    chart.title = _seen(title)
    chart.legend = None
    chart.gapWidth = 40
    chart.height, chart.width = max(5, (last - first + 1) * 7 // 10 + 3), width
    chart.add_data(Reference(sheet, min_col=values, min_row=first, max_row=last))
    chart.series[0].graphicalProperties.solidFill = "8C7B65"
    chart.set_categories(Reference(sheet, min_col=1, min_row=first, max_row=last))
    chart.x_axis.scaling.orientation = "maxMin"  # the first row on top
    shown = (sheet.cell(row, values).value for row in range(first, last + 1))
    if all(not isinstance(value, int | Decimal) or value >= 0 for value in shown):
        chart.y_axis.scaling.min = 0  # else the program may begin the bars at any amount
    chart.x_axis.delete = chart.y_axis.delete = False
    sheet.add_chart(chart, anchor)


def add_pairs_chart(
    sheet: Worksheet,
    data: Worksheet,
    title: str,
    rows: tuple[int, int],
    columns: tuple[int, int],
    anchor: str,
) -> None:
    """A chart of two columns of another sheet side by side, told apart in black and white too.

    `rows` are the heading row and the last row; names stand in the first column.
    """
    heading, last = rows
    chart = BarChart()
    chart.type = "bar"
    chart.title = _seen(title)
    chart.gapWidth = 40
    chart.legend.position = "t"
    chart.height, chart.width = max(6, (last - heading) * 7 // 10 + 4), 17
    area = Reference(data, min_col=columns[0], max_col=columns[1], min_row=heading, max_row=last)
    chart.add_data(area, titles_from_data=True)
    for series, color in zip(chart.series, ("C9BFAE", "4A3F35"), strict=True):
        series.graphicalProperties.solidFill = color
    chart.set_categories(Reference(data, min_col=1, min_row=heading + 1, max_row=last))
    chart.x_axis.scaling.orientation = "maxMin"  # the first row on top
    chart.x_axis.delete = chart.y_axis.delete = False
    sheet.add_chart(chart, anchor)


def save(workbook: Workbook, path: Path, *, private: bool = False, letter: bool = True) -> Path:
    """Write the workbook beside its place and put it there whole; `private` to the owner alone.

    It prints on letter, or else on A4.

    Raises:
        NotAllowed: the name does not end in .xlsx, or the place cannot be written.

    """
    if path.suffix.lower() != ".xlsx":
        raise NotAllowed(f"{path.name} should end in .xlsx; write for example {path.stem}.xlsx.")
    for sheet in workbook.worksheets:
        sheet.page_setup.paperSize = 1 if letter else 9
    return put_whole(path, lambda part: packed(workbook, part), private=private)


def _seen(text: str) -> str:
    """A text without characters that no workbook may hold."""
    return UNSEEN.sub("\N{REPLACEMENT CHARACTER}", text)


def _dress(cell: Cell, look: Look) -> None:
    if look == BODY:
        return  # a cell as it is: long tables stay light
    font, fill, alignment, border = _clothes(look)
    cell.font, cell.alignment, cell.border = font, alignment, border
    if look.fill:
        cell.fill = fill


@cache
def _clothes(look: Look) -> tuple[Font, PatternFill, Alignment, Border]:
    font = Font(name=FONT, size=look.size, bold=look.bold, color=look.color)
    fill = PatternFill("solid", start_color=look.fill or "FFFFFF")
    side = "right" if look.right else "left" if look.inset or look.left else None
    alignment = Alignment(
        horizontal=side, vertical="top", wrap_text=look.wrap, indent=1 if look.inset else 0
    )
    thin = Side(style="thin", color="999999")
    above, below = thin if look.line_above else None, thin if look.line_below else None
    return font, fill, alignment, Border(top=above, bottom=below)

"""Data sheets: one row of headings, then rows that add up; no titles, no merged cells.

Days are days, money and quantities are numbers, names are text; whoever opens the sheet can filter
and add it up as it stands. Sums stand below an empty row, outside what is filtered.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from math import ceil

from msgspec import Struct
from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.workbooks import paper
from ledger.workbooks.writers.rows import POINTS_A_LINE, Datum, Rows, count_format, padded

ROOM = 117
"""The widths of columns that a page lying down has room for, letter being the narrower one."""

SIZE, LEAST_SIZE = 9, 8
"""Letters of a data sheet in points, and of one whose columns would go on beside the page."""


class Field(Struct, frozen=True):
    """A column: its heading, its width, whether figures stand in it and whether they add up.

    What `sorts` tells rows apart that have sums of their own.
    """

    name: str
    width: int
    figure: bool = False
    adds: bool = False
    sorts: bool = False


def fields_of(text: str) -> tuple[Field, ...]:
    """Columns by name and width: `>` before one of figures, `+` before one with its sum.

    >>> [(one.name, one.width, one.figure, one.adds) for one in fields_of("paid by 7; +net 8")]
    [('paid by', 7, False, False), ('net', 8, True, True)]
    """
    parted = (entry.rpartition(" ") for entry in text.split("; "))
    return tuple(
        Field(name.lstrip(">+"), int(width), figure=name[0] in ">+", adds=name[0] == "+")
        for name, _, width in parted
    )


def figure(name: str, width: int) -> Field:
    """A column of figures."""
    return Field(name, width, figure=True)


def summed(name: str, width: int) -> Field:
    """A column of figures whose sum stands at the foot: one unit in all its rows."""
    return Field(name, width, figure=True, adds=True)


def add_data_sheet(
    workbook: Workbook,
    title: str,
    fields: Sequence[Field],
    rows: Iterable[Sequence[Datum]],
    currency: Currency,
) -> Worksheet:
    """Write a data sheet with a filter on its headings, in 9 pt, and in 8 pt where it is wide.

    A list of nothing says none. What is still wider than a page goes on beside it.
    """
    narrow = sum(field.width for field in fields) * SIZE <= ROOM * paper.USUAL
    size = SIZE if narrow else LEAST_SIZE
    widths = [field.width * size / paper.USUAL for field in fields]
    sheet = paper.add_sheet(workbook, title, widths, landscape=True, headings=1)
    if sum(widths) > ROOM:
        sheet.print_title_cols = "A:A"
        sheet.page_setup.pageOrder = "overThenDown"
    names = [field.name for field in fields]
    figures = [column for column, field in enumerate(fields, 1) if field.figure]
    Rows(sheet, widths, size=size, close=True).headings(names, figures)
    shown, count = _Formats(sheet, currency, size), 1
    sums = _Sums(fields)
    rooms = [max(1, field.width - 1) for field in fields]  # what is broken at blanks fills less
    for count, row in enumerate(rows, 2):
        lines = 1
        sums.add(row, shown)
        for column, datum in enumerate(row, 1):
            value, number_format = shown.of(datum)
            if isinstance(value, str) and len(value) > rooms[column - 1]:
                lines = max(lines, ceil(len(value) / rooms[column - 1]))
            shown.put(count, column, value, number_format)
        if lines > 1:
            sheet.row_dimensions[count].height = lines * size * POINTS_A_LINE + 2
    if count == 1:
        paper.put(sheet, 2, 1, "none", paper.Look(size=size))
    sums.put(sheet, count + 2, size)
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(fields))}{count}"
    return sheet


class _Sums:
    """The sums of a list, by what sorts its rows and by the place of a column."""

    def __init__(self, fields: Sequence[Field]) -> None:
        self.fields = fields
        self.sorting = next((place for place, field in enumerate(fields) if field.sorts), None)
        self.of: dict[str, dict[int, tuple[Decimal, str]]] = {}

    def add(self, row: Sequence[Datum], shown: "_Formats") -> None:
        """Add a row; where rows are sorted, quantities have many units and are left out."""
        sums = self.of.setdefault("" if self.sorting is None else str(row[self.sorting]), {})
        for place, field in enumerate(self.fields):
            if field.adds and (self.sorting is None or isinstance(row[place], Money)):
                value, number_format = shown.of(row[place])
                if isinstance(value, Decimal):
                    before, longest = sums.get(place, (Decimal(0), ""))
                    sums[place] = before + value, max(longest, number_format, key=len)

    def put(self, sheet: Worksheet, row: int, size: int) -> None:
        """Write the sums from a row on; a list of nothing has none."""
        words, figures = (replace(look, size=size) for look in (paper.TOTAL, paper.FIGURE_TOTAL))
        for sort, amounts in self.of.items():
            for place in range(len(self.fields) if amounts else 0):
                value, number_format = amounts.get(place, (None, paper.GENERAL))
                text = "Total" if place == 0 else sort if place == self.sorting else None
                look = words if value is None else figures
                paper.put(
                    sheet, row, place + 1, text if value is None else value, look, number_format
                )
            row += bool(amounts)


class _Formats:
    """The formats of a sheet's cells, each made once and then lent to all cells of its kind."""

    def __init__(self, sheet: Worksheet, currency: Currency, size: int) -> None:
        self.look = paper.Look(size=size, wrap=True)
        self.sheet, self.currency = sheet, currency
        self.money, self.price = (
            padded(paper.money_format(currency)),
            padded(paper.price_format(currency)),
        )
        self.plain, self.day = padded("0"), paper.DAY
        self.made: dict[str, Cell] = {}

    def of(self, datum: Datum) -> tuple[paper.Value, str]:
        """What is written for a datum, and its format."""
        if isinstance(datum, Money):
            return self.currency.decimal(datum), self.money
        if isinstance(datum, Quantity):
            figure = datum.decimal
            return figure, count_format(figure)
        if isinstance(datum, Decimal):
            return datum, self.price
        return datum, self.day if isinstance(datum, date) else self.plain

    def put(self, row: int, column: int, value: paper.Value, number_format: str) -> None:
        """Write a value; the first cell of a format makes it, the others borrow it."""
        if value is None:
            return
        key = paper.GENERAL if isinstance(value, str) else number_format
        like = self.made.get(key)
        if like is not None:
            paper.put_plain(self.sheet, row, column, value, like)
        else:
            look = replace(self.look, left=isinstance(value, date))
            self.made[key] = cell = paper.put(self.sheet, row, column, value, look)
            cell.number_format = key

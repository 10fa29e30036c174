"""Data sheets: one row of headings, then rows that add up; no titles, no merged cells.

Days are days, money and quantities are numbers, names are text; whoever opens the sheet can filter
and add it up as it stands.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity
from ledger.workbooks.paper import DAY, Value, add_sheet, money_format, price_format, put
from ledger.workbooks.writers.rows import Rows, count_format, padded


@dataclass(frozen=True, slots=True)
class Field:
    """A column: its heading, its width, and whether figures stand in it."""

    name: str
    width: int
    figure: bool = False


def figure(name: str, width: int) -> Field:
    """A column of figures."""
    return Field(name, width, figure=True)


type Datum = Value | Money | Quantity


def add_data_sheet(
    workbook: Workbook,
    title: str,
    fields: Sequence[Field],
    rows: Iterable[Sequence[Datum]],
    currency: Currency,
    *,
    letter: bool = True,
) -> Worksheet:
    """Write a data sheet with a filter on its headings."""
    widths = [field.width for field in fields]
    sheet = add_sheet(workbook, title, widths, landscape=True, headings=1, letter=letter)
    names = [field.name for field in fields]
    figures = [column for column, field in enumerate(fields, 1) if field.figure]
    Rows(sheet, widths).headings(names, figures)
    money, price = padded(money_format(currency)), padded(price_format(currency))
    count = 1
    for count, row in enumerate(rows, 2):
        for column, datum in enumerate(row, 1):
            if isinstance(datum, Money):
                put(sheet, count, column, currency.decimal(datum), number_format=money)
            elif isinstance(datum, Quantity):
                figure = datum.decimal
                put(sheet, count, column, figure, number_format=count_format(figure))
            elif isinstance(datum, Decimal):
                put(sheet, count, column, datum, number_format=price)
            elif isinstance(datum, date):
                put(sheet, count, column, datum).number_format = padded(DAY)
            else:
                put(sheet, count, column, datum, number_format=padded("0"))
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(fields))}{count}"
    return sheet

"""A table for working with: a title, frozen headings, rows as high as their text, sums.

Rows get their height here, because not every spreadsheet program fits wrapped rows when it opens a
file. Figures keep a little room on their right, so that a text beside them does not touch.

What has still to go back at the end of a month or year: clients' money, goods to suppliers.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from math import ceil

from openpyxl import Workbook
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.worksheet import Worksheet

from ledger.measures.money import Currency, Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.spoken import without_commands
from ledger.measures.values import replace
from ledger.reports.month import MonthReport
from ledger.reports.year import YearReport
from ledger.workbooks import paper

POINTS_A_LINE = 1.28
"""Height of a line, of the size of its letters."""

LETTERS_A_COLUMN_UNIT = 1.15
"""Letters of a text in the room of one digit 0: an average letter is narrower."""

_PADDED_TEXT = "General;General;General;@_)"

INSET = 1.5
"""The room that a text beside others leaves on its left, in the units of a column's width."""

PAGE_ROOM = (11 - 2 * 0.7) * 72
"""The height in points that rows have on a standing page, letter being the lower one."""

HEADING_ROW = 3
"""Where the headings of a table stand: below its title and an empty row."""


def height_of(value: paper.Value, width: float, look: paper.Look) -> float:
    """The height in points that a value needs in a column (or columns) so wide."""
    line = look.size * POINTS_A_LINE
    if not isinstance(value, str) or not look.wrap:
        return line
    room = max(1, int(width * LETTERS_A_COLUMN_UNIT * 11 / look.size))
    return line * sum(max(1, ceil(_letters(part) / room)) for part in value.split("\n"))


def _letters(text: str) -> float:
    """How many usual letters take the room of these: codes in capitals need more."""
    return len(text) + 0.3 * sum(letter.isupper() for letter in text)


def padded(number_format: str) -> str:
    """A number format that leaves the room of a bracket on its right."""
    return f"{number_format}_)"


def count_format(value: Decimal | int) -> str:
    """A format for counts: whole ones without a point, others with the decimals they have."""
    decimals = len(f"{value:f}".partition(".")[2])
    return padded("#,##0" + ("." + "0" * decimals if decimals else ""))


type Datum = paper.Value | Money | Quantity
"""What a row is given: amounts and quantities have formats of their own."""


class Rows:
    """A sheet written from top to bottom; `row` is the next free row.

    `currency` is that of its amounts. `size` is that of the letters of its headings, rows and sums.
    Where columns are `close`, only headings beside figures stand off.
    """

    def __init__(
        self,
        sheet: Worksheet,
        widths: Sequence[float],
        currency: Currency | None = None,
        *,
        size: int = paper.USUAL,
        close: bool = False,
    ) -> None:
        self.sheet = sheet
        self.currency = currency
        self.close = close
        self.widths = widths
        self.size = size
        self.row = 1
        self._first = 0
        self._page = 1

    def title(self, text: str, note: str = "") -> None:
        """The title, and a remark in the row below it; the table begins after them."""
        paper.put(self.sheet, 1, 1, text, paper.TITLE)
        self.sheet.row_dimensions[1].height = 24
        self.row = HEADING_ROW
        if note:
            self._across(2, note)

    def headings(self, names: Sequence[str], figures: Sequence[int] = ()) -> None:
        """The row of headings; `figures` are the columns of numbers."""
        for column, name in enumerate(names, 1):
            off = column - 1 in figures or (column > 1 and not self.close)
            look = paper.FIGURE_HEADING if column in figures else replace(paper.HEADING, inset=off)
            look = replace(look, size=self.size)
            paper.put(self.sheet, self.row, column, name, look).number_format = _PADDED_TEXT
        self._fit(names, replace(paper.HEADING, size=self.size))
        self.row += 1
        self._first = self.row

    def add(
        self, values: Sequence[Datum], formats: Sequence[str] = (), look: paper.Look = paper.WRAPPED
    ) -> int:
        """Write a row and give back its number; what has no format here has the usual one."""
        look = replace(look, size=self.size)
        self._fit(self._put(values, formats, look), look)
        self.row += 1
        return self.row - 1

    def add_wide(self, values: Sequence[Datum], formats: Sequence[str] = ()) -> None:
        """Write a row whose last value, a text, takes all the columns that are left."""
        last, look = len(values), replace(paper.WRAPPED, size=self.size)
        cells = self._put(values, formats, look)
        self.sheet.merge_cells(None, self.row, last, self.row, len(self.widths))
        self._fit(cells, look, [*self.widths[: last - 1], sum(self.widths[last - 1 :])])
        self.row += 1

    def _put(
        self, values: Sequence[Datum], formats: Sequence[str], look: paper.Look
    ) -> list[paper.Value]:
        given = [*formats, *[""] * (len(values) - len(formats))]
        cells = [self._cell(value, form) for value, form in zip(values, given, strict=True)]
        paper.put_row(
            self.sheet, self.row, [value for value, _ in cells], look, [f for _, f in cells]
        )
        return [value for value, _ in cells]

    def _cell(self, datum: Datum, number_format: str) -> tuple[paper.Value, str]:
        """A datum as a cell holds it, and its format: the given one, else that of its kind."""
        if isinstance(datum, Money):
            assert self.currency is not None
            usual = padded(paper.money_format(self.currency))
            return self.currency.decimal(datum), number_format or usual
        if isinstance(datum, Quantity):
            return datum.decimal, number_format or count_format(datum.decimal)
        return datum, number_format or paper.GENERAL

    def sums(
        self, name: str, values: Mapping[int, Datum] | Sequence[Datum], number_format: str = ""
    ) -> None:
        """A row of sums under a line, by column or from the second on; none where nothing is."""
        by_column = values if isinstance(values, Mapping) else dict(enumerate(values, 2))
        if self.row == self._first:
            self.add(("none",))
            return
        words, figure = (
            replace(look, size=self.size) for look in (paper.TOTAL, paper.FIGURE_TOTAL)
        )
        paper.put(self.sheet, self.row, 1, name, words)
        for column in range(2, len(self.widths) + 1):
            value, form = self._cell(by_column.get(column), number_format)
            paper.put(self.sheet, self.row, column, value, figure, form)
        self.sheet.row_dimensions[self.row].height = 16
        self.row += 1

    def subtitle(self, text: str) -> None:
        """What the following rows are about, after an empty row."""
        self.sheet.row_dimensions[self.row].height = 9
        self.row += 1
        paper.put(self.sheet, self.row, 1, text, paper.SUBTITLE)
        self.sheet.row_dimensions[self.row].height = 18
        self.row += 1

    def keep_together(self, first: int, below: float = 0) -> None:
        """Let the rows from one on begin a page, where they would else run over its foot.

        `below` are the points of what follows them, such as a chart.
        """
        rows = self.sheet.row_dimensions
        taken = sum(rows[row].height or 15 for row in range(self._page, self.row))
        if taken + below > PAGE_ROOM:
            self.begin_page(first)

    def begin_page(self, row: int) -> None:
        """Let a row be the first of a printed page."""
        self.sheet.row_breaks.append(Break(id=row - 1))
        self._page = row

    def note(self, text: str) -> None:
        """A remark across the page, without what it says to type at the terminal."""
        self._across(self.row, without_commands(text))
        self.row += 1

    def _across(self, row: int, text: str) -> None:
        paper.put(self.sheet, row, 1, text, paper.NOTE)
        self.sheet.merge_cells(None, row, 1, row, len(self.widths))
        self.sheet.row_dimensions[row].height = height_of(text, sum(self.widths), paper.NOTE) + 2

    def _fit(
        self, values: Sequence[paper.Value], look: paper.Look, widths: Sequence[float] | None = None
    ) -> None:
        cells = zip(values, widths or self.widths, strict=False)
        height = max(
            height_of(value, width - (INSET if column else 0), look)
            for column, (value, width) in enumerate(cells)
        )
        self.sheet.row_dimensions[self.row].height = height + 2


def new_page(
    workbook: Workbook,
    title: str,
    widths: Sequence[float],
    currency: Currency,
    *heads: str,
    size: int = paper.USUAL,
    headings: bool = True,
    landscape: bool = False,
) -> Rows:
    """A sheet with its title and note (`heads`); `widths` are in letters of its `size`.

    Without `headings` nothing of it stays in sight when one scrolls.
    """
    units = [width * size / paper.USUAL for width in widths]
    frozen = HEADING_ROW if headings else 0
    page = paper.add_sheet(workbook, title, units, headings=frozen, landscape=landscape)
    rows = Rows(page, units, currency, size=size)
    rows.title(*heads)
    return rows


def add_going_back(rows: Rows, report: MonthReport | YearReport) -> None:
    """What goes back or is to be credited, a list of each with its sum; none where nothing is."""
    for title, amounts in (
        ("Still to go back to clients of closed jobs",
         [(refund.job, refund.back) for refund in report.to_refund]),
        ("Goods of canceled jobs still to be sent back",
         [(goods.job, goods.amount) for goods in report.to_send_back]),
        ("Invoiced beyond what was agreed: credit notes still to be written",
         [(excess.job, excess.amount) for excess in report.to_credit]),
    ):  # fmt: skip
        if amounts:
            rows.subtitle(title)
            for job, amount in amounts:
                rows.add((f"{job.number} {job.title}", amount))
            rows.sums("Total", [total(amount for _, amount in amounts)])

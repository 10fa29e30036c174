"""A page for reading and printing: text that spans columns, rows as high as their text.

Tables of data never merge cells; a letter to a client does, on one grid of columns. A row's height
is worked out from the length of its text, since a spreadsheet does not fit merged cells by itself.
"""

from collections.abc import Sequence
from dataclasses import replace

from openpyxl.styles import Border, Side
from openpyxl.worksheet.worksheet import Worksheet

from ledger.workbooks.paper import BODY, GENERAL, Look, Value, put
from ledger.workbooks.writers.rows import height_of

INK = "3A2E22"
"""The dark brown of headings: prints well in gray."""

NAME = Look(bold=True, size=20, color=INK)
HEAD = Look(bold=True, size=10, color=INK, line_below=True)
HEAD_RIGHT = replace(HEAD, right=True)
TEXT = Look(size=10, wrap=True)
SMALL = Look(size=9, wrap=True, color="333333")
GRAY = Look(size=9, color="666666")
GRAY_RIGHT = replace(GRAY, right=True)
SUM = Look(bold=True, size=10, right=True, line_above=True)
SUM_NAME = Look(bold=True, size=10, line_above=True)
FIGURE = Look(size=10, right=True)
RULE = Look(size=9, color="666666", line_above=True)


class Page:
    """A sheet written from top to bottom on one grid; `row` is the next free row."""

    def __init__(self, sheet: Worksheet, widths: Sequence[float]) -> None:
        self.sheet = sheet
        self.widths = widths
        self.row = 1
        self._height = 0.0

    def span(
        self, first: int, last: int, value: Value, look: Look = BODY, number_format: str = GENERAL
    ) -> None:
        """Write a value over columns of the row under way, and let the row be high enough."""
        put(self.sheet, self.row, first, value, look, number_format)
        if last > first:
            self.sheet.merge_cells(None, self.row, first, self.row, last)
            if look.line_above or look.line_below:
                self._draw_lines(first, last, look)
        wide = sum(self.widths[first - 1 : last])
        self._height = max(self._height, height_of(value, wide, look))

    def end(self, space: float = 0) -> None:
        """End the row; `space` points are left below it."""
        if self._height or space:
            self.sheet.row_dimensions[self.row].height = max(self._height, 1) + space
        self._height = 0.0
        self.row += 1

    def line(self, value: Value, look: Look = TEXT, space: float = 0) -> None:
        """One text across the whole page."""
        self.span(1, len(self.widths), value, look)
        self.end(space)

    def gap(self, points: float = 8) -> None:
        """An empty row."""
        self.end(points)

    def height(self) -> float:
        """The height of all rows so far, in points."""
        rows = self.sheet.row_dimensions
        return sum(rows[row].height or 15 for row in range(1, self.row))

    def _draw_lines(self, first: int, last: int, look: Look) -> None:
        """A merged cell draws only its own borders: the rest of the row gets them too."""
        thin = Side(style="thin", color="999999")
        border = Border(
            top=thin if look.line_above else None, bottom=thin if look.line_below else None
        )
        for column in range(first, last + 1):
            self.sheet.cell(self.row, column).border = border

"""The owner's review as a workbook: what it says, a sheet of each table, the parts behind rows."""

from pathlib import Path

from ledger.reports.review import Review
from ledger.reports.review_blocks_more import blocks_of, missing_words, period_words
from ledger.reports.review_figures import Datum, ReviewTable
from ledger.workbooks.paper import add_sheet, new_workbook, save
from ledger.workbooks.writers.data_sheets import Field, add_data_sheet, fields_of, figure
from ledger.workbooks.writers.rows import Rows

WIDTHS = (88,)
_PARTS = fields_of("table 16; row 30; of 22; words 70; >value 13")


def write_review(one: Review, path: Path, *, letter: bool = True) -> Path:
    """Write the workbook, readable by its owner alone."""
    period = period_words(one.first, one.last)
    workbook = new_workbook(f"Review {period}", one.shop, one.last)
    blocks = blocks_of(one)
    rows = Rows(add_sheet(workbook, "Summary", WIDTHS), WIDTHS)
    rows.title(
        f"Review {period}",
        f"{one.shop}, {one.currency.code}, up to {one.last}. For you alone. The sheet Parts says"
        " which jobs each row comes from.",
    )
    for remark in missing_words(one):
        rows.add((one.currency.words(remark.words),))
    for block in blocks:
        rows.subtitle(block.title)
        for remark in block.remarks:
            rows.add((one.currency.words(remark.words),))
    tables = [table for block in blocks for table in block.tables]
    for table in tables:
        add_data_sheet(
            workbook, table.key.replace("_", " "), _fields(table),
            ((row.name, *row.cells) for row in table.rows), one.currency,
        )  # fmt: skip
    parts = (
        (table.key, row.name, part.of, part.words, part.value)
        for table in tables for row in table.rows for part in row.parts
    )  # fmt: skip
    add_data_sheet(workbook, "Parts", _PARTS, parts, one.currency)
    return save(workbook, path, private=True, letter=letter)


def _fields(table: ReviewTable) -> list[Field]:
    fields = [Field(table.heads[0] or table.key.replace("_", " "), 32)]
    for place, head in enumerate(table.heads[1:]):
        cells = [row.cells[place] for row in table.rows]
        is_text = all(cell is None or isinstance(cell, str) for cell in cells)
        fields.append(Field(head, _wide(cells)) if is_text else figure(head, 16))
    return fields


def _wide(cells: list[Datum]) -> int:
    """The width of a column of words."""
    return min(70, max((len(str(cell)) for cell in cells if cell), default=8) + 4)

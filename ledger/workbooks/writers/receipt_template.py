"""A table of receipts to fill in, with two short examples that can be loaded as they stand."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from openpyxl.utils import get_column_letter

from ledger.book import Book
from ledger.measures.values import replace
from ledger.stock.documents import CATEGORIES, TAX_KINDS
from ledger.workbooks import paper
from ledger.workbooks.writers.to_fill_in import LINES, add_notes, listed, offer, write_text

_COLUMNS = {
    "day": 12, "supplier": 24, "document": 12, "paid_by": 10, "material": 12, "item": 24,
    "category": 12, "quantity": 10, "unit": 8, "unit_price": 11, "discount": 10, "tax": 12,
    "tax_paid": 10, "goes_to": 14, "document_tax": 13, "total": 11, "statement": 24,
}  # fmt: skip
"""The columns that most receipts need, and how wide they are."""

_FIGURES = ("unit_price", "discount", "tax_paid", "document_tax", "total")
_ON_THE_RIGHT = (*_FIGURES, "quantity")
_TEXT, _TEXT_HEADING = paper.Look(inset=True), replace(paper.HEADING, inset=True)
_OFFERED = {"category": CATEGORIES, "tax": TAX_KINDS}
_NOTES: Sequence[tuple[str, str]] = (
    ("How receipts are written", ""),
    ("One row a line", "Day, supplier, document and total stand in the first row of a document;"
     " rows without day and supplier go on with the document above."),
    ("The examples", "The two documents in the sheet load as they stand; write over them."),
    ("Day", "A date of the spreadsheet, or 2025-05-06. Dates in figures only are read in the order"
     " that is usual for the book's currency."),
    ("Material or item", "The code of a material of the book, or words and a category of your"
     " own."),
    ("Price", "unit_price is the price of one as it is bought; discount is taken off the line."),
    ("Tax", "tax_paid is the tax on the line, document_tax one for all taxed lines. tax says how a"
     " line stands: " + ", ".join(TAX_KINDS) + ". What the shop uses up itself, such as abrasives"
     " and gloves, is usually not for resale; your adviser and local law decide."),
    ("goes_to", "A job, stock or shop; or parts of it: J-2507: 12.00; stock: 6.00"),
    ("total", "What the document comes to; where its lines do not, nothing is loaded."),
    ("Freight", "A row of category freight; it is spread over the goods of the document."),
    ("statement", "The supplier's compliance statement for composite panels."),
    ("More columns", "receipt (your own number), kind (bought, credit, in kind, borrowed), tally,"
     " net, document_discount, thickness, value_method, evidence, agreement, credit_of."),
    ("credit_of", "Of which goods a credit note is: a lot, a receipt, the supplier's document or"
     " the material. A quantity of 0 gives back money alone."),
)  # fmt: skip


def write_receipt_template(path: Path, book: Book) -> Path:
    """Write the table as a workbook or, where the name ends in .csv, as plain text.

    Raises:
        NotAllowed: the place cannot be written, or its name ends otherwise.
    """
    if path.suffix.lower() == ".csv":
        return write_text(path, list(_COLUMNS), _examples(book))
    workbook = paper.new_workbook("Receipts", book.settings.shop, book.today)
    names = list(_COLUMNS)
    sheet = paper.add_sheet(
        workbook, "receipts", list(_COLUMNS.values()), landscape=True, headings=1
    )
    for column, name in enumerate(names, 1):
        look = paper.FIGURE_HEADING if name in _ON_THE_RIGHT else _TEXT_HEADING
        paper.put(sheet, 1, column, name, look)
    formats = dict.fromkeys(_FIGURES, paper.money_format(book.currency)) | {"day": paper.DAY}
    for number, row in enumerate(_examples(book), 2):
        for column, name in enumerate(names, 1):
            look = paper.FIGURE if name in _ON_THE_RIGHT else _TEXT
            paper.put(sheet, number, column, row.get(name), look)
    for column, name in enumerate(names, 1):
        letter = get_column_letter(column)
        for line in range(2, LINES + 2):
            sheet[f"{letter}{line}"].number_format = formats.get(name, paper.GENERAL)
        if name in _OFFERED:
            offer(sheet, letter, listed(_OFFERED[name]))
    add_notes(workbook, _NOTES)
    return paper.save(workbook, path)


def _examples(book: Book) -> Iterator[dict[str, paper.Value]]:
    """Two documents in whole amounts, so that they are right in every currency."""
    panel = "birch plywood 3/4 in" if book.units == "inch" else "birch plywood 18 mm"
    yield {"day": book.today, "supplier": "Example Lumber Yard", "document": "EX-1001",
           "paid_by": "transfer", "item": panel, "category": "sheet", "quantity": 2,
           "unit": "sheet", "unit_price": 96, "goes_to": "stock", "total": 200,
           "statement": "as printed on the invoice"}  # fmt: skip
    yield {"item": "wood glue", "category": "adhesive", "quantity": 1, "unit": "each",
           "unit_price": 8, "goes_to": "stock"}  # fmt: skip
    yield {"day": book.today, "supplier": "Example Shop Supply", "document": "EX-77",
           "paid_by": "card", "item": "sanding discs", "category": "abrasive", "quantity": 1,
           "unit": "pack", "unit_price": 18, "tax_paid": 1, "goes_to": "shop",
           "total": 24}  # fmt: skip
    yield {"item": "delivery", "category": "freight", "quantity": 1, "unit_price": 5}

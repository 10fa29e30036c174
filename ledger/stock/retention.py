"""How long a receipt's paper is kept, and what a receipt of panels still lacks.

Of the rules that apply to a document the strictest counts. The tax rule counts from the day on
which the return of its year is filed: in the United States three years (IRS Publication 583, for a
return that reports all income); elsewhere the shop says its country's years. The papers of
composite panels are kept three years from purchase (24 CFR 3282.212).
"""

from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.materials import Material
from ledger.book.tables.receipts import Receipt, ReceiptLine
from ledger.measures.spoken import how_many

PANEL_YEARS = 3
TAX_YEARS = {"USD": 3}
FILED = {"USD": "04-15"}
LATEST_FILED = "12-31"
"""The month and day by which a return is taken to be filed in the following year, unless said."""


class KeptPaper(Struct, frozen=True):
    """Until when a paper is kept at least, and by which rule.

    `until` is None where the country's years are not set; then `panels` may still name a day.
    """

    until: date | None
    rule: str
    panels: date | None = None


def kept_paper(book: Book, receipt: Receipt) -> KeptPaper:
    """Until when the paper of a receipt is kept: the latest day of the rules that apply."""
    code = book.currency.code
    years: int | None = book.settings.keep_years or TAX_YEARS.get(code)
    panels = keep_until(receipt.day) if _has_panels(book, receipt) else None
    if years is None:
        return KeptPaper(None, "", panels)
    month, day = (book.settings.tax_filed or FILED.get(code, LATEST_FILED)).split("-")
    filed = date(receipt.day.year + 1, int(month), int(day))
    tax = keep_until(filed, years)
    if panels and panels > tax:
        return KeptPaper(panels, f"panels: {PANEL_YEARS} years from purchase", panels)
    named = how_many(years, "year")
    return KeptPaper(tax, f"tax: {named} from filing, taken as {filed}", panels)


def _has_panels(book: Book, receipt: Receipt) -> bool:
    codes = {line.material for line in book.rows(ReceiptLine, receipt=receipt.key)} - {None}
    materials = (book.last(Material, code=code) for code in codes)
    return any(material.composite for material in materials if material)


def keep_until(day: date, years: int = PANEL_YEARS) -> date:
    """The last day papers of that day are kept; from 29 February it is the first of March.

    >>> str(keep_until(date(2025, 5, 5))), str(keep_until(date(2024, 2, 29)))
    ('2028-05-05', '2027-03-01')
    """
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)


def panel_note(material: Material, statement: str, day: date) -> str:
    """What to look at again when composite panels come without the supplier's statement."""
    if not material.composite or statement.strip():
        return ""
    return (
        f"{material.code} {material.name}: no compliance statement of the supplier is noted. Ask"
        f" for it and keep it with the receipt at least until {keep_until(day)}; what the law asks"
        " of you, the authority says."
    )

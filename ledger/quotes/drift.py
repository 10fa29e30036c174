"""What became dearer or cheaper since a quote was made: its frozen costs beside today's prices."""

from dataclasses import dataclass
from decimal import Decimal

from ledger.book import Book
from ledger.book.tables.quotes import Quote, QuoteBasis, QuoteDraft
from ledger.costing.frozen import plain, thaw
from ledger.costing.sheet import CostSheet
from ledger.errors import BadValue
from ledger.stock.materials import current_price


@dataclass(frozen=True, slots=True)
class Drift:
    """A material whose price is not the one a quote was made with."""

    material: str
    then: Decimal
    now: Decimal


def basis_sheet(book: Book, quote: Quote) -> CostSheet | None:
    """The cost sheet behind a quote, sent or drafted; None where this program reads it no more."""
    basis = book.last(QuoteBasis, quote=quote.key) or book.last(QuoteDraft, quote=quote.key)
    if basis is None:
        return None
    try:
        return thaw(CostSheet, plain(basis.basis))
    except BadValue:
        return None


def price_drift(book: Book, quote: Quote) -> list[Drift]:
    """The materials of a quote whose price is another one today."""
    sheet = basis_sheet(book, quote)
    found = []
    for line in sheet.lines if sheet else ():
        price = current_price(book, line.item)
        if line.unit_cost and price is not None and price.amount != line.unit_cost:
            found.append(Drift(line.item, line.unit_cost, price.amount))
    return found

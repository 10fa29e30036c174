"""What became dearer or cheaper since a quote was made: its frozen costs beside today's prices."""

from dataclasses import dataclass
from decimal import Decimal

from ledger.book import Book
from ledger.book.tables.quotes import Quote, QuoteBasis, QuoteDraft
from ledger.costing.kept import read_cost_sheet
from ledger.costing.sheet import CostSheet
from ledger.errors import BadValue
from ledger.stock.prices import current_price


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
        return read_cost_sheet(basis.basis)
    except BadValue:
        return None


def price_drift(book: Book, quote: Quote) -> list[Drift]:
    """The materials of a quote whose price is another one today."""
    sheet = basis_sheet(book, quote)
    then = {line.item: line.unit_cost for line in sheet.lines if line.lot is None} if sheet else {}
    drifted = []
    for material, amount in then.items():
        price = current_price(book, material)
        if price is not None and price.amount != amount:
            drifted.append(Drift(material, amount, price.amount))
    return drifted

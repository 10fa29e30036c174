"""What became dearer or cheaper since a quote was made: its frozen costs beside today's prices.

Drafts whose price is another one since the program counts work that it left out before.
"""

from collections.abc import Collection, Iterator
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.quotes import Quote, QuoteBasis, QuoteDraft
from ledger.costing.sheet import CostSheet, read_cost_sheet
from ledger.errors import BadValue, LedgerError
from ledger.jobs.pricing import price_job
from ledger.quotes.revisions import standing
from ledger.stock.prices import current_price


class Drift(Struct, frozen=True):
    """A material's unit price when the quote was made and now, where they differ."""

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


def repriced_words(book: Book, quote: Quote) -> str:
    """A sentence where the price behind a draft is another one today; else, or unpriced, empty.

    Answers, costs, hours and prices that came after the draft are not in it until it is drafted
    again.
    """
    job, then = book.row(Job, quote.job), basis_sheet(book, quote)
    try:
        now = price_job(book, job) if job and then else None
    except LedgerError:
        return ""
    if job is None or then is None or now is None or now.totals.price == then.totals.price:
        return ""
    show = book.currency.show
    return (
        f"{quote.name} was drafted at a price of {show(then.totals.price)}; what was answered or"
        f" changed since makes it {show(now.totals.price)}. To ask for that: benchledger quote"
        f" draft {job.number} --again"
    )


def recounted_drafts(book: Book, operations: Collection[str]) -> Iterator[str]:
    """A sentence for every open draft in which one of these operations has hours today.

    A draft that cannot be priced any more says so when it is drafted again.
    """
    for quote in book.rows(Quote):
        job, then = book.row(Job, quote.job), basis_sheet(book, quote)
        if job is None or then is None or standing(book, quote).state != "draft":
            continue
        try:
            now = price_job(book, job)
        except LedgerError:
            continue
        added = [line.name for line in now.hours if line.operation in operations and line.estimate]
        if added:
            show = book.currency.show
            yield (
                f"{quote.name} was drafted at {show(then.totals.price)}; with {', '.join(added)}"
                f" it comes to {show(now.totals.price)}: benchledger quote draft {job.number}"
            )

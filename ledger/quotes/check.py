"""Every frozen page read again: its digest, its words, its sums."""

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.quotes import Quote, QuoteBasis, QuotePage
from ledger.errors import BadValue
from ledger.measures.frozen import read_json
from ledger.measures.money import total
from ledger.quotes.offer import Offer
from ledger.quotes.snapshot import digest, read_offer


class FrozenPageCheck(Struct, frozen=True):
    """What was found of one frozen page; no faults means it reads as it was sent."""

    name: str
    schema: int
    sha256: str
    faults: tuple[str, ...]


def check_quotes(book: Book, quote: Quote | None = None) -> list[FrozenPageCheck]:
    """Recompute and read again every page that was ever sent, or those of one revision."""
    named = {row.key: row.name for row in book.rows(Quote, in_force=False)}
    bases = {(row.entry, row.quote): row for row in book.rows(QuoteBasis, in_force=False)}
    return [
        FrozenPageCheck(
            named[page.quote],
            page.schema_number,
            page.sha256,
            (*_page_faults(page), *_basis_faults(bases.get((page.entry, page.quote)))),
        )
        for page in book.rows(QuotePage, in_force=False)
        if quote is None or page.quote == quote.key
    ]


def sums_of(offer: Offer) -> tuple[str, ...]:
    """Sums of an offer that do not add up, as sentences."""
    faults = []
    if total(payment.price for payment in offer.payments) != offer.price:
        faults.append("the payments do not add up to the price")
    if total(payment.tax for payment in offer.payments) != offer.tax.amount:
        faults.append("the tax in the payments does not add up to the tax")
    return tuple(faults)


def _page_faults(page: QuotePage) -> tuple[str, ...]:
    faults = [] if digest(page.page) == page.sha256 else ["its bytes are not those that were sent"]
    try:
        faults += sums_of(read_offer(page.page, page.schema_number))
    except BadValue as wrong:
        faults.append(str(wrong))
    return tuple(faults)


def _basis_faults(basis: QuoteBasis | None) -> tuple[str, ...]:
    if basis is None:
        return ("its cost basis is missing",)
    if digest(basis.basis) != basis.sha256:
        return ("the bytes of its cost basis are not those that were kept",)
    try:
        read_json(basis.basis)
    except BadValue as wrong:
        return (str(wrong),)
    return ()

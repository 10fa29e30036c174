"""Drafts whose price is another one since the program counts work that it left out before."""

from collections.abc import Collection, Iterator

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.quotes import Quote
from ledger.errors import LedgerError
from ledger.jobs.pricing import price_job
from ledger.quotes.drift import basis_sheet
from ledger.quotes.revisions import standing


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

"""The statements of all rooms that should hold in a sound book."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.check import BookCheck
from ledger.book.photos import photo_faults
from ledger.quotes.check import check_quotes
from ledger.quotes.invoice import altered_invoices
from ledger.stock.stock_rules import faults


def altered_quotes(book: Book) -> list[str]:
    """What is wrong with the frozen pages of quotes, a sentence each."""
    return [f"{page.name}: {fault}." for page in check_quotes(book) for fault in page.faults]


PHOTOS = "Photos are beside the book, as they were taken"
"""The one check of files beside the book: no figure rests on them."""

CHECKS: Sequence[tuple[str, BookCheck]] = (
    ("What is on hand is what lots and movements say", faults),
    ("Sent quotes are as they were sent", altered_quotes),
    ("Sent invoices are as they were sent", altered_invoices),
    (PHOTOS, photo_faults),
)
"""Statements, each with a function `(book)` that says what is wrong."""

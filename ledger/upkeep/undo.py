"""Taking an entry back, under the rules of all rooms."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.questions.entries import last_in_force
from ledger.book.tables.ground import JournalEntry
from ledger.errors import NotAllowed
from ledger.jobs import job_rules as jobs
from ledger.labor import labor_rules as labor
from ledger.quotes import quote_rules as quotes
from ledger.stock import stock_rules as stock

RULES: Sequence[ReversalRule] = (
    *stock.REVERSAL_RULES,
    *labor.REVERSAL_RULES,
    *jobs.REVERSAL_RULES,
    *quotes.REVERSAL_RULES,
)
"""What each room adds to the references that the book itself guards."""


def take_back(book: Book, number: int | None, why: str) -> JournalEntry:
    """Reverse the entry of that number, the last in force where none is said; give it back.

    Raises:
        NotAllowed: there is nothing to take back, or something rests on it.
    """
    chosen = last_in_force(book) if number is None else number
    if chosen is None:
        raise NotAllowed("There is nothing to take back in this book.")
    return book.reverse(chosen, why, RULES)

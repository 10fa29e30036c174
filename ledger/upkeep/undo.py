"""Taking an entry back, under the rules of all rooms."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.questions.entries import last_in_force
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.jobs import Payment
from ledger.errors import NotAllowed
from ledger.jobs import job_rules as jobs
from ledger.labor import labor_rules as labor
from ledger.quotes import quote_rules as quotes
from ledger.quotes.invoice import papers
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


def papers_untrue(book: Book, back: JournalEntry) -> tuple[str, ...]:
    """A sentence for a payment that was taken back, and that papers sent since say has come."""
    sentences = []
    for payment in book.rows(Payment, in_force=False, entry=back.id):
        job = book.row(Job, payment.job)
        later = [row for row in papers(book, job) if row.entry > payment.entry] if job else []
        if job and later:
            names = " and ".join(row.number or f"the request of {row.day}" for row in later)
            has, what = ("has", "that paper") if len(later) == 1 else ("have", "the papers")
            undone = ", ".join(f"benchledger undo {row.entry}" for row in reversed(later))
            sentences.append(
                f"{names}, sent after this payment, {has} it as received. Take {what} back:"
                f" {undone}; then write anew what is asked for: benchledger quote invoice"
                f" {job.number}"
            )
    return tuple(sentences)

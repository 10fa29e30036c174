"""Taking an entry back, under the rules of all rooms."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.questions.entries import last_by_hand, last_in_force
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.jobs import Payment
from ledger.book.tables.receipts import Receipt
from ledger.errors import NotAllowed
from ledger.jobs import job_rules as jobs
from ledger.labor import labor_rules as labor
from ledger.quotes import quote_rules as quotes
from ledger.quotes.invoice import CREDIT, papers
from ledger.stock import stock_rules as stock
from ledger.stock.takeback import RECEIPT_REVERSED

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
        NotAllowed: there is nothing to take back, or something rests on it; where none is said,
            the last entry took a receipt back.
    """
    chosen = last_in_force(book) if number is None else number
    if number is None:
        _refuse_after_receipt(book, chosen)
    if chosen is None:
        raise NotAllowed("There is nothing to take back in this book.")
    return book.reverse(chosen, why, RULES)


def _refuse_after_receipt(book: Book, before: int | None) -> None:
    """Refuse to take `before` for the last entry where that took a receipt back, which stands."""
    last = last_by_hand(book)
    if last is None or last.verb != RECEIPT_REVERSED or last.reverses is None:
        return
    taken = book.rows(Receipt, in_force=False, entry=last.reverses)
    number = taken[0].number if taken else ""
    other = f" The entry before it is taken back by its number: benchledger undo {before}"
    raise NotAllowed(
        f"The last entry, {last.id}, took {number or 'a receipt'} back, and that stands. Enter it"
        f" once more if it was right: benchledger receipt add … --number {number}."
        + (other if before is not None else "")
    )


def papers_untrue(book: Book, back: JournalEntry) -> tuple[str, ...]:
    """A sentence for a payment that was taken back, and that papers sent since say has come."""
    sentences = []
    for payment in book.rows(Payment, in_force=False, entry=back.id):
        job = book.row(Job, payment.job)
        sent = [row for row in papers(book, job) if row.entry > payment.entry] if job else []
        numbered = [row.number for row in sent if row.series and row.kind != CREDIT]
        if job and numbered:
            has, their = ("has", "its number") if len(numbered) == 1 else ("have", "their numbers")
            sentences.append(
                f"{' and '.join(numbered)}, sent after this payment, {has} it as received and keeps"
                f" {their}. What really came: benchledger job pay {job.number} AMOUNT"
            )
        later = [row for row in sent if not row.series]
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

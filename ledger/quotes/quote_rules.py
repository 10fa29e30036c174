"""What must hold in this room when an entry is taken back."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.jobs import Payment, SentInvoice
from ledger.errors import NotAllowed
from ledger.quotes.contract import contract_on
from ledger.quotes.invoice import CREDIT
from ledger.quotes.revisions import keep_quotes


def keep_numbered_papers(book: Book, entry: JournalEntry) -> None:
    """A paper of a year's series was sent and stays: it is answered, never taken back.

    Raises:
        NotAllowed: the entry wrote such a paper.
    """
    for row in book.rows(SentInvoice, in_force=False, entry=entry.id):
        if row.series and row.kind == CREDIT:
            job = book.row(Job, row.job)
            raise NotAllowed(
                f"{row.number} was sent and keeps its number; what it credited is invoiced anew:"
                f" benchledger quote invoice {job.number if job else 'JOB'}"
            )
        if row.series:
            raise NotAllowed(
                f"{row.number} was sent and keeps its number; under VAT a credit note answers it:"
                f" benchledger quote credit {row.number} --why TEXT"
            )


def keep_invoiced_payments(book: Book, entry: JournalEntry) -> None:
    """Under VAT a payment stands while the invoice that followed it does.

    Raises:
        NotAllowed: more would be invoiced ahead of the work than came.
    """
    for payment in book.rows(Payment, in_force=False, entry=entry.id):
        job = book.row(Job, payment.job)
        if job is None or not any(row.series for row in book.rows(SentInvoice, job=job.key)):
            continue
        contract = contract_on(book, job, book.today)
        ahead = contract.invoiced.asked - contract.received
        if ahead.minor > 0 and not contract.has_final:
            last = contract.standing[-1].row.number
            raise NotAllowed(
                f"{last} was sent for this payment. Credit it first, then undo the payment:"
                f" benchledger quote credit {last} {book.currency.show(ahead)} --why TEXT"
            )


REVERSAL_RULES: Sequence[ReversalRule] = (
    keep_quotes,
    keep_numbered_papers,
    keep_invoiced_payments,
)

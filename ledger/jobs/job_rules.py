"""What must hold in this room when an entry is taken back."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.invoices import SentInvoice
from ledger.book.tables.jobs import Agreement, ChangeOrder, Payment
from ledger.book.tables.stock import Movement
from ledger.book.tables.tax import JobTax
from ledger.errors import NotAllowed
from ledger.measures.money import Money, total

_SENT = "and what was sent keeps its number: what was agreed stands."


def keep_agreements(book: Book, entry: JournalEntry) -> None:
    """What was agreed stands while later change orders, payments or invoices rest on it.

    Raises:
        NotAllowed: something rests on the agreement of this entry.
    """
    for row in book.rows(Agreement, in_force=False, entry=entry.id):
        resting = [
            (one.entry, what)
            for table, what in (
                (ChangeOrder, "a change order"),
                (Payment, "a payment"),
                (SentInvoice, "an invoice"),
            )
            for one in book.rows(table, job=row.job)
            if one.entry > row.entry
        ]
        if resting:
            (last, what), job = max(resting), book.row(Job, row.job)
            numbered = [
                paper.number
                for paper in book.rows(SentInvoice, job=row.job)
                if paper.series and paper.entry > row.entry
            ]
            if numbered:
                raise NotAllowed(
                    f"{' and '.join(numbered)} of {job.number if job else 'the job'}"
                    f" {'rests' if len(numbered) == 1 else 'rest'} on {row.source}, {_SENT}"
                )
            raise NotAllowed(
                f"{job.number if job else 'The job'} has {what} that rests on {row.source}. Undo"
                f" the newest first: benchledger undo {last}"
            )


def keep_tax_answers(book: Book, entry: JournalEntry) -> None:
    """An answer on sales tax stands once its job took goods under it.

    Raises:
        NotAllowed: a later entry issued something to the job.
    """
    for answer in book.rows(JobTax, in_force=False, entry=entry.id):
        later = [row for row in book.rows(Movement, job=answer.job) if row.entry > answer.entry]
        if later:
            raise NotAllowed(
                f"The job took goods under this answer since, by entry {later[0].entry}. Answer"
                " anew instead: benchledger job tax JOB taxable, or improvement"
            )


def keep_refunded_payments(book: Book, entry: JournalEntry) -> None:
    """A payment stands once a refund gave back money of it.

    Raises:
        NotAllowed: without the payment of this entry more went back than came.
    """
    for payment in book.rows(Payment, in_force=False, entry=entry.id):
        standing = book.rows(Payment, job=payment.job)
        if total(row.amount for row in standing) < Money(0):
            last = max(row.entry for row in standing if row.amount < Money(0))
            raise NotAllowed(
                f"A refund by entry {last} gave back money of this payment. Undo the newest first:"
                f" benchledger undo {last}"
            )


REVERSAL_RULES: Sequence[ReversalRule] = (
    keep_agreements,
    keep_tax_answers,
    keep_refunded_payments,
)

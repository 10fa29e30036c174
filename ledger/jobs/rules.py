"""What must hold in this room when a deed is taken back."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.tables.ground import Deed, Job
from ledger.book.tables.jobs import (
    Agreement,
    ChangeOrder,
    Invoice,
    Payment,
)
from ledger.book.tables.stock import Movement
from ledger.book.tables.tax import JobTax, JobUseTax
from ledger.errors import NotAllowed


def keep_agreements(book: Book, deed: Deed) -> None:
    """What was agreed stands while change orders, payments or invoices rest on it.

    Raises:
        NotAllowed: something rests on the agreement of this deed.
    """
    for row in book.rows(Agreement, in_force=False, deed=deed.id):
        for table, what in (
            (ChangeOrder, "a change order"),
            (Payment, "a payment"),
            (Invoice, "an invoice"),
        ):
            if book.rows(table, job=row.job):
                job = book.row(Job, row.job)
                number = job.number if job else "the job"
                raise NotAllowed(f"{number} has {what} that rests on {row.source}; undo it first.")


def keep_use_tax(book: Book, deed: Deed) -> None:
    """An answer on sales tax stands while later tax is owed under it, an issue while its tax is.

    Raises:
        NotAllowed: use tax of a later entry rests on a row of this one.
    """
    for answer in book.rows(JobTax, in_force=False, deed=deed.id):
        if book.rows(JobUseTax, standing=answer.key):
            raise NotAllowed(
                "Use tax was accrued under this answer since. Answer anew instead:"
                " benchledger job tax JOB taxable"
            )
    for issue in book.rows(Movement, in_force=False, deed=deed.id, kind="issue"):
        for row in book.rows(JobUseTax, movement=issue.key):
            raise NotAllowed(f"Use tax was accrued on this issue by entry {row.deed}; undo that.")


REVERSAL_RULES: Sequence[ReversalRule] = (keep_agreements, keep_use_tax)

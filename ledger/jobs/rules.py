"""What must hold in this room when a deed is taken back."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.tables.ground import Deed, Job
from ledger.book.tables.jobs import (
    Agreement,
    ChangeOrder,
    ChangeState,
    Due,
    Invoice,
    InvoicedDue,
    Payment,
)
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


def keep_change_orders(book: Book, deed: Deed) -> None:
    """A change order stands while its approval does, an asked payment while an invoice does.

    Raises:
        NotAllowed: something rests on the rows of this deed.
    """
    for order in book.rows(ChangeOrder, in_force=False, deed=deed.id):
        if book.rows(ChangeState, change_order=order.key):
            raise NotAllowed(f"{order.name} was answered since; undo that first.")
    for due in book.rows(Due, in_force=False, deed=deed.id):
        if book.rows(InvoicedDue, due=due.key):
            raise NotAllowed(f"“{due.name}” was invoiced since; undo that first.")


REVERSAL_RULES: Sequence[ReversalRule] = (keep_agreements, keep_change_orders)

"""What must hold in this room when an entry is taken back."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.invoices import SentInvoice
from ledger.book.tables.jobs import Cancellation, Payment
from ledger.errors import NotAllowed
from ledger.quotes.contract import contract_on
from ledger.quotes.invoice import CREDIT, INVOICE, papers, read_invoice
from ledger.quotes.revisions import keep_quotes


def keep_numbered_papers(book: Book, entry: JournalEntry) -> None:
    """A paper of a year's series was sent and stays: it is answered, never taken back.

    Raises:
        NotAllowed: the entry wrote such a paper.
    """
    for row in book.rows(SentInvoice, in_force=False, entry=entry.id):
        if row.series and row.kind == CREDIT:
            job = book.row(Job, row.job)
            if book.rows(Cancellation, in_force=False, entry=entry.id):
                raise NotAllowed(
                    f"{row.number} was sent with this cancellation and keeps its number. Where you"
                    " agree on another sum: benchledger job cancel"
                    f" {job.number if job else 'JOB'} --kept AMOUNT --why TEXT"
                )
            raise NotAllowed(
                f"{row.number} was sent and keeps its number; what it credited is invoiced anew:"
                f" benchledger quote invoice {job.number if job else 'JOB'}"
            )
        if row.series:
            raise NotAllowed(
                f"{row.number} was sent and keeps its number; under VAT a credit note answers it:"
                f" benchledger quote credit {row.number} --why TEXT"
            )


def keep_deducted_papers(book: Book, entry: JournalEntry) -> None:
    """A paper stands while a later invoice of its job takes it off.

    Raises:
        NotAllowed: a later invoice in force deducts what the entry wrote.
    """
    for row in book.rows(SentInvoice, in_force=False, entry=entry.id):
        job = book.row(Job, row.job)
        for later in papers(book, job) if job and row.number else []:
            off = (one.number.split() for one in read_invoice(later).deducted)
            if later.entry > row.entry and any(row.number in names for names in off):
                instead = (
                    f", or answer it: benchledger quote credit {row.number} --why TEXT"
                    if row.kind == INVOICE
                    else ""
                )
                raise NotAllowed(
                    f"{later.number} counts {row.number}. Undo {later.number} first:"
                    f" benchledger undo {later.entry}{instead}"
                )


def keep_invoiced_cancellations(book: Book, entry: JournalEntry) -> None:
    """A cancellation stands while a paper written after it does: it says what was kept.

    Raises:
        NotAllowed: a later paper in force rests on what the entry canceled.
    """
    for canceled in book.rows(Cancellation, in_force=False, entry=entry.id):
        job = book.row(Job, canceled.job)
        later = [one for one in papers(book, job) if one.entry > canceled.entry] if job else []
        if later and job:
            last = later[-1]
            way = (
                f"another sum that you agree on: benchledger job cancel {job.number}"
                " --kept AMOUNT --why TEXT"
                if last.series
                else f"undo it first: benchledger undo {last.entry}"
            )
            name = last.number or f"The payment request of {last.day}"
            raise NotAllowed(f"{name} rests on this cancellation; {way}")


def keep_invoiced_payments(book: Book, entry: JournalEntry) -> None:
    """Under VAT a payment stands while the invoice that followed it does.

    Raises:
        NotAllowed: more would be invoiced ahead of the work than came.
    """
    for payment in book.rows(Payment, in_force=False, entry=entry.id):
        if payment.amount.minor < 0:
            continue  # a refund taken back brings payments nearer to what is invoiced
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
    keep_invoiced_cancellations,
    keep_numbered_papers,
    keep_deducted_papers,
    keep_invoiced_payments,
)

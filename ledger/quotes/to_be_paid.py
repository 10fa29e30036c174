"""Which papers are not paid yet: how much of each is open, until when, and how many days late.

Money is laid on what papers ask for first, as everywhere. What two papers ask for, such as a
payment request and the final invoice after it, is open on the later one.
"""

from collections.abc import Callable
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.progress import unpaid_jobs
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.jobs.laid import lay_money
from ledger.jobs.payments import outstanding, settlement_of, settlements
from ledger.measures.money import Money, total
from ledger.measures.spoken import how_many
from ledger.quotes.invoice import CREDIT, Invoice, papers, read_invoice


class OpenPaper(Struct, frozen=True):
    """An invoice or payment request with what of it has not come, and the day it was due."""

    job: str
    invoice: str
    kind: str
    due: date
    open: Money
    days_late: int

    @property
    def name(self) -> str:
        """Its number; a payment request has none."""
        return self.invoice or f"{self.kind} of {self.job}"

    @property
    def due_words(self) -> str:
        """Its day, and how late that is."""
        late = f", {how_many(self.days_late, 'day')} late" if self.days_late else ""
        return f"{self.due}{late}"

    def words(self, show: Callable[[Money], str]) -> str:
        """What is open of it and since when, as a sentence."""
        verb = "was" if self.days_late else "is"
        return f"{self.name}: {show(self.open)} {verb} to be paid by {self.due_words}."


def open_papers(book: Book) -> list[OpenPaper]:
    """The papers of all jobs that wait for money, the longest due first."""
    if book.last(InvoiceRow) is None:
        return []
    owing = [one.job for one in settlements(book) if one.owed > Money(0)]
    jobs = [*book.rows_of(Job, unpaid_jobs(book)), *owing]
    waiting = [paper for job in jobs for paper in open_papers_of(book, job)]
    return sorted(waiting, key=lambda paper: (paper.due, paper.job, paper.invoice))


def open_papers_of(book: Book, job: Job) -> list[OpenPaper]:
    """The papers of a job that wait for money, in the order they were written."""
    rows = papers(book, job)
    pages = {row.key: read_invoice(row) for row in rows if row.kind != CREDIT}
    stands = {
        row.key: row.asked + total(one.asked for one in rows if one.corrects == row.key)
        for row in rows
        if row.key in pages
    }
    opened = _opened(book, job, rows, pages, stands)
    return [
        OpenPaper(job.number, row.number, page.kind, page.due_day, left,
                  max((book.today - page.due_day).days, 0))
        for row in rows
        if (page := pages.get(row.key)) is not None and page.due_day is not None
        and (left := min(opened.get(row.key, Money(0)), stands[row.key])) > Money(0)
    ]  # fmt: skip


def amount_missing(book: Book, job: Job, how: str) -> str:
    """Say that a payment without an amount was not noted, and how the next one open is."""
    opened = next((one for one in outstanding(book, job) if one.open > Money(0)), None)
    amount = "AMOUNT" if opened is None else str(book.currency.decimal(opened.open))
    which = "" if opened is None else f", if it was {opened.name}"
    by = f" --by {how}" if how else ""
    return (
        "No payment was noted, for no amount was said:"
        f" benchledger job pay {job.number} {amount}{by}{which}"
    )


def _opened(
    book: Book,
    job: Job,
    rows: list[InvoiceRow],
    pages: dict[int, Invoice],
    stands: dict[int, Money],
) -> dict[int, Money]:
    """What is open of the payments that each paper asks for, no payment counted twice."""
    asking = [row for row in rows if row.key in pages and stands[row.key] > Money(0)]
    settled = settlement_of(book, job)
    if settled is not None:
        return {asking[-1].key: settled.owed} if asking else {}
    laid = lay_money(book, job)
    return {
        row.key: total(part for due, part in laid.open.items() if laid.asked_by.get(due) == row.key)
        for row in asking
    }

"""What clients paid in a time, the tax in it, and what is held until the work is done."""

from dataclasses import dataclass
from datetime import date, timedelta

from ledger.book import Book
from ledger.book.questions.progress import open_jobs, paid_on_jobs
from ledger.book.tables.ground import Job
from ledger.jobs.agreement import asked_for
from ledger.jobs.payments import tax_in
from ledger.measures.money import Money

_HELD_NO_MORE = {"installed"}


@dataclass(frozen=True, slots=True)
class PaidOnJob:
    """One job: received in the time, the tax in that, and what is held at the end of it."""

    job: str
    received: Money
    tax: Money
    held: Money


def money_in(book: Book, first: date, last: date) -> list[PaidOnJob]:
    """What clients paid, a row a job; what a job holds from before shows too.

    A payment fills the payments asked for in their order, and the tax in it is the part of the
    tax asked for there; so a later change order leaves earlier months as they were. In the month
    of a cancellation the tax that was counted before goes out again, but for that in what is kept.
    """
    waiting = {job.job for job in open_jobs(book, last) if job.state not in _HELD_NO_MORE}
    rows = []
    for paid in paid_on_jobs(book, first, last):
        job = book.row(Job, paid.job)
        before = asked_for(book, job, first - timedelta(days=1)) if job else []
        until = asked_for(book, job, last) if job else []
        rows.append(
            PaidOnJob(
                paid.number,
                paid.until - paid.before,
                tax_in(until, paid.until) - tax_in(before, paid.before),
                paid.until if paid.job in waiting else Money(0),
            )
        )
    return [row for row in rows if row.received or row.tax or row.held]

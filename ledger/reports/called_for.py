"""Papers that jobs call for: canceled or invoiced too much, or paid under VAT and not invoiced.

What writes papers is loaded where a job calls for one: the answer is asked for every morning.
"""

from datetime import date
from typing import TYPE_CHECKING

from ledger.book import Book
from ledger.book.questions.progress import overinvoiced_jobs, paid_beyond_invoices
from ledger.book.tables.ground import Job
from ledger.jobs.payments import settlements

if TYPE_CHECKING:
    from ledger.quotes.excess import Excess


def papers_called_for(book: Book) -> list[str]:
    """Which paper each such job calls for, as a sentence with its command."""
    canceled = [one.job for one in settlements(book)]
    excess = book.rows_of(Job, overinvoiced_jobs(book))
    words = []
    if canceled or excess:
        from ledger.quotes.billing import next_paper
        from ledger.quotes.excess import credit_needed
        from ledger.quotes.invoice import papers

        words = [next_paper(book, job) for job in canceled if papers(book, job)]
        words += [credit_needed(book, job) for job in excess]
    done = {job.key for job in (*canceled, *excess)}
    return [*filter(None, words), *_follow(book, date.min, date.max, done)]


def invoices_that_follow(book: Book, first: date, last: date) -> list[str]:
    """The jobs whose payments of some days made VAT fall due and that no invoice has yet."""
    done = {one.job.key for one in settlements(book)}
    return _follow(book, first, last, done | {*overinvoiced_jobs(book)})


def credits_needed(book: Book, day: date) -> "list[Excess]":
    """What was invoiced beyond what jobs came to at the end of a day, canceled ones too."""
    canceled = {one.job.key for one in settlements(book)}
    jobs = book.rows_of(Job, canceled | {*overinvoiced_jobs(book)})
    if not jobs:
        return []
    from ledger.quotes.excess import excess_on

    excess = [excess_on(book, job, day) for job in jobs]
    return [one for one in excess if one is not None]


def _follow(book: Book, first: date, last: date, done: set[int]) -> list[str]:
    if book.settings.tax_standing != "vat":
        return []
    paid = [job for job in paid_beyond_invoices(book, first, last) if job not in done]
    if not paid:
        return []
    from ledger.quotes.billing import next_paper

    return [*filter(None, (next_paper(book, job) for job in book.rows_of(Job, paid)))]

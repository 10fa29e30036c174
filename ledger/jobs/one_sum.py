"""A price that was said without a quote, in one sum or at closing, and the tax on it."""

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.jobs.agreement import IN_ONE_SUM, SaidPrice, agree_without_quote, agreement_of
from ledger.jobs.lines import total_of
from ledger.jobs.tax import standing_of, tax_rate_of
from ledger.measures.money import Money, sales_tax


def closing_price(book: Book, job: Job, price: Money, tax: Money | None = None) -> SaidPrice:
    """A price before tax that is said at closing, with the tax of the job's standing.

    `tax` is what of a sum that was said with tax remains for it.
    """
    rate = tax_rate_of(book, job)
    tax = sales_tax(price, rate, book.currency) if tax is None else tax
    return SaidPrice(price, tax, rate, standing_of(book, job))


def agree_unless_quoted(book: Book, job: Job) -> None:
    """Make the total of a job its agreement when it is first paid or changed, without a quote."""
    from ledger.book.tables.quotes import Quote

    if book.last(Quote, job=job.key) is None:
        agree_on_total(book, job)


def agree_on_total(book: Book, job: Job) -> None:
    """Make the total of a job its agreement when it is first billed or paid; no quote said it."""
    total_price = total_of(book, job)
    if total_price is None or agreement_of(book, job) is not None:
        return
    agreed = closing_price(book, job, total_price.price, total_price.tax)
    agree_without_quote(book, job, agreed, IN_ONE_SUM)

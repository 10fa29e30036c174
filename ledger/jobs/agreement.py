"""What was agreed for a job, and the payments it asks for.

An accepted quote makes the agreement; each approved change order adds a payment to it. Price and
tax stand apart, and the payments add up to both.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Agreement, Due
from ledger.errors import NotAllowed
from ledger.measures.money import Money, total


@dataclass(frozen=True, slots=True)
class Ask:
    """One payment to be asked for: its name, its part of the price and of the tax."""

    name: str
    price: Money
    tax: Money


def agree(
    book: Book,
    job: Job,
    source: str,
    asks: Sequence[Ask],
    *,
    day: date,
    tax_rate: Fraction,
    tax_standing: str,
) -> Agreement:
    """Post what was agreed, inside the deed of the acceptance."""
    with book.deed("job agree", f"{job.number} {source}"):
        row = book.post(
            Agreement(
                job=job.key,
                source=source,
                day=day,
                price=total(ask.price for ask in asks),
                tax=total(ask.tax for ask in asks),
                tax_rate=tax_rate,
                tax_standing=tax_standing,
            )
        )
        for ask in asks:
            add_due(book, job, source, ask)
    return row


def add_due(book: Book, job: Job, source: str, ask: Ask) -> None:
    """Post one more payment to be asked for, inside a deed."""
    book.post(Due(job=job.key, source=source, name=ask.name, price=ask.price, tax=ask.tax))


def agreement_of(book: Book, job: Job) -> Agreement | None:
    """What was agreed for a job, or None."""
    return book.last(Agreement, job=job.key)


def require_agreement(book: Book, job: Job) -> Agreement:
    """What was agreed for a job.

    Raises:
        NotAllowed: no quote was accepted.
    """
    found = agreement_of(book, job)
    if found is None:
        raise NotAllowed(
            f"Nothing is agreed for {job.number} yet; the client accepts a quote first:"
            f" benchledger quote accept {job.number}"
        )
    return found


def dues_of(book: Book, job: Job) -> list[Due]:
    """The payments asked for, those of the quote first, then of the change orders."""
    return book.rows(Due, job=job.key)

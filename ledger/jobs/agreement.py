"""What was agreed for a job, and the payments it asks for.

An accepted quote makes the agreement; each approved change order adds a payment to it. Price and
tax stand apart, and the payments add up to both. From the day a job is canceled it asks for what
the cancellation kept, and for nothing else.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.jobs import (
    AgreedLine,
    Agreement,
    Cancellation,
    ChangeOrder,
    ChangeState,
    Due,
)
from ledger.errors import NotAllowed
from ledger.measures.fields import made_of
from ledger.measures.money import Money, total

CLOSING = "price at closing"
"""The source of an agreement whose price was said at closing, where no quote was accepted."""

IN_ONE_SUM = "price in one sum"
"""The source of an agreement on a total, where no quote was accepted."""

WITHOUT_QUOTE = (CLOSING, IN_ONE_SUM)
"""Sources of agreements that give way to what is agreed later."""


class Ask(Struct, frozen=True):
    """One payment to be asked for: its name, its part of the price and of the tax."""

    name: str
    price: Money
    tax: Money

    @property
    def asked(self) -> Money:
        """What is to be paid, tax included."""
        return self.price + self.tax


class SaidPrice(Struct, frozen=True):
    """A price that was said without a quote, in one sum or at closing, and the tax on it."""

    price: Money
    tax: Money
    tax_rate: Fraction
    tax_standing: str

    @property
    def asked(self) -> Money:
        """What the client pays of it, tax included."""
        return self.price + self.tax


class Delivered(Struct, frozen=True):
    """One deliverable or chosen option under its own price, its tax, and how many pieces it is."""

    name: str
    price: Money
    taxed: bool
    pieces: int = 1


def agree(
    book: Book,
    job: Job,
    source: str,
    asks: Sequence[Ask],
    *,
    day: date,
    tax_rate: Fraction,
    tax_standing: str,
    lines: Sequence[Delivered] = (),
) -> Agreement:
    """Post what was agreed, inside the entry of the acceptance; `lines` say what for.

    A price that was said without a quote gives way to what is agreed later.
    """
    before = agreement_of(book, job)
    with book.entry("job agree", f"{job.number} {source}"):
        if before is not None and before.source in WITHOUT_QUOTE:
            _take_off(book, job)
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
        for line in lines:
            book.post(made_of(AgreedLine, line, agreement=row.key))
        for ask in asks:
            add_due(book, job, source, ask)
    return row


def _take_off(book: Book, job: Job) -> None:
    """Take off what a price said without a quote still asks for, inside an entry."""
    dues = [due for due in dues_of(book, job) if due.source in WITHOUT_QUOTE]
    price, tax = total(due.price for due in dues), total(due.tax for due in dues)
    if price or tax:
        source = dues[-1].source
        add_due(book, job, source, Ask("price said before, agreed anew", -price, -tax))


def agree_without_quote(book: Book, job: Job, agreed: SaidPrice, source: str = CLOSING) -> None:
    """Post a price that was said in one sum or at closing, where no quote stands and it is news."""
    before = agreement_of(book, job)
    is_there = before is not None and before.source in WITHOUT_QUOTE
    if before is not None and is_there and (before.price, before.tax) == (agreed.price, agreed.tax):
        return
    agree(
        book, job, source, [Ask("agreed price", agreed.price, agreed.tax)], day=book.today,
        tax_rate=agreed.tax_rate, tax_standing=agreed.tax_standing,
        lines=[Delivered(job.title, agreed.price, taxed=bool(agreed.tax))],
    )  # fmt: skip


def add_due(book: Book, job: Job, source: str, ask: Ask) -> Due:
    """Post one more payment to be asked for, inside an entry."""
    return book.post(made_of(Due, ask, job=job.key, source=source))


def agreement_of(book: Book, job: Job) -> Agreement | None:
    """What was agreed for a job, or None."""
    return book.last(Agreement, job=job.key)


def price_that_stands(book: Book, job: Job) -> str:
    """That a job which is made otherwise now keeps the price that was agreed; else nothing."""
    agreed = agreement_of(book, job)
    if agreed is None:
        return ""
    return (
        f"{agreed.source} stands at {book.currency.show(agreed.price)}, with its planned hours."
        " What the client pays more or less for this is a change order: benchledger job change"
        f" {job.number} WORDS --price AMOUNT, less as -AMOUNT"
    )


def no_price_words(job: Job) -> str:
    """That a job has neither a quote nor a price, and what would be right."""
    return (
        f"{job.number} has no quote and no agreed price. Draft a quote: benchledger quote draft"
        f" {job.number}, or say what was agreed: benchledger job set {job.number} --price AMOUNT"
    )


def require_agreement(book: Book, job: Job) -> Agreement:
    """What was agreed for a job.

    Raises:
        NotAllowed: no quote was accepted.
    """
    agreement = agreement_of(book, job)
    if agreement is None:
        from ledger.book.tables.quotes import Quote

        if book.last(Quote, job=job.key) is None:
            raise NotAllowed(no_price_words(job))
        raise NotAllowed(
            f"Nothing is agreed for {job.number} yet; the client accepts a quote first:"
            f" benchledger quote accept {job.number}"
        )
    return agreement


def agreed_lines(book: Book, agreement: Agreement) -> list[Delivered]:
    """What an agreement is for; nothing where it was made before that was kept."""
    rows = book.rows(AgreedLine, agreement=agreement.key)
    return [Delivered(row.name, row.price, row.taxed, row.pieces) for row in rows]


def dues_of(book: Book, job: Job) -> list[Due]:
    """The payments asked for, those of the quote first, then of the change orders."""
    return book.rows(Due, job=job.key)


def cancellation_of(book: Book, job: Job, day: date | None = None) -> Cancellation | None:
    """The cancellation under which a job stood at the end of a day, the last one counting."""
    known = [row for row in book.rows(Cancellation, job=job.key) if not day or row.day <= day]
    if not known:
        return None
    states = [row for row in book.rows(JobState, job=job.key) if not day or row.day <= day]
    return known[-1] if states and states[-1].state == "canceled" else None


def _approved_after(book: Book, job: Job, day: date) -> set[str]:
    """The change orders approved after a day: until then they neither ask nor take off."""
    return {
        order.name
        for order in book.rows(ChangeOrder, job=job.key)
        for state in book.rows(ChangeState, change_order=order.key, state="approved")
        if state.day > day
    }


def asked_for(book: Book, job: Job, day: date | None = None) -> list[Due]:
    """What a job asked for at the end of a day: its payments, or what its cancellation kept.

    The row of a cancellation is worked out from it and never posted.
    """
    canceled = cancellation_of(book, job, day)
    if canceled is None:
        late = _approved_after(book, job, day) if day else set()
        return [due for due in dues_of(book, job) if due.source not in late]
    if not canceled.kept:
        return []
    agreed = dues_of(book, job)
    is_all = canceled.kept == total(due.asked for due in agreed)
    tax = total(due.tax for due in agreed) if is_all else canceled.tax
    name = f"kept, canceled {canceled.stage}"
    return [Due(job=job.key, source="cancellation", name=name, price=canceled.kept - tax, tax=tax)]

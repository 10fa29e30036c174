"""A change order as it goes to the client to be signed, frozen like an invoice.

It names the piece and the quote, what changes, its price and tax, what the whole comes to with it,
and the days that it adds. The client is named by a number only.
"""

from datetime import date, timedelta
from typing import Any

from msgspec import Struct

from ledger.book import Book
from ledger.book.clients import keep_addressee
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import ChangeOrder
from ledger.book.tables.printed import ChangePageRow
from ledger.errors import BadValue, LedgerError, NotAllowed
from ledger.jobs.agreement import WITHOUT_QUOTE
from ledger.jobs.changes import changes, tax_on_change
from ledger.jobs.jobs import client_number
from ledger.jobs.lines import has_design
from ledger.jobs.payments import payments
from ledger.jobs.pricing import price_job
from ledger.measures.fields import made_of
from ledger.measures.frozen import freeze, thaw_page
from ledger.measures.money import Currency, Money
from ledger.quotes.contract import ZERO, Contract, contract_on
from ledger.quotes.occasions import is_repair, occasions_of
from ledger.quotes.offer import Maker
from ledger.quotes.snapshot import digest
from ledger.quotes.terms import tax_words
from ledger.quotes.wording import CLAUSES, clause, maker

SCHEMA = 2
"""The schema of pages that this program writes; a changed `ChangePage` raises it."""


class ChangePage(Struct, frozen=True):
    """A change order as its client reads it; `ready` is about when the piece comes with it.

    `takes_days_off` says that days below zero are called so: pages of the first schema were not.
    """

    number: str
    day: date
    currency: Currency
    units: str
    maker: Maker
    client: int | None
    quote: str
    title: str
    words: str
    asked_by: str
    price: Money
    tax: Money
    tax_words: str
    agreed_price: Money
    agreed_tax: Money
    days: int
    days_before: int
    ready: date | None
    clause: str
    takes_days_off: bool = True

    @property
    def asked(self) -> Money:
        """What it adds to what is to be paid, or takes off."""
        return self.price + self.tax


def freeze_change(book: Book, job: Job, order: ChangeOrder) -> ChangePage:
    """Post the page of a change order that was just proposed, inside the entry that proposes it."""
    page = _page(book, job, order)
    frozen = freeze(page)
    book.post(
        ChangePageRow(
            change_order=order.key, schema_number=SCHEMA, page=frozen, sha256=digest(frozen)
        )
    )
    if page.client is not None:
        keep_addressee(book, page.client, change_order=order.key)
    return page


def read_change(book: Book, order: ChangeOrder) -> ChangePage:
    """The page of a change order as it was proposed.

    Raises:
        NotAllowed: it was written by an earlier release, which kept none.
        BadValue: its bytes are not those that were kept, or of a newer program.
    """
    row = book.last(ChangePageRow, change_order=order.key)
    if row is None:
        raise NotAllowed(f"No page was kept of {order.name}: it was written without one.")
    if digest(row.page) != row.sha256:
        raise BadValue(f"{order.name}: its bytes are not those that were kept. Restore a backup.")
    return thaw_page(ChangePage, row.page, row.schema_number, STEPS, order.name)


def _of_first_schema(body: dict[str, Any]) -> dict[str, Any]:
    return body | {"takes_days_off": False}


STEPS = (_of_first_schema,)
"""What brings pages of each older schema to the next one."""


def _page(book: Book, job: Job, order: ChangeOrder) -> ChangePage:
    contract = contract_on(book, job, order.day)
    agreed = contract.agreement
    tax = tax_on_change(book, order, agreed)
    approved = [one for one in changes(book, job) if one.state == "approved"]
    days_before = sum(one.order.days for one in approved if one.since <= order.day)
    return made_of(
        ChangePage,
        order,
        number=order.name,
        currency=book.currency,
        units=book.units,
        maker=maker(book),
        client=client_number(book, job),
        quote="" if agreed.source in WITHOUT_QUOTE else agreed.source,
        title=job.title,
        tax=tax,
        tax_words=tax_words(agreed.tax_standing, agreed.tax_rate, whole=True) if tax else "",
        agreed_price=contract.whole.price,
        agreed_tax=contract.whole.tax,
        days_before=days_before,
        ready=_ready(book, contract, order.days + days_before),
        clause=_clause(book, contract),
    )


def _clause(book: Book, contract: Contract) -> str:
    """How changes go: as the quote says that was accepted, else the shop's words for such a job."""
    job, offer = contract.job, contract.offer
    wording, name = CLAUSES[0]
    if offer is not None:
        return next((one.words for one in offer.clauses if one.name == name), "")
    try:
        holds = occasions_of(book, job, price_job(book, job), [job.title])
    except LedgerError:  # what cannot be priced today can still be changed
        known = {"repair", "service"} if is_repair([job.title]) else {"service"}
        holds = frozenset({"drawn"} if has_design(book, job) else known)
    return clause(book, wording, holds)


def _ready(book: Book, contract: Contract, days: int) -> date | None:
    """The weeks of the quote from the first payment on, and the days that changes add."""
    came = [one.day for one in payments(book, contract.job) if one.amount > ZERO]
    if contract.offer is None or not came or min(came) > contract.day:
        return None
    return min(came) + timedelta(weeks=contract.offer.lead_weeks, days=days)

"""Invoices: a deposit, a stage or the rest asked for, as it was sent, in the client's own figures.

An invoice takes payments that are asked for and were not invoiced yet: the next one, a named one
or all that is left. Like a quote it is frozen: its bytes, their SHA-256 and schema are kept, and
the client is named by a number only.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.book import Book, require_open_day
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Due, InvoicedDue
from ledger.book.tables.jobs import Invoice as InvoiceRow
from ledger.costing.frozen import freeze, plain, thaw
from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.jobs.agreement import dues_of, require_agreement
from ledger.jobs.payments import balance, card_fee, grossed_up
from ledger.measures.money import Currency, Money, total
from ledger.quotes.offer import Maker
from ledger.quotes.snapshot import digest
from ledger.quotes.terms import tax_words
from ledger.quotes.wording import maker

SCHEMA = 1
"""The schema of invoices that this program writes; a changed `Invoice` raises it."""


@dataclass(frozen=True, slots=True)
class InvoiceLine:
    """One payment asked for: its part of the price and of the tax."""

    name: str
    price: Money
    tax: Money


@dataclass(frozen=True, slots=True)
class Invoice:
    """An invoice as the client reads it."""

    number: str
    kind: str
    day: date
    currency: Currency
    units: str
    maker: Maker
    tax_number: str
    client: int | None
    quote: str
    title: str
    lines: tuple[InvoiceLine, ...]
    tax_words: str
    agreed_price: Money
    agreed_tax: Money
    received: Money
    pay_to: str
    by_card: Money | None

    @property
    def price(self) -> Money:
        """What is asked for, before tax."""
        return total(line.price for line in self.lines)

    @property
    def tax(self) -> Money:
        """The tax in what is asked for."""
        return total(line.tax for line in self.lines)

    @property
    def asked(self) -> Money:
        """What is asked for, tax included."""
        return self.price + self.tax

    @property
    def agreed(self) -> Money:
        """All that was agreed until now, tax included."""
        return self.agreed_price + self.agreed_tax

    @property
    def left(self) -> Money:
        """What stays to be paid of the whole once this invoice is paid."""
        return self.agreed - self.received - self.asked


def write_invoice(
    book: Book,
    job: Job,
    *,
    which: str = "",
    rest: bool = False,
    by_card: bool = False,
    day: date | None = None,
) -> Invoice:
    """Post the next invoice of a job: the next payment asked for, a named one, or all the rest.

    Raises:
        NotAllowed: nothing is agreed, or everything was invoiced.
        NotFound: no payment that is left is named so.
    """
    agreed = require_agreement(book, job)
    when = require_open_day(book, day or book.today)
    dues = dues_of(book, job)
    left = uninvoiced(book, job)
    if not left:
        raise NotAllowed(f"Everything asked for on {job.number} was invoiced already.")
    chosen = left if rest else [find_due(left, which) if which else left[0]]
    number = f"{_stem(job)}-{len(book.rows(InvoiceRow, in_force=False, job=job.key)) + 1}"
    now = balance(book, job)
    asked = total(due.asked for due in chosen)
    invoice = Invoice(
        number=number,
        kind=_kind(dues, chosen, left),
        day=when,
        currency=book.currency,
        units=book.units,
        maker=maker(book),
        tax_number=str(book.setting("tax_number")),
        client=job.client,
        quote=agreed.source,
        title=job.title,
        lines=tuple(InvoiceLine(due.name, due.price, due.tax) for due in chosen),
        tax_words=_tax_words(book, agreed.tax_standing, agreed.tax_rate),
        agreed_price=now.price,
        agreed_tax=now.tax,
        received=now.received,
        pay_to=str(book.setting("wording_pay_to")),
        by_card=_by_card(book, asked) if by_card else None,
    )
    _post(book, job, invoice, chosen)
    return invoice


def uninvoiced(book: Book, job: Job) -> list[Due]:
    """The payments asked for of which no invoice was written yet, in their order."""
    done = {row.due for row in book.rows(InvoicedDue)}
    return [due for due in dues_of(book, job) if due.key not in done]


def invoices(book: Book, job: Job) -> list[InvoiceRow]:
    """The invoices of a job in the order they were written."""
    return book.rows(InvoiceRow, job=job.key)


def read_invoice(row: InvoiceRow) -> Invoice:
    """An invoice as it was sent, read from its bytes.

    Raises:
        BadValue: the bytes are not an invoice of this or an older program.
    """
    if row.schema_number > SCHEMA:
        raise BadValue(f"{row.number} was written by a newer program; install it to read it.")
    return thaw(Invoice, plain(row.page))


def find_due(left: Sequence[Due], text: str) -> Due:
    """The payment of that name, or of an unambiguous part of it.

    Raises:
        NotFound: none answers.
        Ambiguous: several do.
    """
    sought = text.strip().casefold()
    near = [due for due in left if sought in f"{due.source} {due.name}".casefold()]
    exact = [due for due in left if sought in (due.name.casefold(), due.source.casefold())]
    names = [due.name for due in left]
    if len(exact) == 1 or len(near) == 1:
        return (exact or near)[0]
    raise Ambiguous("payment", text, names) if near else NotFound("payment", text, names)


def altered_invoices(book: Book) -> list[str]:
    """What is wrong with the frozen pages of invoices, a sentence each."""
    found = []
    for row in book.rows(InvoiceRow, in_force=False):
        if digest(row.page) != row.sha256:
            found.append(f"{row.number}: its bytes are not those that were sent.")
            continue
        if read_invoice(row).asked != row.asked:
            found.append(f"{row.number}: its lines do not add up to what it asks for.")
    return found


def _post(book: Book, job: Job, invoice: Invoice, chosen: Sequence[Due]) -> None:
    page = freeze(invoice)
    with book.deed("quote invoice", f"{job.number} {invoice.number}"):
        row = book.post(
            InvoiceRow(
                job=job.key,
                number=invoice.number,
                day=invoice.day,
                asked=invoice.asked,
                schema_number=SCHEMA,
                page=page,
                sha256=digest(page),
            )
        )
        for due in chosen:
            book.post(InvoicedDue(invoice=row.key, due=due.key))


def _stem(job: Job) -> str:
    return f"I-{job.number.removeprefix('J-')}"


def _kind(dues: Sequence[Due], chosen: Sequence[Due], left: Sequence[Due]) -> str:
    """Deposit, stage or final, as invoices are called."""
    if len(chosen) == len(left):
        return "Final invoice" if len(left) < len(dues) or len(dues) == 1 else "Invoice"
    return "Deposit invoice" if chosen[0].key == dues[0].key else "Stage invoice"


def _tax_words(book: Book, standing: str, rate: Fraction) -> str:
    if standing == "exempt":
        return str(book.setting("wording_exempt"))
    return tax_words(standing, rate, whole=standing == "vat")


def _by_card(book: Book, asked: Money) -> Money | None:
    """What would be asked for by card, the fee grossed up; None where the shop has no fee."""
    if not card_fee(book, asked):
        return None
    return grossed_up(asked, book.setting("card_fee"), book.setting("card_fee_fixed"))

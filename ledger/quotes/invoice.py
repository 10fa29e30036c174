"""Invoices, payment requests and credit notes as they were sent, in the client's own figures.

Like a quote a paper is frozen: its bytes, their SHA-256 and schema are kept, and the client is
named by a number only. A page of an older schema is read by bringing its plain values up; it says
what it said when it was sent.
"""

from datetime import date
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.errors import NotFound
from ledger.measures.frozen import Step, thaw_page
from ledger.measures.money import Currency, Money, total
from ledger.quotes.offer import Maker
from ledger.quotes.snapshot import digest, of_one_piece

INVOICE, REQUEST, CREDIT = "invoice", "request", "credit"
"""What a paper is: an invoice, a payment request (no invoice), a credit note."""

DEPOSIT, STAGE, FINAL, ALONE = "Deposit invoice", "Progress invoice", "Final invoice", "Invoice"
"""How invoices are called by what they ask for; the last one is the whole or all that is left."""


class InvoiceLine(Struct, frozen=True):
    """What is billed: its price, the tax on it, and at which rate (None: no tax falls on it)."""

    name: str
    price: Money
    tax: Money
    rate: Fraction | None = None
    pieces: int = 1

    @property
    def piece(self) -> Money | None:
        """The price of one piece; the pieces together are the price."""
        return self.price.divided(self.pieces)


class TaxPart(Struct, frozen=True):
    """The tax at one rate and the price it is on; without a rate, what no tax falls on."""

    words: str
    rate: Fraction | None
    base: Money
    tax: Money


class Deducted(Struct, frozen=True):
    """A payment invoiced earlier, with its own price and tax, that a final invoice takes off."""

    number: str
    day: date
    price: Money
    tax: Money


class ChangeLine(Struct, frozen=True):
    """A change of the agreed price by its number, with its tax."""

    name: str
    words: str
    price: Money
    tax: Money


class Invoice(Struct, frozen=True):
    """A paper as the client reads it; `changes` is None on one of the first schema."""

    number: str
    kind: str
    paper: str
    day: date
    due_day: date | None
    supplied: date | None
    paid_on: tuple[date, ...]
    currency: Currency
    units: str
    maker: Maker
    tax_standing: str
    tax_number: str
    client: int | None
    quote: str
    title: str
    description: str
    lines: tuple[InvoiceLine, ...]
    deducted: tuple[Deducted, ...]
    taxes: tuple[TaxPart, ...]
    tax_words: str
    changes: tuple[ChangeLine, ...] | None
    agreed_price: Money
    agreed_tax: Money
    received: Money
    settled: Money
    pay_to: str
    iban: str
    bic: str
    by_card: Money | None
    corrects: str
    reason: str
    notes: tuple[str, ...]

    @property
    def price(self) -> Money:
        """What is invoiced here, before tax."""
        return total(line.price for line in self.lines) - total(d.price for d in self.deducted)

    @property
    def tax(self) -> Money:
        """The tax in what is invoiced here."""
        return total(line.tax for line in self.lines) - total(d.tax for d in self.deducted)

    @property
    def asked(self) -> Money:
        """What is invoiced here, tax included."""
        return self.price + self.tax

    @property
    def to_pay(self) -> Money:
        """What of it was still to be paid on its day."""
        return self.asked - self.settled

    @property
    def agreed(self) -> Money:
        """All that was agreed until now, change orders and tax included."""
        return self.agreed_price + self.agreed_tax

    @property
    def left(self) -> Money:
        """What stays to be paid of the whole once this paper is paid."""
        return self.agreed - self.received - self.to_pay

    @property
    def is_paid(self) -> bool:
        """Whether all that it invoices had come by its day."""
        return self.paper == INVOICE and self.asked > Money(0) and not self.to_pay

    @property
    def first_agreed(self) -> tuple[Money, Money]:
        """Price and tax as the quote was accepted, before any change."""
        changes = self.changes or ()
        return (
            self.agreed_price - total(change.price for change in changes),
            self.agreed_tax - total(change.tax for change in changes),
        )


def _with_contract(page: dict[str, Any]) -> dict[str, Any]:
    """Schema 2 tells papers apart and says what was paid of them; the first schema did not."""
    return page | {
        "paper": INVOICE,
        "tax_standing": "",
        "due_day": None,
        "supplied": None,
        "paid_on": [],
        "description": "",
        "lines": [line | {"rate": None} for line in page["lines"]],
        "deducted": [],
        "taxes": [],
        "changes": None,
        "settled": 0,
        "iban": "",
        "bic": "",
        "corrects": "",
        "reason": "",
        "notes": [],
    }


_STEPS: tuple[Step, ...] = (_with_contract, of_one_piece)

SCHEMA = len(_STEPS) + 1
"""The schema of papers that this program writes; a changed `Invoice` adds a step."""


def papers(book: Book, job: Job) -> list[InvoiceRow]:
    """The papers of a job in the order they were written: invoices, requests, credit notes."""
    return book.rows(InvoiceRow, job=job.key)


def find_paper(book: Book, text: str, job: Job | None = None) -> InvoiceRow:
    """The paper of that number; of a job, `request` means its last payment request.

    Raises:
        NotFound: there is none.
    """
    rows = papers(book, job) if job else book.rows(InvoiceRow)
    sought = text.strip().casefold()
    for row in reversed(rows):
        if sought in (row.number.casefold(), row.kind if row.kind == REQUEST else ""):
            return row
    raise NotFound("invoice", text, [row.number for row in rows if row.number])


def read_invoice(row: InvoiceRow) -> Invoice:
    """A paper as it was sent, read from its bytes.

    Raises:
        BadValue: the bytes are not an invoice of this or an older program.
    """
    return thaw_page(Invoice, row.page, row.schema_number, _STEPS, row.number or "This request")


def altered_invoices(book: Book) -> list[str]:
    """What is wrong with the frozen papers, a sentence each; a yearly series has no gap."""
    altered = []
    places: dict[str, list[int]] = {}
    for row in book.rows(InvoiceRow, in_force=False):
        places.setdefault(row.series, []).append(row.place)
        name = row.number or f"The payment request of {row.day}"
        if digest(row.page) != row.sha256:
            altered.append(f"{name}: its bytes are not those that were sent.")
            continue
        if read_invoice(row).asked != row.asked:
            altered.append(f"{name}: its lines do not add up to what it asks for.")
    for series in sorted(filter(None, places)):
        if sorted(places[series]) != list(range(1, len(places[series]) + 1)):
            altered.append(f"The invoices of {series} are not numbered without a gap.")
    return altered

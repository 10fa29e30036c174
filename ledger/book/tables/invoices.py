"""Invoices as they were sent, and what each covers."""

from datetime import date

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money


class SentInvoice(Posted, table=True):
    """A paper as it was sent: its number, what it asks for, its very bytes and their SHA-256.

    `kind` is invoice, request (a payment asked for: no number, no invoice) or credit (what it asks
    for is negative, and `corrects` names the invoice). `series` and `place` number the papers of a
    shop under VAT through the year.
    """

    __tablename__ = "invoice"

    job: int
    number: str
    day: date = column(date)
    asked: Money = column(Money)
    schema_number: int
    page: bytes
    sha256: str
    kind: str = "invoice"
    series: str = ""
    place: int = 0
    corrects: int | None = None


class InvoicedDue(Posted, table=True):
    """A payment asked for that an invoice covers, or a credit that a credit note gives."""

    __tablename__ = "invoiced_due"

    invoice: int
    due: int

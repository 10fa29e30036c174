"""What was agreed for a job and is to be paid, change orders, payments, invoices, cancellations."""

from datetime import date
from fractions import Fraction

from sqlmodel import Field, SQLModel

from ledger.book.tables.base import Posted, column, salt
from ledger.measures.money import Money


class Agreement(Posted, table=True):
    """What client and shop agreed on: the price and its tax, and under which quote."""

    job: int
    source: str
    day: date = column(date)
    price: Money = column(Money)
    tax: Money = column(Money)
    tax_rate: Fraction = column(Fraction)
    tax_standing: str


class AgreedLine(Posted, table=True):
    """One deliverable or chosen option of an agreement, and whether tax falls on it."""

    __tablename__ = "agreed_line"

    agreement: int
    name: str
    price: Money = column(Money)
    taxed: bool
    pieces: int = 1


class Due(Posted, table=True):
    """One payment asked for: of the quote's schedule, or of a change order."""

    job: int
    source: str
    name: str
    price: Money = column(Money)
    tax: Money = column(Money)

    @property
    def asked(self) -> Money:
        """What is to be paid, tax included."""
        return self.price + self.tax


class ChangeOrder(Posted, table=True):
    """A change to what was agreed: its price (which may be 0 or negative), days and hours."""

    __tablename__ = "change_order"

    job: int
    number: int
    words: str
    price: Money = column(Money)
    taxed: bool
    days: int
    minutes: int
    affects: str = ""
    asked_by: str = ""
    day: date = column(date)

    @property
    def name(self) -> str:
        """Its number as it is spoken: CO-1."""
        return f"CO-{self.number}"


class ChangeState(Posted, table=True):
    """A state a change order entered on a day, and how: by e-mail, by signature."""

    __tablename__ = "change_state"

    change_order: int
    state: str
    day: date = column(date)
    how: str = ""


class Payment(Posted, table=True):
    """Money received for a job; a negative amount went back to the client."""

    job: int
    day: date = column(date)
    amount: Money = column(Money)
    how: str
    words: str = ""


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


class Addressee(SQLModel, table=True):
    """Whom a paper was sent to, as the client's details were then; redacted with the client."""

    id: int | None = Field(default=None, primary_key=True)
    quote: int | None = None
    invoice: int | None = None
    change_order: int | None = None
    client: int
    name: str
    contact: str = ""
    address: str = ""
    vat_number: str = ""
    salt: str = salt()


class InvoicedDue(Posted, table=True):
    """A payment asked for that an invoice covers, or a credit that a credit note gives."""

    __tablename__ = "invoiced_due"

    invoice: int
    due: int


class Cancellation(Posted, table=True):
    """A job that was canceled: at which stage, what was kept, went back or is still owed.

    `tax` is the sales tax in what was kept; what went back or was owed stood so on that day.
    `returnable` is material that was to go back to its seller, at what it was issued at.
    """

    job: int
    day: date = column(date)
    stage: str
    kept: Money = column(Money)
    back: Money = column(Money)
    owed: Money = column(Money)
    why: str
    tax: Money = column(Money, default=Money(0))
    kept_as: str = ""
    returnable: Money = column(Money, default=Money(0))


class JobClient(Posted, table=True):
    """Who a job is for that was opened without a client; the last in force counts."""

    __tablename__ = "job_client"

    job: int
    client: int

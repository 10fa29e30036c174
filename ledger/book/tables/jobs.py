"""What was agreed for a job and is to be paid, change orders, payments, invoices, cancellations."""

from datetime import date
from fractions import Fraction

from ledger.book.tables.base import Posted, column
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


class Invoice(Posted, table=True):
    """An invoice as it was sent: its number, what it asks for, its very bytes and their SHA-256."""

    job: int
    number: str
    day: date = column(date)
    asked: Money = column(Money)
    schema_number: int
    page: bytes
    sha256: str


class InvoicedDue(Posted, table=True):
    """A payment that an invoice asked for."""

    __tablename__ = "invoiced_due"

    invoice: int
    due: int


class Cancellation(Posted, table=True):
    """A job that was canceled: at which stage, what was kept, went back or is still owed.

    `tax` is the sales tax in what was kept; what went back or was owed stood so on that day.
    """

    job: int
    day: date = column(date)
    stage: str
    kept: Money = column(Money)
    back: Money = column(Money)
    owed: Money = column(Money)
    why: str
    tax: Money = column(Money, default=Money(0))

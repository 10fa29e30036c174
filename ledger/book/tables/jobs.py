"""What was agreed for a job and is to be paid, change orders, payments, cancellations."""

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
    """A change to what was agreed: its price (which may be 0 or negative), days and hours.

    `minutes` are hours that it adds, worked and counted apart from the job's; `fewer_minutes` are
    hours that it takes off the job's own.
    """

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
    fewer_minutes: int = 0

    @property
    def name(self) -> str:
        """Its number as it is spoken: CO-1."""
        return f"CO-{self.number}"

    @property
    def minutes_changed(self) -> int:
        """What it changes of the hours, below zero where it takes some off."""
        return self.minutes - self.fewer_minutes


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

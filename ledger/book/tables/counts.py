"""What is entered of a job beside its design: counts, typed lines, a price in one sum."""

from fractions import Fraction

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class JobCount(Posted, table=True):
    """A driver counted by hand for a job's operation, in place of the derived one."""

    __tablename__ = "job_count"

    job: int
    operation: str
    driver: Quantity = column(Quantity)
    occasion: str
    words: str = ""


class JobLine(Posted, table=True):
    """A typed line of a job: work (a count, or minutes), material used, or the work of others.

    `name` is the operation's code, the material's, or what others do; `quantity` counts in the
    operation's or the material's unit. A row with `reverses` takes that line back.
    """

    __tablename__ = "job_line"

    job: int
    kind: str
    name: str
    quantity: Quantity = column(Quantity, default=Quantity(0))
    minutes: int = 0
    amount: Money = column(Money, default=Money(0))
    markup: Fraction | None = column(Fraction, default=None)
    lead_days: int = 0
    is_quoted: bool = False
    words: str = ""
    reverses: int | None = None


class JobTotal(Posted, table=True):
    """A price agreed for a job in one sum, and the minutes guessed for it; the last counts.

    `price` is the sum as it was said: before tax, or `with_tax` in it.
    """

    __tablename__ = "job_total"

    job: int
    price: Money = column(Money)
    minutes: int = 0
    with_tax: bool = False

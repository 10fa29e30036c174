"""Jobs done before the book began, loaded for what they teach."""

from datetime import date

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class PastJob(Posted, table=True):
    """The totals of a job done before the book began, loaded for what it teaches.

    `minutes` are all its hours where they are not told by line, rework in them; `guessed` what the
    maker had estimated for it. 0 means that it is not known.
    """

    __tablename__ = "past_job"

    job: int
    done: date = column(date)
    price: Money = column(Money)
    material: Money = column(Money)
    helper_minutes: int = 0
    rework_minutes: int = 0
    other: Money = column(Money)
    minutes: int = 0
    guessed: int = 0
    price_known: bool = True
    material_known: bool = True


class PastLine(Posted, table=True):
    """One operation of a past job: its count, and what it took where that is told by line."""

    __tablename__ = "past_line"

    job: int
    operation: str
    driver: Quantity = column(Quantity)
    minutes: int

"""Jobs done before the book began, loaded for what they teach."""

from datetime import date

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class PastJob(Posted, table=True):
    """The totals of a job done before the book began, loaded for what it teaches."""

    __tablename__ = "past_job"

    job: int
    done: date = column(date)
    price: Money = column(Money)
    material: Money = column(Money)
    helper_minutes: int = 0
    rework_minutes: int = 0
    other: Money = column(Money)


class PastLine(Posted, table=True):
    """One operation of a past job: its count, what was estimated and what it took."""

    __tablename__ = "past_line"

    job: int
    operation: str
    driver: Quantity = column(Quantity)
    minutes: int

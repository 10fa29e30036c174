"""Answers to the list of costs that get forgotten, and further costs."""

from datetime import date
from decimal import Decimal

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class JobAnswer(Posted, table=True):
    """The answer to one line of the list of costs that get forgotten; an amount of 0 is one."""

    __tablename__ = "job_answer"

    job: int
    item: str
    amount: Money = column(Money)
    words: str = ""


class JobCost(Posted, table=True):
    """Miles, work bought outside and other costs of a job, planned or as they came."""

    __tablename__ = "job_cost"

    job: int
    occasion: str
    kind: str
    words: str
    quantity: Quantity = column(Quantity)
    unit_amount: Decimal = column(Decimal)
    amount: Money = column(Money)
    day: date = column(date)

"""Lines without hours as the owner explains them, and what closed jobs were foretold at."""

from decimal import Decimal

from ledger.book.tables.base import Posted, column


class Unlogged(Posted, table=True):
    """Why an estimated line of a job has no hours; `onto` is the operation they were logged on."""

    job: int
    operation: str
    answer: str
    onto: str = ""


class ForetoldRow(Posted, table=True):
    """The points of the plan that a job was closed with, their basis, and the minutes it took."""

    __tablename__ = "foretold"

    job: int
    typical: Decimal = column(Decimal)
    safe: Decimal = column(Decimal)
    bad: Decimal = column(Decimal)
    past_jobs: int
    basis: str = ""
    minutes: int

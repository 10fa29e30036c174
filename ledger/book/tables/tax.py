"""How a job stands to sales tax, and the use tax on what was issued to it."""

from datetime import date

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money


class JobTax(Posted, table=True):
    """A job's standing to sales tax from an answer on: `taxable` or `improvement`."""

    __tablename__ = "job_tax"

    job: int
    day: date = column(date)
    standing: str
    words: str = ""


class JobUseTax(Posted, table=True):
    """Use tax that an issue to a job brought; negative where the goods came back.

    `movement` is the issue, `lot` what it drew on, `standing` the answer under which the tax is
    owed, `offcut` the piece on the rack that took a part of it back.
    """

    __tablename__ = "job_use_tax"

    job: int
    standing: int
    day: date = column(date)
    lot: int
    movement: int
    offcut: int | None = None
    amount: Money = column(Money)

"""Hours worked, helpers, and the hours a job was planned at."""

from datetime import date
from decimal import Decimal

from sqlmodel import Field

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money


class Work(Posted, table=True):
    """One person's minutes on one operation (or group, or task); rows of an entry share `entry`.

    `operation` is empty where a whole group was logged and nothing said how to split it; `task`
    names content and shop work. `rate` is what a helper's hour cost on that day.
    """

    time_entry: int = Field(sa_column_kwargs={"name": "entry"})
    job: int | None = None
    operation: str | None = None
    group: str | None = Field(default=None, sa_column_kwargs={"name": "family"})
    task: str = ""
    kind: str = Field(sa_column_kwargs={"name": "class"})
    person: str
    day: date = column(date)
    minutes: int
    began: str | None = None
    ended: str | None = None
    rate: Money | None = column(Money, default=None)
    split: bool = False
    part: str = ""
    cause: str = ""
    prevention: str = ""
    note: str = ""


class Helper(Posted, table=True):
    """What an hour of a helper costs and is billed at; the last row of the name counts."""

    name: str
    cost: Money = column(Money)
    billed: Money = column(Money)


class HoursPlan(Posted, table=True):
    """The hours of one operation that a job's own are compared with; one entry has them all."""

    __tablename__ = "hours_plan"

    job: int
    operation: str
    hours: Decimal = column(Decimal)
    basis: str

"""Hours worked, the clock, helpers, marks of a new start, and the hours a job was planned at."""

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


class Clock(Posted, table=True):
    """A clock that was started; `activity` is an operation's code, a group or a task.

    `began` is the wall clock's time, `moment` the same in UTC (empty in older rows).
    """

    job: int | None = None
    activity: str = Field(sa_column_kwargs={"name": "doing"})
    kind: str = Field(sa_column_kwargs={"name": "class"})
    began: str
    people: str = ""
    part: str = ""
    note: str = ""
    moment: str = ""


class ClockStop(Posted, table=True):
    """When a clock was stopped; its minutes are rows of work of the same entry."""

    __tablename__ = "clock_stop"

    clock: int
    ended: str


class Helper(Posted, table=True):
    """What an hour of a helper costs and is billed at; the last row of the name counts."""

    name: str
    cost: Money = column(Money)
    billed: Money = column(Money)


class OperationMark(Posted, table=True):
    """From that day on an operation is learned afresh (a new machine); the last in force counts."""

    __tablename__ = "operation_mark"

    operation: str
    day: date = column(date)
    words: str = ""


class HoursPlan(Posted, table=True):
    """The hours of one operation that a job's own are compared with; one entry has them all."""

    __tablename__ = "hours_plan"

    job: int
    operation: str
    hours: Decimal = column(Decimal)
    basis: str

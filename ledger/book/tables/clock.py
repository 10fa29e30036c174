"""The clock that counts hours: started, stopped."""

from sqlmodel import Field

from ledger.book.tables.base import Posted


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

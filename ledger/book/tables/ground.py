"""Entries, settings, jobs, their basis and states, and months: what most commands touch.

What belongs to a room has a module of its own: making a class takes milliseconds, and most
commands touch few of them.
"""

from datetime import date

from pydantic import ConfigDict
from sqlmodel import Field, SQLModel

from ledger.book.tables.base import Posted, column


class JournalEntry(SQLModel, table=True):
    """One command that wrote: when, on which day of the shop, who, in what words."""

    __tablename__ = "deed"
    model_config = ConfigDict(arbitrary_types_allowed=True)  # type: ignore[assignment]

    id: int | None = Field(default=None, primary_key=True)
    at: str
    day: date = column(date)
    who: str
    verb: str
    words: str = ""
    reverses: int | None = None
    why: str | None = None


class SettingValue(Posted, table=True):
    """What a setting was set to; the last in force counts."""

    __tablename__ = "setting"

    name: str
    value: str


class Job(Posted, table=True):
    """A commission, or a past job that was loaded for what it teaches."""

    number: str
    title: str
    client: int | None = None
    kind: str = "commission"


class JobBasis(Posted, table=True):
    """What a job is made of: a design's version, its parameters, how many; the last counts."""

    __tablename__ = "job_basis"

    job: int
    design: int
    parameters: str
    pieces: int = 1


class JobState(Posted, table=True):
    """A state a job entered on a day."""

    __tablename__ = "job_state"

    job: int
    state: str
    day: date = column(date)
    why: str = ""

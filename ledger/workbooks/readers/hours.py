"""Hours kept on paper or on a telephone: one line an entry, names as at the bench."""

from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.errors import BadValue
from ledger.jobs.estimated import estimated_operations
from ledger.jobs.jobs import find_job
from ledger.labor.load import Placed
from ledger.labor.log import Activity, Task, TimeEntry, read_activity, read_class
from ledger.labor.people import OWNER, person_named
from ledger.measures.day import parse_time
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import columns_of
from ledger.workbooks.kinds import MINUTES, TEXT, CellKind
from ledger.workbooks.kinds import day as day_kind

COLUMNS = columns_of(
    "day* = date; job*; operation* = op, what, task; hours* = time, duration, actual h; "
    "from = start, began; people = person, with, who; class = kind; part; cause; prevention; "
    "remark = words"
)
"""A day or job left empty is that of the line above; people left empty is the owner."""

_ALONE: tuple[str, ...] = (OWNER,)
_TIME = CellKind(parse_time, parse_time("00:00"), "13:30", is_clock=True)


def read_hours(book: Book, path: Path, named: Mapping[str, str] | None = None) -> list[Placed]:
    """Read entries of hours, jobs and operations found in the book.

    Raises:
        BadFile: with everything that is wrong in the file.
    """
    faults = Faults(named)
    reader = _Reader(book)
    rows = [reader.read(row) for row in rows_of(one_sheet(path, "hours"), COLUMNS, faults)]
    faults.raise_if_any()
    return [placed for placed in rows if placed is not None]


class _Reader:
    """Reads rows in order, keeping the day and the job of the line above."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.day: date | None = None
        self.job: Job | None = None
        self.job_text = ""
        self._activity = cache(self._read_activity)

    def read(self, row: GridRow) -> Placed | None:
        """The entry of a row; None where something is wrong with it."""
        before = len(row.faults.listed)
        day = self._day(row)
        job = self._job(row)
        minutes = row.need("hours", MINUTES)
        kind = "shop" if _is_shop(row) else _named(row, "class", read_class, "work")
        operation = row.need("operation", TEXT)
        nothing: tuple[Activity, str] = (Task(operation), kind)
        activity, kind = _named(
            row,
            "operation",
            lambda text: self._activity(text, nothing[1], job and job.key),
            nothing,
        )
        people = row.may("people", CellKind(self._people, _ALONE, "owner, helper"), _ALONE)
        began = _moment(day, row)
        if len(row.faults.listed) > before or day is None:
            return None
        time_entry = TimeEntry(
            job=job,
            activity=activity,
            minutes=minutes,
            day=day,
            kind=kind,
            people=people,
            began=began,
            ended=began + timedelta(minutes=minutes) if began else None,
            **row.texts("part cause prevention"),
            note=row.text("remark"),
        )
        return Placed(row.where("hours"), time_entry)

    def _read_activity(self, text: str, kind: str, key: int | None) -> tuple[Activity, str]:
        job = None if key is None else self.book.row(Job, key)
        if job is None:
            return read_activity(self.book, text, kind)
        return read_activity(self.book, text, kind, lambda: estimated_operations(self.book, job))

    def _day(self, row: GridRow) -> date | None:
        kind = day_kind(self.book.dates)
        written = row.may("day", kind)
        if written is not None:
            self.day = written
        elif self.day is None:
            self.day = row.need("day", kind)
        return self.day

    def _job(self, row: GridRow) -> Job | None:
        text = row.text("job").strip()
        if _is_shop(row):
            return None
        if text and text != self.job_text:
            self.job = _named(row, "job", self._find, None)
            self.job_text = text
        elif self.job is None and not text:
            row.need("job", TEXT)
        return self.job

    def _find(self, text: str) -> Job | None:
        return find_job(self.book, text)

    def _people(self, text: str) -> tuple[str, ...]:
        names = [name.strip() for name in text.replace("+", ",").split(",")]
        if not all(names):
            raise BadValue(f"“{text}” should name people with commas between: owner, helper")
        return tuple(dict.fromkeys(person_named(self.book, name) for name in names))


def _is_shop(row: GridRow) -> bool:
    return "shop" in {row.text(name).strip().casefold() for name in ("job", "class")}


def _named[T](row: GridRow, name: str, read: Callable[[str], T], empty: T) -> T:
    """What a cell names, or `empty` where it says nothing; a refusal is a fault of the cell."""
    return row.may(name, CellKind(read, empty, "sand"), empty)


def _moment(day: date | None, row: GridRow) -> datetime | None:
    time = row.may("from", _TIME)
    return None if time is None or day is None else datetime.combine(day, time)

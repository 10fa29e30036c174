"""Whether the book is sound: named checks, each answering with what is wrong, in words.

A check of a file looks at the bytes and the schema and needs no open book; a check of the book
asks whether what was posted ties. Rooms add theirs: a tuple `CHECKS` of (name, function).
"""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import date
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import NamedTuple

from ledger.book import catalog, digests, references, schema, troubles
from ledger.book.columns import DecimalColumn, ShareColumn
from ledger.book.journal import Book
from ledger.book.settings import SETTINGS
from ledger.book.tables.ground import SettingValue
from ledger.errors import NONSENSE, BadValue, LedgerError

type BookCheck = Callable[[Book], list[str]]
"""Looks at an open book and says what is wrong, a sentence each."""


class CheckResult(NamedTuple):
    """The answer of one check: its name, a statement that should hold, and what is wrong."""

    name: str
    wrong: list[str]


# --- the file ------------------------------------------------------------------------------


def examine_file(path: Path) -> list[CheckResult]:
    """The checks of a book's file, as it lies there; nothing is written and nothing upgraded."""
    name = "It is a book of Bench Ledger, as it was made"
    try:
        with troubles.as_refusal(path), closing(schema.connect(path)) as connection:
            number = schema.number_of(connection, path)
            return [
                _finding(name, path, lambda: list(_other_than_made(connection, number))),
                *(_finding(what, path, partial(look, connection)) for what, look in _OF_FILE),
            ]
    except LedgerError as trouble:
        return [CheckResult(name, [str(trouble)])]


def _finding(name: str, path: Path, look: Callable[[], list[str]]) -> CheckResult:
    """What a check says; where the bytes make no sense to it, that is what is wrong."""
    try:
        with troubles.as_refusal(path):
            return CheckResult(name, look())
    except LedgerError as trouble:
        return CheckResult(name, [str(trouble)])
    except NONSENSE as trouble:
        return CheckResult(name, [f"What stands there cannot be read ({trouble})."])


def _other_than_made(connection: sqlite3.Connection, number: int) -> Iterator[str]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        schema.apply(fresh, 0, number)
        wanted, actual = _shape(fresh), _shape(connection)
    for name in sorted(wanted.keys() | actual.keys()):
        if name not in actual:
            yield f"{name} is missing in its schema."
        elif name not in wanted:
            yield f"{name} was added to its schema by somebody else."
        elif wanted[name] != actual[name]:
            yield f"{name} was changed in its schema by somebody else."


def _shape(connection: sqlite3.Connection) -> dict[str, str]:
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'")
    return dict(rows.fetchall())


def _pages(connection: sqlite3.Connection) -> list[str]:
    rows = connection.execute("PRAGMA integrity_check(20)").fetchall()
    return [f"{message}." for (message,) in rows if message != "ok"]


def _references(connection: sqlite3.Connection) -> list[str]:
    rows = connection.execute("PRAGMA foreign_key_check").fetchmany(20)
    return [
        f"Row {row} of {table} refers to a row of {parent} that is not there."
        for table, row, parent, _ in rows
    ]


def _guards(connection: sqlite3.Connection) -> list[str]:
    return [f"The trigger {name} is not in force." for name in schema.damaged_guards(connection)]


_OF_FILE: Sequence[tuple[str, Callable[[sqlite3.Connection], list[str]]]] = (
    ("No page of the file is damaged", _pages),
    ("What a row refers to is there", _references),
    ("Posted rows are kept from being changed", _guards),
    ("Every row is as it was posted", digests.changed_rows),
)


# --- what was posted -----------------------------------------------------------------------


def examine(book: Book, more: Sequence[tuple[str, BookCheck]] = ()) -> list[CheckResult]:
    """The checks of an open book, and after them those of the rooms."""
    return [_finding(name, book.path, partial(check, book)) for name, check in (*CHECKS, *more)]


def nothing_posted_is_missing(book: Book) -> list[str]:
    """Rows are numbered one after the other, so that a gap is a row somebody took out."""
    wrong = []
    with _connected(book) as connection:
        for table in schema.posted_tables(connection):
            sql = f"SELECT count(*), coalesce(max(id), 0) FROM {table}"
            count, last = connection.execute(sql).fetchone()
            if count != last:
                wrong.append(f"{table} holds {count} rows, but they are numbered up to {last}.")
    return wrong


def reversals_take_back_entries_that_stood(book: Book) -> list[str]:
    """A reversal takes back an entry that was posted before it and is no reversal itself."""
    rows = book.query(
        "SELECT later.id, earlier.id FROM deed later JOIN deed earlier"
        " ON earlier.id = later.reverses WHERE earlier.reverses IS NOT NULL"
    )
    return [f"Entry {later} takes back the reversal {earlier}." for later, earlier in rows]


def days_are_days(book: Book) -> list[str]:
    """Every day that was posted is a day of the calendar."""
    wrong = []
    with _connected(book) as connection:
        for table, known in catalog.every_class().items():
            if "day" in known.model_fields:
                days = connection.execute(f"SELECT DISTINCT day FROM {table}")
                wrong += [f"{table} holds the day “{day}”." for (day,) in days if not _is_day(day)]
    return wrong


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def numbers_are_numbers(book: Book) -> list[str]:
    """Prices, rates and shares, which stand as text, read as exact numbers."""
    wrong = []
    with _connected(book) as connection:
        for table, known in catalog.every_class().items():
            for column in known.__table__.columns:  # type: ignore[attr-defined]
                kind = {DecimalColumn: Decimal, ShareColumn: Fraction}.get(type(column.type))
                if kind is None:
                    continue
                texts = connection.execute(f"SELECT DISTINCT {column.name} FROM {table}")
                wrong += [
                    f"{table} holds “{text}” as {column.name.replace('_', ' ')}."
                    for (text,) in texts
                    if text is not None and not _reads(kind, text)
                ]
    return wrong


def _reads(kind: type[Decimal | Fraction], text: str) -> bool:
    try:
        kind(text)
    except (ValueError, ZeroDivisionError, InvalidOperation):
        return False
    return True


def settings_can_be_read(book: Book) -> list[str]:
    """Every setting in force is of its kind."""
    wrong = []
    for name in sorted({row.name for row in book.rows(SettingValue)} & SETTINGS.keys()):
        try:
            book.setting(name)
        except (BadValue, ValueError) as trouble:
            wrong.append(f"The setting {name} cannot be read: {trouble.__cause__ or trouble}")
    return wrong


@contextmanager
def _connected(book: Book) -> Iterator[sqlite3.Connection]:
    with troubles.as_refusal(book.path), closing(schema.connect(book.path)) as connection:
        yield connection


CHECKS: Sequence[tuple[str, BookCheck]] = (
    ("No posted row is missing", nothing_posted_is_missing),
    ("Only entries that stood were taken back", reversals_take_back_entries_that_stood),
    ("What refers to a row refers to one in force", references.rests_on_what_stands),
    ("Every day is a day of the calendar", days_are_days),
    ("Prices, rates and shares are numbers", numbers_are_numbers),
    ("Every setting can be read", settings_can_be_read),
)

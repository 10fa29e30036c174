"""The open file beneath a book: how its transactions begin, wait and are given back."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.dialects import registry
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite
from sqlalchemy.pool import QueuePool
from sqlmodel import Session

from ledger.book import schema, troubles

_TRY = 250
"""Milliseconds of one try to get the lock on writing."""

_COMPILED: dict[Any, Any] = {}
"""Statements as SQL, by what they ask: compiled once in a process, not for each book anew."""


class AnyBook(SQLiteDialect_pysqlite):
    """SQLite's dialect; of two books it is the same one, so that they share what is compiled."""

    supports_statement_cache = True

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other)

    def __hash__(self) -> int:
        return hash(type(self))


registry.register("sqlite.book", __name__, AnyBook.__name__)


def make_engine(path: Path, while_waiting: Callable[[], None] | None) -> Engine:
    """Make the engine of one open book.

    `while_waiting` is called once, when the lock on writing has been waited for for a second.
    """
    engine = create_engine(
        "sqlite+book://",
        execution_options={"compiled_cache": _COMPILED},
        creator=lambda: schema.connect(path),  # an address would choke on a `?` in a file's name
        poolclass=QueuePool,
        pool_size=1,
        max_overflow=1,
    )

    @event.listens_for(engine, "connect")
    def _note_version(connection: sqlite3.Connection, record: Any) -> None:
        try:
            record.info["version"] = _version(connection)
        except BaseException:
            connection.close()
            raise

    @event.listens_for(engine, "begin")
    def _begin(connection: Any) -> None:
        file = connection.connection.dbapi_connection
        if connection.get_execution_options().get("writes"):
            _begin_writing(file, while_waiting)
        else:
            file.execute("BEGIN")

    @event.listens_for(engine, "checkin")
    def _give_back(connection: sqlite3.Connection | None, _record: object) -> None:
        # A commit that was kept from its lock leaves the transaction open; nobody else ends it.
        if connection is not None and connection.in_transaction:
            try:
                connection.rollback()
            except BaseException:
                connection.close()  # damaged: its lock goes with it
                raise

    return engine


def _version(connection: sqlite3.Connection) -> int:
    """SQLite's count of what others wrote into the file, as this connection sees it."""
    version: int = connection.execute("PRAGMA data_version").fetchone()[0]
    return version


def is_changed(session: Session) -> bool:
    """Whether others wrote since the session's connection was made."""
    connection: Any = session.connection().connection
    return bool(connection.info["version"] != _version(connection.dbapi_connection))


def file_of(session: Session) -> sqlite3.Connection:
    """The raw SQLite connection of a session, in the same transaction."""
    connection: Any = session.connection().connection
    file: sqlite3.Connection = connection.dbapi_connection
    return file


def _begin_writing(file: sqlite3.Connection, while_waiting: Callable[[], None] | None) -> None:
    """Take the lock on writing, in short tries: between them Ctrl-C is heard, and a wait told."""
    whole = round(1000 * troubles.WAIT_SECONDS)
    file.execute(f"PRAGMA busy_timeout={min(_TRY, whole)}")
    left = max(1, whole // _TRY)
    for turn in range(left):
        try:
            file.execute("BEGIN IMMEDIATE")
        except sqlite3.OperationalError as trouble:
            if not troubles.is_locked(trouble) or turn == left - 1:
                raise
            if turn == 1000 // _TRY - 1 and while_waiting is not None:
                while_waiting()
        else:
            break
    file.execute(f"PRAGMA busy_timeout={whole}")

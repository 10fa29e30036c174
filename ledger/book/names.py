"""The names that a shell offers when one presses Tab: read at once, never written, never a refusal.

A book is opened for reading only and as it stands: it is not upgraded, and where it is missing,
locked or of another make there are simply no names.
"""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from ledger.book.questions import IN_FORCE

_WAIT = 200
"""Milliseconds that a shell may be kept waiting for somebody who writes."""

_MOST = 500
"""How many names are read at most, the newest first."""

_NAMES = {
    "job": f"SELECT number, title, '' FROM job WHERE kind = 'commission' AND {IN_FORCE}",
    "material": f"SELECT code, name, '' FROM material WHERE {IN_FORCE}",
    "operation": f"SELECT code, name, spoken FROM operation WHERE {IN_FORCE}",
    "design": f"SELECT name, title, '' FROM design_version WHERE {IN_FORCE}",
    "quote": "SELECT q.number || '-' || q.revision, j.title, '' FROM quote q"
    f" JOIN job j ON j.id = q.job WHERE q.{IN_FORCE}",
    "kit": f"SELECT number, name, '' FROM kit WHERE {IN_FORCE}",
    "receipt": "SELECT r.number, s.name || ' ' || r.day, '' FROM receipt r"
    f" JOIN supplier s ON s.id = r.supplier WHERE r.{IN_FORCE} AND r.kind <> 'reversal'"
    f" AND r.id NOT IN (SELECT reverses FROM receipt WHERE reverses IS NOT NULL AND {IN_FORCE})",
    "sponsor": f"SELECT name, name, '' FROM sponsor WHERE {IN_FORCE}",
    "supplier": f"SELECT name, '', '' FROM supplier WHERE {IN_FORCE}",
}
_NEWEST_FIRST = {"quote": "q.id", "receipt": "r.id"}


class Known(NamedTuple):
    """A name, what it stands for in words, and other words that mean the same."""

    name: str
    words: str
    also: str


def known_names(path: Path, what: str) -> list[Known]:
    """The names of one kind of thing in a book (a key of `_NAMES`), the newest first."""
    order = _NEWEST_FIRST.get(what, "id")
    question = f"{_NAMES[what]} ORDER BY {order} DESC LIMIT {_MOST}"
    address = f"{path.absolute().as_uri()}?mode=ro"
    try:
        with closing(sqlite3.connect(address, uri=True)) as connection:
            connection.execute(f"PRAGMA busy_timeout={_WAIT}")
            rows = [Known(*row) for row in connection.execute(question)]
    except (sqlite3.Error, OSError, ValueError):
        return []
    first: dict[str, Known] = {}
    for row in rows:
        first.setdefault(row.name, row)
    return list(first.values())

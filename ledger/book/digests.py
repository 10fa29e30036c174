"""A digest of every entry and its rows, chained: what was changed in the file is found and named.

SQLite's own integrity check sees broken pages, not a digit that became another one. So each entry
ends with a list of the SHA-256 of its rows and with the SHA-256 of that list and of the digest
before (a hash chain, as in linked time-stamping; Haber and Stornetta 1991, from memory). Appending
costs the entry's own rows; only `check` reads them all. A client's details may be redacted: the
entry that did so digests the rows anew, and the last digest counts.
"""

import hashlib
import heapq
import json
import sqlite3
from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple

_START = "0" * 64
"""What stands before the first digest of the chain."""

_ROW_DIGITS = 32
"""Hexadecimal digits kept of a row's SHA-256: 128 bits, enough against a second row like it."""

_REDACTABLE = ("addressee", "client")
_MOST = 20


class _Line(NamedTuple):
    """One row of an entry: its table, its number, its digest."""

    table: str
    row: int
    digest: str

    def __str__(self) -> str:
        return f"{self.table} {self.row} {self.digest}"


class PostedRows:
    """Which rows an entry has written so far; numbers of one table follow one another."""

    def __init__(self) -> None:
        self._spans: dict[str, tuple[int, int]] = {}

    def note(self, table: str, row: int) -> None:
        """Keep a row that was written, for the digest at the end of its entry."""
        first, last = self._spans.get(table, (row, row))
        self._spans[table] = (min(first, row), max(last, row))

    def seal(self, connection: sqlite3.Connection, entry: int) -> None:
        """Append the digest of an entry whose rows stand, inside its transaction."""
        self._spans["deed"] = entry, entry
        lines = []
        for table, (first, last) in sorted(self._spans.items()):
            # a redaction writes over rows of older entries: these count, whoever posted them
            if table == "deed" or table in _REDACTABLE:
                lines += _lines(connection, table, "id BETWEEN ? AND ?", first, last)
            else:
                among = "id BETWEEN ? AND ? AND deed = ?"
                lines += _lines(connection, table, among, first, last, entry)
        _append(connection, entry, lines)


def complete(connection: sqlite3.Connection) -> None:
    """Append the digests of entries that have none yet, as in a book from before there were any."""
    (last,) = connection.execute("SELECT coalesce(max(deed), 0) FROM entry_digest").fetchone()
    (newest,) = connection.execute("SELECT coalesce(max(id), 0) FROM deed").fetchone()
    if last == newest:
        return
    for entry, rows in groupby(_by_entry(connection, last), key=itemgetter(0)):
        lines = [line for _, line in rows]
        if entry == newest:
            lines += _redactable(connection)
        _append(connection, entry, lines)


def changed_rows(connection: sqlite3.Connection) -> list[str]:
    """What is not as it was posted, a sentence each; at most 20.

    A book of an older schema has no digests yet; it gets them when it is brought up to date. The
    connection is one of its own: it reads texts also where they are no longer UTF-8.
    """
    there = "SELECT 1 FROM sqlite_master WHERE name = 'entry_digest'"
    if connection.execute(there).fetchone() is None:
        return []
    connection.text_factory = _as_text
    wrong = _wrong(connection)
    return [sentence for sentence, _ in zip(wrong, range(_MOST), strict=False)]


def _wrong(connection: sqlite3.Connection) -> Iterator[str]:
    before, left = _START, dict[tuple[str, int], str]()
    for entry, kept, standing in _in_step(connection):
        named = _named(connection, entry)
        if kept is None:
            yield f"{named} was put in by another program: it has no digest."
            continue
        text, sha = kept
        if sha != _chained(before, text):
            yield f"{named}: its digest is not the one that was made when it was posted."
        before = sha
        kept_lines = [_read(line) for line in text.splitlines()]
        left |= {line[:2]: line.digest for line in kept_lines if line.table in _REDACTABLE}
        rows = [line for line in kept_lines if line.table not in _REDACTABLE]
        yield from _differences(named, rows, standing)
    now = {line[:2]: line.digest for line in _redactable(connection)}
    for table, row in sorted(now.keys() | left.keys()):
        if now.get((table, row)) != left.get((table, row)):
            yield f"Row {row} of {table} is not as the last entry about this client left it."


def _in_step(
    connection: sqlite3.Connection,
) -> Iterator[tuple[int, tuple[str, str] | None, list[_Line]]]:
    """Each entry with what was kept of it and what stands of it, one after the other."""
    kept = connection.execute("SELECT deed, rows, sha256 FROM entry_digest ORDER BY deed, id")
    posted = groupby(_by_entry(connection, 0), key=itemgetter(0))
    standing = ((entry, None, [line for _, line in rows]) for entry, rows in posted)
    kept_entries = ((entry, (text, sha), list[_Line]()) for entry, text, sha in kept)
    both = heapq.merge(kept_entries, standing, key=itemgetter(0))
    for entry, parts in groupby(both, key=itemgetter(0)):
        digest_found: tuple[str, str] | None = None
        lines: list[_Line] = []
        for _, digest, rows in parts:
            digest_found, lines = digest_found or digest, lines or rows
        yield entry, digest_found, lines


def _differences(named: str, kept_lines: list[_Line], standing: list[_Line]) -> Iterator[str]:
    was = {(line.table, line.row): line.digest for line in kept_lines}
    now = {(line.table, line.row): line.digest for line in standing}
    for table, row in sorted(was.keys() | now.keys()):
        if (table, row) not in now:
            yield f"{named}: row {row} of {table} is missing."
        elif (table, row) not in was:
            yield f"{named}: row {row} of {table} was not posted by it."
        elif was[table, row] != now[table, row]:
            yield f"{named}: row {row} of {table} is not as it was posted."


def _named(connection: sqlite3.Connection, entry: int) -> str:
    row = connection.execute("SELECT day, verb, words FROM deed WHERE id = ?", (entry,)).fetchone()
    if row is None:
        return f"Entry {entry}"
    day, verb, words = row
    return f"Entry {entry} of {day} ({f'{verb} {words}'.strip()})"


def _read(line: str) -> _Line:
    table, _, rest = line.partition(" ")
    row, _, digest = rest.partition(" ")
    return _Line(table, int(row) if row.isascii() and row.isdigit() else 0, digest)


def _append(connection: sqlite3.Connection, entry: int, lines: list[_Line]) -> None:
    last = connection.execute("SELECT sha256 FROM entry_digest ORDER BY id DESC LIMIT 1").fetchone()
    text = "\n".join(map(str, lines))
    connection.execute(
        "INSERT INTO entry_digest (deed, rows, sha256) VALUES (?, ?, ?)",
        (entry, text, _chained(last[0] if last else _START, text)),
    )


def _chained(before: str, text: str) -> str:
    return hashlib.sha256(f"{before}\n{text}".encode("utf-8", "surrogateescape")).hexdigest()


def _by_entry(connection: sqlite3.Connection, after: int) -> Iterator[tuple[int, _Line]]:
    """Every posted row of the entries after one, entry by entry."""
    tables = connection.execute(
        "SELECT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c"
        " WHERE m.type = 'table' AND c.name = 'deed' AND m.name <> 'entry_digest' ORDER BY m.name"
    ).fetchall()
    streams = [_with_entry(connection, "deed", "id", after)]
    streams += [_with_entry(connection, table, "deed", after) for (table,) in tables]
    return heapq.merge(*streams)


def _with_entry(
    connection: sqlite3.Connection, table: str, entry: str, after: int
) -> Iterator[tuple[int, _Line]]:
    return _digested(connection, table, entry, f"{entry} > ? ORDER BY {entry}, id", after)


def _lines(connection: sqlite3.Connection, table: str, where: str, *values: int) -> list[_Line]:
    return [line for _, line in _digested(connection, table, "id", where, *values)]


def _redactable(connection: sqlite3.Connection) -> list[_Line]:
    return [line for table in _REDACTABLE for line in _lines(connection, table, "true")]


def _digested(
    connection: sqlite3.Connection, table: str, first: str, where: str, *values: int
) -> Iterator[tuple[int, _Line]]:
    """A column of the rows asked for, and their lines.

    What equals its column's default is left out of the digest, as NULL is: so a column that is
    added later changes no digest of the rows that stand.
    """
    known = connection.execute(
        "SELECT name, dflt_value FROM pragma_table_info(?)", (table,)
    ).fetchall()
    defaults = [(name, _literal(default)) for name, default in known]
    columns = ", ".join(f'"{name}"' for name, _ in defaults)
    query = f"SELECT {first}, {columns} FROM {table} WHERE {where}"
    for number, *row in connection.execute(query, values):
        values_by_column = {
            name: value
            for (name, default), value in zip(defaults, row, strict=True)
            if value is not None and value != default
        }
        text = json.dumps([table, values_by_column], sort_keys=True, default=_hexadecimal)
        digest = hashlib.sha256(text.encode("ascii")).hexdigest()[:_ROW_DIGITS]
        yield number, _Line(table, values_by_column["id"], digest)


def _literal(default: str | None) -> Any:
    """The value of a column's default as the schema writes it: a number or a text in quotes."""
    if default is None:
        return None
    return default[1:-1].replace("''", "'") if default.startswith("'") else int(default)


def _hexadecimal(content: bytes) -> dict[str, str]:
    return {"hex": content.hex()}


def _as_text(content: bytes) -> str:
    return content.decode("utf-8", "surrogateescape")

"""Rows read ahead: what is asked of one job after another, or again and again, is read once."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from ledger.book.tables.base import Posted

type Read = Callable[[type[Any], Mapping[str, Any]], list[Any]]
"""Reads the rows in force of a table whose columns equal what is asked, as posted."""


class RowsAhead:
    """All rows in force of some tables, and of others those that were asked for already."""

    def __init__(self, read: Read, tables: Iterable[type[Posted]]) -> None:
        self._read = read
        self._rows = {table: read(table, {}) for table in tables}
        self._groups: dict[tuple[Any, ...], dict[tuple[Any, ...], list[Any]]] = {}

    def has(self, table: type[Posted]) -> bool:
        """Whether all rows of a table were read."""
        return table in self._rows

    def of[R: Posted](self, table: type[R], equals: Mapping[str, Any]) -> list[R]:
        """The rows whose columns equal what is asked, as posted."""
        names, key = tuple(equals), tuple(equals.values())
        groups = self._groups.get((table, *names))
        if groups is None:
            groups = self._groups[table, *names] = {}
            for row in self._rows.get(table, ()):
                groups.setdefault(tuple(getattr(row, name) for name in names), []).append(row)
        if key not in groups:
            groups[key] = [] if table in self._rows else self._read(table, equals)
        return list(groups[key])

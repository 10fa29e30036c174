"""Rows read ahead: a report of a year asks for the rows of each job, and reads them all at once."""

from collections.abc import Iterable, Mapping
from typing import Any

from ledger.book.tables.base import Posted


class RowsAhead:
    """All rows in force of some tables, from which a question is answered without the file."""

    def __init__(self, rows: Mapping[type[Posted], Iterable[Posted]]) -> None:
        self._rows = {table: list(of_table) for table, of_table in rows.items()}
        self._sorted: dict[tuple[Any, ...], dict[tuple[Any, ...], list[Any]]] = {}

    def of[R: Posted](self, table: type[R], equals: Mapping[str, Any]) -> list[R] | None:
        """The rows whose columns equal what is asked, as posted; None of a table not read ahead."""
        if table not in self._rows:
            return None
        names = tuple(equals)
        groups = self._sorted.get((table, *names))
        if groups is None:
            groups = self._sorted[table, *names] = {}
            for row in self._rows[table]:
                key = tuple(getattr(row, name) for name in names)
                groups.setdefault(key, []).append(row)
        return list(groups.get(tuple(equals.values()), ()))

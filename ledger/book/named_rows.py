"""Rows of a query as named tuples, each column turned into the type of its field."""

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any, get_args, get_type_hints

from ledger.measures.frozen import READ


def named_rows[Row: tuple[Any, ...]](kind: type[Row], rows: Iterable[Any]) -> list[Row]:
    """Rows whose columns stand in the order of the fields of a named tuple.

    Money comes from minor units, a day from its text, and so on; NULL stays None.
    """
    make: Callable[[Iterable[Any]], Row] = kind._make  # type: ignore[attr-defined]  # NamedTuple's
    readers = _readers(kind)
    return [
        make(
            cell if read is None or cell is None else read(cell)
            for cell, read in zip(row, readers, strict=True)
        )
        for row in rows
    ]


@cache
def _readers(kind: type) -> tuple[Callable[[Any], Any] | None, ...]:
    hints = get_type_hints(kind).values()
    return tuple(
        next((READ[one] for one in (hint, *get_args(hint)) if one in READ), None) for hint in hints
    )

"""How the house's exact values stand in SQLite columns.

Money, lengths and quantities are INTEGER columns (minor units, nanometers, millionths); exact
decimals and fractions of any size are TEXT. SQLite's own REAL is used nowhere: its sums drift.
Rows of tables are turned into these values by their columns, rows of a query by `named_rows`.
"""

from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from operator import attrgetter
from typing import Any, ClassVar, get_args, get_type_hints

from sqlalchemy import Dialect
from sqlalchemy.types import Integer, Text, TypeDecorator

from ledger.measures.frozen import READ
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class _ExactColumn[Value](TypeDecorator[Value]):
    """A column whose values are written as SQLite has them and read as the house has them."""

    write: ClassVar[Any]  # functions, but typed so they would count as methods
    read: ClassVar[Any]

    def process_bind_param(self, value: Value | None, dialect: Dialect) -> Any:
        """Give SQLite its integer or text."""
        return None if value is None else type(self).write(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> Value | None:
        """Give the house its exact value."""
        return None if value is None else type(self).read(value)


class MoneyColumn(_ExactColumn[Money]):
    """Whole minor units of the book's one currency."""

    impl, cache_ok = Integer, True
    write, read = attrgetter("minor"), Money


class LengthColumn(_ExactColumn[Length]):
    """Whole nanometers."""

    impl, cache_ok = Integer, True
    write, read = attrgetter("nm"), Length


class QuantityColumn(_ExactColumn[Quantity]):
    """Whole millionths of the stock unit."""

    impl, cache_ok = Integer, True
    write, read = attrgetter("millionths"), Quantity


class DecimalColumn(_ExactColumn[Decimal]):
    """An exact decimal as text, never with an exponent: a unit price, minutes per unit."""

    impl, cache_ok = Text, True
    write, read = "{:f}".format, Decimal


class ShareColumn(_ExactColumn[Fraction]):
    """An exact share such as 3/50, written as a fraction: a rate, a markup, a waste."""

    impl, cache_ok = Text, True
    write, read = str, Fraction


class DayColumn(_ExactColumn[date]):
    """A day as ISO 8601 text: it sorts as it reads, and knows no time zone."""

    impl, cache_ok = Text, True
    write, read = date.isoformat, date.fromisoformat


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

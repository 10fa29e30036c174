"""How the house's exact values stand in SQLite columns.

Money, lengths and quantities are INTEGER columns (minor units, nanometers, millionths); exact
decimals and fractions of any size are TEXT. SQLite's own REAL is used nowhere: its sums drift.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from sqlalchemy import Dialect
from sqlalchemy.types import Integer, Text, TypeDecorator

from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class MoneyColumn(TypeDecorator[Money]):
    """Whole minor units of the book's one currency."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: Money | None, dialect: Dialect) -> int | None:
        """Give SQLite the minor units."""
        return None if value is None else value.minor

    def process_result_value(self, value: Any, dialect: Dialect) -> Money | None:
        """Give the house its Money."""
        return None if value is None else Money(value)


class LengthColumn(TypeDecorator[Length]):
    """Whole nanometers."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: Length | None, dialect: Dialect) -> int | None:
        """Give SQLite the nanometers."""
        return None if value is None else value.nm

    def process_result_value(self, value: Any, dialect: Dialect) -> Length | None:
        """Give the house its Length."""
        return None if value is None else Length(value)


class QuantityColumn(TypeDecorator[Quantity]):
    """Whole millionths of the stock unit."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: Quantity | None, dialect: Dialect) -> int | None:
        """Give SQLite the millionths."""
        return None if value is None else value.millionths

    def process_result_value(self, value: Any, dialect: Dialect) -> Quantity | None:
        """Give the house its Quantity."""
        return None if value is None else Quantity(value)


class DecimalColumn(TypeDecorator[Decimal]):
    """An exact decimal, written out as text: a unit price, minutes per unit."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> str | None:
        """Give SQLite the digits, never an exponent."""
        return None if value is None else format(value, "f")

    def process_result_value(self, value: Any, dialect: Dialect) -> Decimal | None:
        """Give the house its Decimal."""
        return None if value is None else Decimal(value)


class ShareColumn(TypeDecorator[Fraction]):
    """An exact share such as 3/50, written as a fraction: a rate, a markup, a waste."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Fraction | None, dialect: Dialect) -> str | None:
        """Give SQLite numerator and denominator."""
        return None if value is None else str(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> Fraction | None:
        """Give the house its Fraction."""
        return None if value is None else Fraction(value)


class DayColumn(TypeDecorator[date]):
    """A day as ISO 8601 text: it sorts as it reads, and knows no time zone."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: date | None, dialect: Dialect) -> str | None:
        """Give SQLite the ISO text."""
        return None if value is None else value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        """Give the house its date."""
        return None if value is None else date.fromisoformat(value)

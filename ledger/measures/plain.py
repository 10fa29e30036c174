"""Values as the plain data of JSON: what every command prints for other programs.

Amounts, hours, quantities and lengths in millimeters are decimal strings, so that nothing is lost,
and days are ISO 8601. What is kept in the book has another, canonical form (`measures.frozen`).
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from operator import attrgetter
from typing import Any

from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity, show_quantity


def plain(value: object, currency: Currency | None = None) -> Any:
    """A value as JSON holds it; money needs its currency.

    Raises:
        TypeError: a kind of value that has no plain form, or money without a currency.

    >>> plain(Quantity.of(2)), plain(Decimal("1.50")), plain(date(2025, 5, 3)), plain(("a", None))
    ('2', '1.50', '2025-05-03', ['a', None])
    """
    if value is None or isinstance(value, str | int):
        return value
    if isinstance(value, Money) and currency is not None:
        return str(currency.decimal(value))
    if isinstance(value, Quantity):
        return show_quantity(value)
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return [plain(one, currency) for one in value]
    raise TypeError(f"{value!r} has no plain form")


def plain_fields(one: object, names: str, currency: Currency | None = None) -> dict[str, Any]:
    """Fields of a value under their own names or `key=field`, in the order they are named.

    A dot leads to a field of a field.

    >>> from types import SimpleNamespace
    >>> line = SimpleNamespace(words="glue", pieces=2, lot=SimpleNamespace(day=date(2025, 5, 3)))
    >>> plain_fields(line, "words count=pieces since=lot.day")
    {'words': 'glue', 'count': 2, 'since': '2025-05-03'}
    """
    fields = {}
    for name in names.split():
        key, _, field = name.rpartition("=")
        fields[key or field] = plain(attrgetter(field)(one), currency)
    return fields


def plain_rows(
    rows: Iterable[object], names: str, currency: Currency | None = None
) -> list[dict[str, Any]]:
    """The same fields of each value."""
    return [plain_fields(row, names, currency) for row in rows]

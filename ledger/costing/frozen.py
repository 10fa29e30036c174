"""Frozen values as canonical JSON, and back: the bytes by which a quote stands.

Dataclasses become objects, exact values texts or whole numbers: money in minor units, lengths in
nanometers, quantities in millionths, decimals and fractions as they are written, days as ISO 8601.
Keys are sorted and nothing is spaced, so that equal values are equal bytes for ever; all of it is
ASCII, so that no encoding can change it.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

_WRITTEN: Mapping[type, Callable[[Any], Any]] = {
    Money: lambda value: value.minor,
    Length: lambda value: value.nm,
    Quantity: lambda value: value.millionths,
    Decimal: lambda value: format(value, "f"),
    Fraction: str,
    date: date.isoformat,
}
_READ: Mapping[Any, Callable[[Any], Any]] = {
    Money: Money,
    Length: Length,
    Quantity: Quantity,
    Decimal: Decimal,
    Fraction: Fraction,
    date: date.fromisoformat,
    str: str,
    int: int,
    bool: bool,
}


def freeze(value: Any) -> bytes:
    """A value as canonical JSON: equal values give equal bytes, whenever they are written.

    >>> freeze({"price": Money(698000), "rate": Fraction(3, 50), "on": date(2025, 4, 25)})
    b'{"on":"2025-04-25","price":698000,"rate":"3/50"}'
    """
    return json.dumps(as_plain(value), sort_keys=True, separators=(",", ":")).encode("ascii")


def as_plain(value: Any) -> Any:
    """Turn a value into what JSON can hold: objects, lists, texts and numbers."""
    write = _WRITTEN.get(type(value))
    if write is not None:
        return write(value)
    if is_dataclass(value):
        # a field that came later is left out at its default, so that older pages keep their bytes
        names = [name for name in _frozen_names(type(value)) if _is_said(value, name)]
        return {name: as_plain(getattr(value, name)) for name in names}
    if isinstance(value, Mapping):
        return {str(key): as_plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [as_plain(item) for item in value]
    if value is None or isinstance(value, str | int):
        return value
    raise TypeError(f"{type(value).__name__} has no frozen form")


def plain(frozen: bytes) -> Any:
    """What frozen bytes say, as JSON's own values.

    Raises:
        BadValue: the bytes are not what was frozen.
    """
    try:
        return json.loads(frozen)
    except (ValueError, RecursionError) as wrong:
        raise BadValue(f"These bytes are not a frozen page ({wrong}).") from wrong


def thaw[T](kind: type[T], frozen: Any) -> T:
    """The value of a kind that JSON's own values say.

    Raises:
        BadValue: something is missing or is not of its kind.

    >>> thaw(Money, 698000)
    Money(minor=698000)
    """
    try:
        value: T = _thawed(kind, frozen)
    except (KeyError, TypeError, ValueError, ArithmeticError) as wrong:
        raise BadValue(f"A frozen page does not read as a {kind.__name__} ({wrong!r}).") from wrong
    return value


def _thawed(kind: Any, frozen: Any) -> Any:
    if kind in _READ:
        return _READ[kind](frozen)
    if is_dataclass(kind):
        kinds, defaults = get_type_hints(kind), _with_default(kind)
        names = [name for name in _frozen_names(kind) if name in frozen or name not in defaults]
        make: Any = kind
        return make(**{name: _thawed(kinds[name], frozen[name]) for name in names})
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        present = next(kind for kind in inside if kind is not type(None))
        return None if frozen is None else _thawed(present, frozen)
    if origin is tuple:
        return tuple(_thawed(inside[0], item) for item in frozen)
    return {key: _thawed(inside[1], item) for key, item in frozen.items()}


def _frozen_names(kind: Any) -> list[str]:
    """The fields that make a value what it is; how it is typed, say, is no part of a page."""
    return [field.name for field in fields(kind) if field.compare]


def _is_said(value: Any, name: str) -> bool:
    """Whether a page has a field: some are there only where they differ from their default."""
    field = next(one for one in fields(value) if one.name == name)
    return "is_said_if_other" not in field.metadata or getattr(value, name) != field.default


def _with_default(kind: Any) -> set[str]:
    """The fields that stand without being said, as in a page that was frozen before they were."""
    return {
        one.name
        for one in fields(kind)
        if one.default is not MISSING or one.default_factory is not MISSING
    }

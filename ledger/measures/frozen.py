"""Values as canonical JSON, and back: the bytes by which quotes, invoices and designs are kept.

Structs become objects, exact values texts or whole numbers: money in minor units, lengths in
nanometers, quantities in millionths, decimals and fractions as they are written, days as ISO 8601.
Keys are sorted and nothing is spaced, so that equal values are equal bytes for ever. What is kept
is read by the type hints of its struct.
"""

import json
from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from types import UnionType
from typing import Any, Union, get_args, get_origin

from msgspec import Struct, structs

from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import NEVER_WRITTEN, WRITTEN_IF_OTHER

type Step = Callable[[dict[str, Any]], dict[str, Any]]
"""Makes a page of one schema, as plain values, a page of the next one."""

_WRITE: Mapping[type, Callable[[Any], Any]] = {
    Money: lambda value: value.minor,
    Length: lambda value: value.nm,
    Quantity: lambda value: value.millionths,
    Decimal: lambda value: format(value, "f"),
    Fraction: str,
    date: date.isoformat,
    frozenset: sorted,
}
READ: Mapping[Any, Callable[[Any], Any]] = {
    Money: Money,
    Length: Length,
    Quantity: Quantity,
    Decimal: Decimal,
    Fraction: Fraction,
    date: date.fromisoformat,
    bool: bool,
}
"""What makes a value of its plain form, as JSON and the columns of the book hold it."""

type Without = Mapping[type, Collection[str]]
"""Fields, by class, that are not written."""


def freeze(value: Any) -> bytes:
    """A value as canonical JSON in ASCII, so that no encoding can change it.

    >>> freeze({"price": Money(698000), "rate": Fraction(3, 50), "on": date(2025, 4, 25)})
    b'{"on":"2025-04-25","price":698000,"rate":"3/50"}'
    """
    return canonical(value).encode("ascii")


def canonical(value: Any, without: Without | None = None, *, in_ascii: bool = True) -> str:
    """A value as canonical JSON: equal values give equal texts, whenever they are written."""
    plain_value = as_plain(value, without or {})
    return json.dumps(plain_value, sort_keys=True, separators=(",", ":"), ensure_ascii=in_ascii)


def as_plain(value: Any, without: Without) -> Any:
    """Turn a value into what JSON can hold: objects, lists, texts and numbers."""
    write = _WRITE.get(type(value))
    if write is not None:
        return write(value)
    kind: Any = type(value)
    if isinstance(value, Struct):
        left_out = without.get(kind, ())
        # what came later is not written at its default, so that older pages keep their bytes
        return {
            name: as_plain(getattr(value, name), without)
            for name, field in _fields(kind).items()
            if name not in left_out and not (field.only_if_other and is_default(value, name))
        }
    if isinstance(value, Mapping):
        return {str(key): as_plain(item, without) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [as_plain(item, without) for item in value]
    if value is None or isinstance(value, str | int):
        return value
    raise TypeError(f"{type(value).__name__} has no frozen form")


def is_default(value: object, name: str) -> bool:
    """Whether a field of a value has its default."""
    kind: Any = type(value)
    return bool(getattr(value, name) == _fields(kind)[name].default)


def read_json(frozen: bytes | str) -> Any:
    """What canonical JSON says, as JSON's own values.

    Raises:
        BadValue: it is no JSON.
    """
    try:
        return json.loads(frozen)
    except (ValueError, RecursionError) as wrong:
        raise BadValue(f"These bytes are not a frozen page ({wrong}).") from wrong


def thaw[T](kind: type[T], frozen: Any, *, exact: bool = False) -> T:
    """The value of a kind that JSON's own values say.

    `exact` refuses what the kind has no field for, as a program of another release may have had.

    Raises:
        BadValue: something is missing or is not of its kind.

    >>> thaw(Money, 698000)
    Money(minor=698000)
    """
    try:
        value: T = _thawed(kind, frozen, exact)
    except (AttributeError, KeyError, TypeError, ValueError, ArithmeticError) as wrong:
        raise BadValue(f"A frozen page does not read as a {kind.__name__} ({wrong!r}).") from wrong
    return value


def thaw_page[T](kind: type[T], frozen: bytes, schema: int, steps: Sequence[Step], name: str) -> T:
    """The value of a page that was kept under a schema, this one or an older one.

    `steps` bring the plain values of schema 1 to 2, of 2 to 3, and so on; `name` is what a refusal
    calls the page.

    Raises:
        BadValue: the bytes are no such page, or were written by a newer program.
    """
    newest = len(steps) + 1
    if schema > newest:
        raise BadValue(
            f"{name} was written under schema {schema}; this program knows {newest}."
            " Install the newer Bench Ledger to read it."
        )
    page = read_json(frozen)
    if schema < 1 or not isinstance(page, dict):
        raise BadValue(f"{name} is no page under a schema from 1 to {newest}.")
    for step in steps[schema - 1 :]:
        page = step(page)
    return thaw(kind, page)


def _thawed(kind: Any, frozen: Any, exact: bool) -> Any:
    if kind in READ:
        return READ[kind](frozen)
    if kind in (str, int):
        return kind(frozen)
    if isinstance(kind, type) and issubclass(kind, Struct):
        known = _fields(kind)
        if exact and (unknown := frozen.keys() - known.keys()):
            raise KeyError(*unknown)
        return kind(
            **{
                name: _thawed(field.hint, frozen[name], exact)
                for name, field in known.items()
                if name in frozen or not field.has_default
            }
        )
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        present = next(kind for kind in inside if kind is not type(None))
        return None if frozen is None else _thawed(present, frozen, exact)
    if origin in (tuple, frozenset):
        return origin(_thawed(inside[0], item, exact) for item in frozen)
    return {key: _thawed(inside[1], item, exact) for key, item in frozen.items()}


class _Field(Struct, frozen=True):
    """How one field is written and read."""

    hint: Any
    default: Any
    has_default: bool
    only_if_other: bool


@cache
def _fields(kind: type[Struct]) -> dict[str, _Field]:
    """The fields that make a value what it is; how it is typed, say, is no part of a page."""
    known = {}
    for one in structs.fields(kind):
        marks = getattr(one.type, "__metadata__", ())
        if NEVER_WRITTEN not in marks:
            hint = one.type.__origin__ if marks else one.type
            known[one.name] = _Field(hint, one.default, not one.required, WRITTEN_IF_OTHER in marks)
    return known

"""One value made of another: what both call by the same name is carried over."""

from collections.abc import Iterable
from typing import Any


def made_of[T](kind: type[T], source: object, /, **own: Any) -> T:
    """A value of a class with its own fields, and the others as they stand in a source.

    A field that neither names takes its default; where it has none, making the value fails.

    >>> from ledger.measures.money import Currency
    >>> euro = made_of(Currency, Currency("USD", 2), code="EUR")
    >>> euro.code, euro.digits
    ('EUR', 2)
    """
    names: Iterable[str] = getattr(kind, "model_fields", getattr(kind, "__struct_fields__", ()))
    carried = {name for name in names if name not in own and hasattr(source, name)}
    return kind(**{name: getattr(source, name) for name in carried} | own)

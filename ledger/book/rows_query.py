"""The query of the rows of a table that are in force, made once for each set of columns."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from sqlalchemy import bindparam, select, text

from ledger.book.questions import IN_FORCE
from ledger.book.tables.base import Posted

_IN_FORCE = text(IN_FORCE)  # in words it takes half as long to compile as built


def rows_query(
    table: type[Posted],
    equals: Mapping[str, Any],
    *,
    in_force: bool = True,
    last: bool = False,
) -> Any:
    """The query of the rows whose columns equal what is asked, as posted; or of the `last` alone.

    Its parameters are the values of `equals`; a file of a thousand lines asks it as often.
    """
    compared = tuple((name, value is None) for name, value in equals.items())
    return _made(table, compared, in_force, last)


@cache
def _made(
    table: type[Posted], compared: tuple[tuple[str, bool], ...], in_force: bool, last: bool
) -> Any:
    number: Any = table.id
    query = select(table)
    for name, is_none in compared:
        column = getattr(table, name)
        query = query.where(column.is_(None) if is_none else column == bindparam(name))
    if in_force:
        query = query.where(_IN_FORCE)
    return query.order_by(number.desc()).limit(1) if last else query.order_by(number)

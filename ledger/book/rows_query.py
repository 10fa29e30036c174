"""The query of the rows of a table that are in force, made once for each set of columns."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from sqlalchemy import bindparam, select

from ledger.book.tables.base import Posted
from ledger.book.tables.ground import JournalEntry

_REVERSES: Any = JournalEntry.reverses
_REVERSED = select(_REVERSES).where(_REVERSES.is_not(None))


def rows_query(
    table: type[Posted],
    equals: Mapping[str, Any],
    *,
    in_force: bool = True,
    newest_first: bool = False,
    alone: bool = False,
) -> Any:
    """The query of the rows whose columns equal what is asked, by number; `alone`: the first.

    Its parameters are the values of `equals`; a file of a thousand lines asks it as often.
    """
    compared = tuple((name, value is None) for name, value in equals.items())
    return _made(table, compared, in_force, newest_first, alone)


@cache
def _made(
    table: type[Posted],
    compared: tuple[tuple[str, bool], ...],
    in_force: bool,
    newest_first: bool,
    alone: bool,
) -> Any:
    number: Any = table.id
    query = select(table)
    for name, is_none in compared:
        column = getattr(table, name)
        query = query.where(column.is_(None) if is_none else column == bindparam(name))
    if in_force:
        entry: Any = table.entry
        query = query.where(entry.not_in(_REVERSED))
    query = query.order_by(number.desc() if newest_first else number)
    return query.limit(1) if alone else query

"""What is typed is looked at before it stands in the book for ever."""

from typing import Any

from sqlalchemy import event, inspect
from sqlmodel import Session

from ledger.book.tables.ground import JournalEntry
from ledger.errors import BadValue
from ledger.measures.letters import unseen


def refuse_unseen(session: Session) -> None:
    """Have a session refuse texts with signs that cannot be seen.

    What stands in old books stays as it is, and may be taken back or redacted.
    """
    event.listen(session, "before_flush", _before_flush)


def _before_flush(session: Session, *_: object) -> None:
    for row in session.new:
        if not isinstance(row, JournalEntry):  # its words repeat the rows' own, or an old entry's
            _check(row, row.__dict__)
    for row in session.dirty:
        attributes = inspect(row).attrs
        _check(row, {name: (*attributes[name].history.added, "")[0] for name in row.__dict__
                     if name in attributes})  # fmt: skip


def _check(row: Any, values: dict[str, Any]) -> None:
    for name, value in values.items():
        if isinstance(value, str) and (sign := unseen(value)):
            what = name.replace("_", " ")
            raise BadValue(
                f"The {what} holds a character that cannot be seen ({sign}); type it again"
                " without it."
            )

"""Which days may be posted to: none in the future, none in a closed month."""

from datetime import date
from typing import TYPE_CHECKING

from ledger.book.questions import IN_FORCE
from ledger.book.references import is_closed
from ledger.errors import NotAllowed
from ledger.measures.day import Month

if TYPE_CHECKING:
    from ledger.book.journal import Book


def require_open_day(book: "Book", day: date) -> date:
    """The day itself, if something may be posted on it.

    Raises:
        NotAllowed: the day lies in the future or in a closed month.

    """
    if day > book.today:
        raise NotAllowed(f"{day} lies in the future; today is {book.today}.")
    month = Month.of(day)
    if is_closed(book, month):
        raise NotAllowed(
            f"{month} is closed. Post on a day of an open month, or open it again:"
            f" benchledger month {month} --reopen --why TEXT"
        )
    return day


def close_month(book: "Book", month: Month) -> None:
    """Close a month that is over: nothing more is posted on its days.

    Raises:
        NotAllowed: the month is not over, or closed already.

    """
    if month.last >= book.today:
        raise NotAllowed(f"{month} is not over; it can be closed from {month.next().first} on.")
    with book.entry("month close", str(month)):
        if is_closed(book, month):
            raise NotAllowed(f"{month} is closed already.")
        _post(book, month, "closed")


def reopen_month(book: "Book", month: Month, why: str) -> None:
    """Open a closed month again, with the reason.

    Raises:
        NotAllowed: the month is open, or no reason is given.

    """
    if not why.strip():
        raise NotAllowed(f"Say why {month} is opened again: --why TEXT")
    with book.entry("month reopen", str(month)):
        if not is_closed(book, month):
            raise NotAllowed(f"{month} is open.")
        _post(book, month, "open", why.strip())


def _post(book: "Book", month: Month, state: str, why: str = "") -> None:
    from ledger.book.tables.months import MonthState  # few commands close a month

    book.post(MonthState(month=str(month), state=state, why=why))


def open_months(book: "Book") -> tuple[Month, ...]:
    """The months that are over and not closed, from the one in which the book began."""
    opened: date | None = book.settings.opened
    if opened is None:
        return ()
    state = dict(book.query(f"SELECT month, state FROM month_state WHERE {IN_FORCE} ORDER BY id"))
    month, this = Month.of(opened), Month.of(book.today)
    months = []
    while month < this:
        if state.get(str(month)) != "closed":
            months.append(month)
        month = month.next()
    return tuple(months)

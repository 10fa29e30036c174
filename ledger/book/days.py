"""Which days may be posted to: none in the future, none in a closed month."""

from datetime import date

from ledger.book.journal import Book
from ledger.book.tables.ground import MonthState
from ledger.errors import NotAllowed
from ledger.measures.day import Month


def is_closed(book: Book, month: Month) -> bool:
    """Whether the month was closed and not opened again since."""
    last = book.last(MonthState, month=str(month))
    return last is not None and last.state == "closed"


def require_open_day(book: Book, day: date) -> date:
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


def close_month(book: Book, month: Month) -> None:
    """Close a month that is over: nothing more is posted on its days.

    Raises:
        NotAllowed: the month is not over, or closed already.

    """
    if month.last >= book.today:
        raise NotAllowed(f"{month} is not over; it can be closed from {month.next().first} on.")
    if is_closed(book, month):
        raise NotAllowed(f"{month} is closed already.")
    with book.deed("month close", str(month)):
        book.post(MonthState(month=str(month), state="closed"))


def reopen_month(book: Book, month: Month, why: str) -> None:
    """Open a closed month again, with the reason.

    Raises:
        NotAllowed: the month is open, or no reason is given.

    """
    if not why.strip():
        raise NotAllowed(f"Say why {month} is opened again: --why TEXT")
    if not is_closed(book, month):
        raise NotAllowed(f"{month} is open.")
    with book.deed("month reopen", str(month)):
        book.post(MonthState(month=str(month), state="open", why=why.strip()))

"""Which days may be posted to: none in the future, none in a closed month."""

from datetime import date
from typing import TYPE_CHECKING

from ledger.book.questions import IN_FORCE
from ledger.book.tables.ground import JournalEntry, MonthState
from ledger.errors import NotAllowed
from ledger.measures.day import Month

if TYPE_CHECKING:
    from ledger.book.journal import Book


def is_closed(book: "Book", month: Month) -> bool:
    """Whether the month was closed and not opened again since."""
    last = book.query(
        f"SELECT state FROM month_state WHERE month = :month AND {IN_FORCE}"
        " ORDER BY id DESC LIMIT 1",
        month=str(month),
    )
    return bool(last) and last[0].state == "closed"


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
        book.post(MonthState(month=str(month), state="closed"))


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
        book.post(MonthState(month=str(month), state="open", why=why.strip()))


def keep_closed_months(book: "Book", entry: JournalEntry) -> None:
    """Refuse to take back an entry that posted on a day of a closed month: its report would change.

    Raises:
        NotAllowed: such a day is among the days of the entry's rows.

    """
    tables = book.query(
        "SELECT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c"
        " WHERE m.type = 'table' AND c.name IN ('deed', 'day') GROUP BY m.name HAVING count(*) = 2"
    )
    for (table,) in tables:
        rows = book.query(f"SELECT DISTINCT day FROM {table} WHERE deed = :entry", entry=entry.id)
        for (day,) in rows:
            month = Month.of(date.fromisoformat(day))
            if is_closed(book, month):
                raise NotAllowed(
                    f"Entry {entry.id} ({entry.verb} {entry.words}) posted on {day}, and {month} is"
                    f" closed. Open it again: benchledger month {month} --reopen --why TEXT"
                )


def open_months(book: "Book") -> tuple[Month, ...]:
    """The months that are over and not closed, from the one in which the book began."""
    opened: date | None = book.settings.opened
    if opened is None:
        return ()
    state = {row.month: row.state for row in book.rows(MonthState)}
    month, this = Month.of(opened), Month.of(book.today)
    months = []
    while month < this:
        if state.get(str(month)) != "closed":
            months.append(month)
        month = month.next()
    return tuple(months)

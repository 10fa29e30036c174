"""Questions about entries themselves."""

from ledger.book.journal import CUT, MADE, Book
from ledger.book.questions import IN_FORCE
from ledger.book.tables.ground import JournalEntry
from ledger.book.tables.page import PageEntry
from ledger.book.worked_out import WORKED_OUT

_LAST_IN_FORCE = """SELECT max(id) FROM deed
WHERE reverses IS NULL AND verb NOT IN (:made, :kept, :cut)
  AND id NOT IN (SELECT reverses FROM deed WHERE reverses IS NOT NULL)"""


def last_in_force(book: Book) -> int | None:
    """The number of the last entry that can be taken back: in force, and not itself a reversal.

    What was only worked out is passed over, and parts noted as cut by a tap: who takes something
    back means what they entered.
    """
    number: int | None
    (number,) = book.column(_LAST_IN_FORCE, made=MADE, kept=WORKED_OUT, cut=CUT)
    return number


def last_by_hand(book: Book) -> JournalEntry | None:
    """The last entry that somebody meant, in force or not; reversals are entries too."""
    rows = book.query(
        "SELECT max(id) FROM deed WHERE verb NOT IN (:kept, :cut)", kept=WORKED_OUT, cut=CUT
    )
    return None if rows[0][0] is None else book.entry_of(rows[0][0])


def last_entries(book: Book, count: int = 10) -> list[tuple[JournalEntry, bool]]:
    """The last entries, newest first, each with whether it still counts."""
    return [(entry, book.is_in_force(entry.id or 0)) for entry in book.entries(count)]


_LAST_OF_DEVICE = f"""SELECT id FROM page_entry WHERE device = :device AND {IN_FORCE}
AND deed NOT IN (SELECT id FROM deed WHERE reverses IS NOT NULL)
ORDER BY id DESC LIMIT 1"""


def last_of_device(book: Book, device: str) -> PageEntry | None:
    """The last entry that a device sent over the page and that still counts, undoings passed over.

    It is one question of an index, for it is asked whenever a screen is opened.
    """
    rows = book.query(_LAST_OF_DEVICE, device=device)
    return book.row(PageEntry, rows[0][0]) if rows else None

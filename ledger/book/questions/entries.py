"""Questions about entries themselves."""

from ledger.book.journal import MADE, Book
from ledger.book.tables.ground import JournalEntry
from ledger.book.worked_out import WORKED_OUT


def last_in_force(book: Book) -> int | None:
    """The number of the last entry that can be taken back: in force, and not itself a reversal.

    What was only worked out is passed over: who takes something back means what they entered.
    """
    (row,) = book.query(
        "SELECT max(id) FROM deed WHERE reverses IS NULL AND verb NOT IN (:made, :kept)"
        " AND id NOT IN (SELECT reverses FROM deed WHERE reverses IS NOT NULL)",
        made=MADE,
        kept=WORKED_OUT,
    )
    number: int | None = row[0]
    return number


def last_entries(book: Book, count: int = 10) -> list[tuple[JournalEntry, bool]]:
    """The last entries, newest first, each with whether it still counts."""
    return [(entry, book.is_in_force(entry.id or 0)) for entry in book.entries(count)]

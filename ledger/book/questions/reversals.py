"""Questions asked when an entry of the stock room is about to be taken back."""

from ledger.book.journal import Book

_TOUCHED_LOTS = """SELECT DISTINCT m.lot FROM movement m JOIN on_hand h ON h.lot = m.lot
WHERE m.deed = :entry ORDER BY m.lot"""


def touched_lots(book: Book, entry: int) -> list[int]:
    """The lots that movements of the entry touched and that are still in force."""
    return book.column(_TOUCHED_LOTS, entry=entry)


def touched_jobs(book: Book, entry: int) -> list[int]:
    """The jobs that movements of the entry were for."""
    moved = "FROM movement WHERE deed = :entry AND job IS NOT NULL"
    return book.column(f"SELECT DISTINCT job {moved} ORDER BY job", entry=entry)


def receipts_of(book: Book, entry: int) -> int:
    """How many receipts an entry posted."""
    (count,) = book.column("SELECT count(*) FROM receipt WHERE deed = :entry", entry=entry)
    return int(count)

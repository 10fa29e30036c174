"""Questions asked when an entry of the stock room is about to be taken back."""

from ledger.book.journal import Book


def touched_lots(book: Book, entry: int) -> list[int]:
    """The lots that movements of the entry touched and that are still in force."""
    rows = book.query(
        "SELECT DISTINCT m.lot FROM movement m JOIN on_hand h ON h.lot = m.lot"
        " WHERE m.deed = :entry ORDER BY m.lot",
        entry=entry,
    )
    return [row.lot for row in rows]


def touched_jobs(book: Book, entry: int) -> list[int]:
    """The jobs that movements of the entry were for."""
    rows = book.query(
        "SELECT DISTINCT job FROM movement WHERE deed = :entry AND job IS NOT NULL ORDER BY job",
        entry=entry,
    )
    return [row.job for row in rows]


def receipts_of(book: Book, entry: int) -> int:
    """How many receipts an entry posted."""
    count: int = book.query("SELECT count(*) FROM receipt WHERE deed = :entry", entry=entry)[0][0]
    return count

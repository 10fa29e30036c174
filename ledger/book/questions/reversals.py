"""Questions asked when a deed of the stock room is about to be taken back."""

from ledger.book.journal import Book


def touched_lots(book: Book, deed: int) -> list[int]:
    """The lots that movements of the deed touched and that are still in force."""
    rows = book.facts(
        "SELECT DISTINCT m.lot FROM movement m JOIN on_hand h ON h.lot = m.lot"
        " WHERE m.deed = :deed ORDER BY m.lot",
        deed=deed,
    )
    return [row.lot for row in rows]


def touched_jobs(book: Book, deed: int) -> list[int]:
    """The jobs that movements of the deed were for."""
    rows = book.facts(
        "SELECT DISTINCT job FROM movement WHERE deed = :deed AND job IS NOT NULL ORDER BY job",
        deed=deed,
    )
    return [row.job for row in rows]


def receipts_of(book: Book, deed: int) -> int:
    """How many receipts a deed posted."""
    count: int = book.facts("SELECT count(*) FROM receipt WHERE deed = :deed", deed=deed)[0][0]
    return count

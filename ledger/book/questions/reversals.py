"""Questions asked when a deed of the stock room is about to be taken back."""

from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE


class Dependent(NamedTuple):
    """A row in force that rests on a row of the deed."""

    lot: int
    deed: int


def drawn_since(book: Book, deed: int) -> list[Dependent]:
    """Movements in force on lots that the deed brought in."""
    return _dependents(
        book,
        f"SELECT m.lot, m.deed FROM movement m JOIN lot ON lot.id = m.lot WHERE lot.deed = :deed"
        f" AND m.deed <> :deed AND m.{IN_FORCE} ORDER BY m.id",
        deed,
    )


def returned_since(book: Book, deed: int) -> list[Dependent]:
    """Movements in force that give back what movements of the deed took."""
    return _dependents(
        book,
        "SELECT m.lot, m.deed FROM movement m JOIN movement taken ON taken.id = m.of_movement"
        f" WHERE taken.deed = :deed AND m.deed <> :deed AND m.{IN_FORCE} ORDER BY m.id",
        deed,
    )


def taken_back_since(book: Book, deed: int) -> list[Dependent]:
    """Receipts in force that take back a receipt of the deed; the lot is the receipt's number."""
    return _dependents(
        book,
        "SELECT r.reverses AS lot, r.deed FROM receipt r JOIN receipt first ON"
        f" first.id = r.reverses WHERE first.deed = :deed AND r.deed <> :deed AND r.{IN_FORCE}",
        deed,
    )


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


def _dependents(book: Book, sql: str, deed: int) -> list[Dependent]:
    return [Dependent(row.lot, row.deed) for row in book.facts(sql, deed=deed)]

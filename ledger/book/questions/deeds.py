"""Questions about deeds themselves."""

from ledger.book.journal import MADE, Book


def last_in_force(book: Book) -> int | None:
    """The number of the last deed that can be taken back: in force, and not itself a reversal."""
    (found,) = book.facts(
        "SELECT max(id) FROM deed WHERE reverses IS NULL AND verb <> :made"
        " AND id NOT IN (SELECT reverses FROM deed WHERE reverses IS NOT NULL)",
        made=MADE,
    )
    number: int | None = found[0]
    return number

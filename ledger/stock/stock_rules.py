"""What must still hold when an entry is taken back, and the recount of the whole room.

Each rule is asked while the reversal stands but is not committed; it raises where lots or jobs
would no longer tie, and says which entry has to be undone first.
"""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.questions.reversals import touched_jobs, touched_lots
from ledger.book.questions.stock import below_zero, lot_now, moved_in, recounted
from ledger.book.tables.ground import JournalEntry
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.measures.quantity import Quantity
from ledger.stock.offcuts import is_credit_covered


def refuse_broken_lots(book: Book, entry: JournalEntry) -> None:
    """Refuse an undo that leaves a lot below zero on some day, or with value and no goods."""
    number = entry.id or 0
    left = dict.fromkeys(touched_lots(book, number), Quantity(0))
    for lot in left:
        row = book.row(Lot, lot)
        left[lot] = row.quantity if row else Quantity(0)
    for moved in moved_in(book, number):
        if moved.lot in left:
            left[moved.lot] = left[moved.lot] + moved.quantity
            if left[moved.lot].millionths < 0:
                raise NotAllowed(
                    f"Lot {moved.lot} would be below zero on {moved.day}: later entries drew on"
                    " what this one brought back. Undo those first."
                )
    for lot in left:
        now = lot_now(book, lot)
        worthless = now is not None and not now.quantity
        if now is not None and (now.full.minor < 0 or (worthless and now.full)):
            raise NotAllowed(
                f"Lot {lot} would keep {book.currency.show(now.full)} without goods; undo the"
                " later draws from it first."
            )


def refuse_uncovered_offcuts(book: Book, entry: JournalEntry) -> None:
    """Refuse an undo that takes from a job the sheets whose leftovers it was credited for."""
    for job in touched_jobs(book, entry.id or 0):
        if not is_credit_covered(book, job):
            raise NotAllowed(
                "The job was credited for offcuts of these sheets; undo the offcuts first."
            )


def faults(book: Book) -> list[str]:
    """What does not tie in the whole room; an empty list where everything does."""
    return recounted(book) + below_zero(book)


REVERSAL_RULES: Sequence[ReversalRule] = (refuse_broken_lots, refuse_uncovered_offcuts)

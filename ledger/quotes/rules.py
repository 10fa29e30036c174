"""What must hold in this room when a deed is taken back."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.journal import ReversalRule
from ledger.book.tables.ground import Deed
from ledger.book.tables.jobs import Invoice
from ledger.errors import NotAllowed
from ledger.quotes.revisions import keep_quotes


def keep_numbered_papers(book: Book, deed: Deed) -> None:
    """A paper of a year's series was sent and stays: it is answered, never taken back.

    Raises:
        NotAllowed: the deed wrote such a paper.
    """
    for row in book.rows(Invoice, in_force=False, deed=deed.id):
        if row.series:
            raise NotAllowed(
                f"{row.number} was sent and keeps its number; under VAT a credit note answers it:"
                f" benchledger quote credit {row.number} --why TEXT"
            )


REVERSAL_RULES: Sequence[ReversalRule] = (keep_quotes, keep_numbered_papers)

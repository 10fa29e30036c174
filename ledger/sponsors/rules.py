"""What must still hold in this room when a deed is taken back, and what `check` looks at."""

from ledger.book import Book
from ledger.book.questions.sponsors import rests_on
from ledger.book.tables.ground import Deed
from ledger.book.tables.sponsors import PublicationSponsor, Sponsor, SponsorAgreement
from ledger.errors import NotAllowed


def refuse_orphans(book: Book, deed: Deed) -> None:
    """Nothing may speak of a sponsor, publication or tool that is no longer in the book.

    Raises:
        NotAllowed: a later deed does; it has to be undone first.
    """
    later = rests_on(book, deed.id or 0)
    if later:
        first = book.deed_of(later[-1])
        raise NotAllowed(
            f"Deed {first.id} ({first.verb} {first.words}) rests on it; undo that first."
        )


REVERSAL_RULES = (refuse_orphans,)


def unknown_sponsors(book: Book) -> list[str]:
    """The agreements and publications of sponsors that are not in the book."""
    known = {row.name for row in book.rows(Sponsor)}
    named = {row.sponsor for row in book.rows(SponsorAgreement)}
    named |= {row.sponsor for row in book.rows(PublicationSponsor)}
    missing = sorted(named - known)
    return [f"{name} has agreements or publications and is no sponsor." for name in missing]

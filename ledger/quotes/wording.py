"""The shop's own sentences on quotes: its settings, lists parted by `|`."""

from ledger.book import Book
from ledger.quotes.offer import Clause, Maker

CLAUSES = (
    ("wording_changes", "Changes"),
    ("wording_care", "Care"),
    ("wording_warranty", "Warranty"),
    ("wording_cancel", "Canceling"),
)
"""The settings that become terms of an offer, with their headings."""


def sentences(book: Book, setting: str) -> tuple[str, ...]:
    """The items of a list setting, in order, without empty ones."""
    parts = str(book.setting(setting)).split("|")
    return tuple(part.strip() for part in parts if part.strip())


def clauses(book: Book) -> tuple[Clause, ...]:
    """The terms of an offer that the shop has words for."""
    said = ((heading, str(book.setting(name)).strip()) for name, heading in CLAUSES)
    return tuple(Clause(heading, words) for heading, words in said if words)


def maker(book: Book) -> Maker:
    """The workshop as it signs its papers."""
    return Maker(book.setting("shop"), book.setting("address"), book.setting("contact"))

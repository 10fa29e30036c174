"""The shop's own sentences on quotes: its settings, lists parted by `|`."""

from ledger.book import Book
from ledger.book.settings import SETTINGS
from ledger.book.tables.ground import SettingValue
from ledger.quotes.offer import Clause, Maker
from ledger.stock.use_tax import IMPROVEMENT

CLAUSES = (
    ("wording_changes", "Changes"),
    ("wording_care", "Care"),
    ("wording_warranty", "Warranty"),
    ("wording_cancel", "Canceling"),
)
"""The settings that become terms of an offer, with their headings."""


def sentences(book: Book, setting: str) -> tuple[str, ...]:
    """The items of a list setting, in order, without empty ones."""
    return _items(str(book.setting(setting)))


def sentences_ever(book: Book, setting: str) -> set[str]:
    """The items that a list setting has, or ever had."""
    values = [row.value for row in book.rows(SettingValue, in_force=False, name=setting)]
    return {item for value in (SETTINGS[setting].default, *values) for item in _items(value)}


def _items(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split("|") if part.strip())


def clauses(book: Book) -> tuple[Clause, ...]:
    """The terms of an offer that the shop has words for."""
    said = ((heading, str(book.setting(name)).strip()) for name, heading in CLAUSES)
    return tuple(Clause(heading, words) for heading, words in said if words)


def untaxed_words(book: Book, standing: str) -> str:
    """What stands in place of a tax line where clients are asked for no tax."""
    name = "wording_improvement" if standing == IMPROVEMENT else "wording_exempt"
    return str(book.setting(name))


def maker(book: Book) -> Maker:
    """The workshop as it signs its papers."""
    return Maker(book.setting("shop"), book.setting("address"), book.setting("contact"))

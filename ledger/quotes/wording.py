"""The shop's own sentences on quotes: its settings, lists parted by `|`."""

from collections.abc import Iterable

from ledger.book import Book
from ledger.book.settings import SETTINGS
from ledger.book.tables.ground import SettingValue
from ledger.book.wordings import FORMER, MARKS
from ledger.quotes.offer import Clause, Maker
from ledger.stock.use_tax import IMPROVEMENT

CLAUSES = (
    ("wording_changes", "Changes"),
    ("wording_care", "Care"),
    ("wording_warranty", "Warranty"),
    ("wording_cancel", "Canceling"),
)
"""The settings that become terms of an offer, with their headings."""


def sentences(book: Book, setting: str, occasions: Iterable[str] = ()) -> tuple[str, ...]:
    """The sentences of a setting that hold on these occasions, in order, without their marks."""
    there = {*occasions, book.units}
    return tuple(
        words
        for marks, words in _items(str(book.setting(setting)))
        if all((mark.removeprefix("not ") in there) != mark.startswith("not ") for mark in marks)
    )


def sentences_ever(book: Book, setting: str) -> set[str]:
    """Every item that a list setting has or ever had, without its marks."""
    values = [row.value for row in book.rows(SettingValue, in_force=False, name=setting)]
    usual = (SETTINGS[setting].default, FORMER.get(setting, ""), *values)
    return {words for value in usual for _, words in _items(value)}


def _items(text: str) -> list[tuple[frozenset[str], str]]:
    """The sentences of a setting with the occasions that each is marked with; most have none.

    >>> [(sorted(marks), words) for marks, words in _items("Drawing | not site mm: As: seen|")]
    [([], 'Drawing'), (['mm', 'not site'], 'As: seen')]
    >>> _items("Service: by the shop")
    [(frozenset(), 'Service: by the shop')]
    """
    items = []
    for part in text.split("|"):
        head, _, rest = part.partition(":")
        marks = _marks(head)
        words = (rest if marks and rest else part).strip()
        if words:
            items.append((marks if rest else frozenset(), words))
    return items


_IN_ANY_CASE = frozenset({"site", "loose", "delivery", "bed", "springs", "inch", "mm"})


def _marks(head: str) -> frozenset[str]:
    """The marks that a sentence begins with; none where any word of its head is no mark."""
    marks, contrary = set(), ""
    for word in head.split():
        mark = word.casefold() if word.casefold() in _IN_ANY_CASE else word
        if mark == "not" and not contrary:
            contrary = "not "
        elif mark in MARKS:
            marks.add(contrary + mark)
            contrary = ""
        else:
            return frozenset()
    return frozenset() if contrary else frozenset(marks)


def clause(book: Book, name: str, occasions: Iterable[str]) -> str:
    """The shop's words for a term, as far as they hold for a job."""
    return " ".join(sentences(book, name, occasions))


def clauses(book: Book, occasions: frozenset[str]) -> tuple[Clause, ...]:
    """The terms of an offer that the shop has words for."""
    texts = ((heading, clause(book, name, occasions)) for name, heading in CLAUSES)
    return tuple(Clause(heading, words) for heading, words in texts if words)


def untaxed_words(book: Book, standing: str) -> str:
    """What stands in place of a tax line where clients are asked for no tax, or on no part."""
    if standing not in ("exempt", IMPROVEMENT):
        return str(book.setting("wording_untaxed")) if standing == "vat" else ""
    name = "wording_improvement" if standing == IMPROVEMENT else "wording_exempt"
    return str(book.setting(name))


def maker(book: Book) -> Maker:
    """The workshop as it signs its papers."""
    return Maker(book.settings.shop, book.settings.address, book.settings.contact)

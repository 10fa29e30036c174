"""The shop's own sentences on quotes: its settings, lists parted by `|`."""

from collections.abc import Iterable

from ledger.book import Book
from ledger.book.settings import SETTINGS
from ledger.book.tables.ground import SettingValue
from ledger.book.wordings import FORMER, MARKS, OF_ORDERS
from ledger.costing.sheet import CostSheet
from ledger.quotes.offer import Clause, Maker
from ledger.quotes.terms import is_fitted, is_service
from ledger.stock.use_tax import IMPROVEMENT

CLAUSES = (
    ("wording_changes", "Changes"),
    ("wording_care", "Care"),
    ("wording_warranty", "Warranty"),
    ("wording_cancel", "Canceling"),
)
"""The settings that become terms of an offer, with their headings."""


def sentences(book: Book, setting: str, occasions: Iterable[str] = ()) -> tuple[str, ...]:
    """The items of a list setting that hold on these occasions, in order, without their marks."""
    there = {*occasions, book.units}
    return tuple(words for marks, words in _items(str(book.setting(setting))) if marks <= there)


def occasions_of(
    sheet: CostSheet, deliverables: Iterable[str], *, is_bed: bool, is_order: bool = False
) -> frozenset[str]:
    """Which marked items hold for a piece: by what is fixed in it, delivered and fitted.

    Nothing is drawn or measured for a work order: what is said of a new piece is not said of it.
    """
    about, names = {caution.about for caution in sheet.cautions}, list(deliverables)
    is_on_site = "wall fixing" in about or any(is_fitted(name) for name in names)
    return frozenset(
        mark
        for mark, holds in (
            ("site", is_on_site and not is_order),
            ("loose", not is_on_site and not is_order),
            ("delivery", is_on_site or any(is_service(name) for name in names)),
            ("bed", is_bed),
            ("springs", "springs" in about),
        )
        if holds
    )


def sentences_ever(book: Book, setting: str) -> set[str]:
    """The items that a list setting has, or ever had."""
    values = [row.value for row in book.rows(SettingValue, in_force=False, name=setting)]
    usual = (SETTINGS[setting].default, FORMER.get(setting, ""), *values)
    return {words for value in usual for _, words in _items(value)}


def _items(text: str) -> list[tuple[frozenset[str], str]]:
    """The items of a list with the occasions that each is marked with; most have none.

    >>> [(sorted(marks), words) for marks, words in _items("Drawing | site mm: Walls: as seen|")]
    [([], 'Drawing'), (['mm', 'site'], 'Walls: as seen')]
    """
    items = []
    for part in text.split("|"):
        head, _, rest = part.partition(":")
        marks = frozenset(head.casefold().split())
        is_marked = bool(marks) and rest and marks <= MARKS.keys()
        words = (rest if is_marked else part).strip()
        if words:
            items.append((marks if is_marked else frozenset(), words))
    return items


def clause_of(book: Book, name: str, *, is_order: bool) -> str:
    """The shop's words for a term; of a work order what is true of work on a piece that is there.

    Words that the shop chose itself stand as they are.
    """
    words = str(book.setting(name)).strip()
    is_usual = words == SETTINGS[name].default.strip()
    return OF_ORDERS.get(name, words) if is_order and is_usual else words


def clauses(book: Book, *, is_order: bool = False) -> tuple[Clause, ...]:
    """The terms of an offer that the shop has words for."""
    texts = ((heading, clause_of(book, name, is_order=is_order)) for name, heading in CLAUSES)
    return tuple(Clause(heading, words) for heading, words in texts if words)


def untaxed_words(book: Book, standing: str) -> str:
    """What stands in place of a tax line where clients are asked for no tax."""
    name = "wording_improvement" if standing == IMPROVEMENT else "wording_exempt"
    return str(book.setting(name))


def maker(book: Book) -> Maker:
    """The workshop as it signs its papers."""
    return Maker(book.settings.shop, book.settings.address, book.settings.contact)

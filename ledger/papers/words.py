"""The words of papers: text made safe to print, days and money as a letter writes them."""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from datetime import date

from ledger.book import Book
from ledger.measures.custom import COMMA, MONTH_FIRST, usual_date_order
from ledger.measures.day import MONTHS
from ledger.measures.money import Currency, Money

type Words = str | bool | Sequence[Words] | Mapping[str, Words]
"""What a template is given: texts, yes or no, lists of them, or more of them by name."""

LETTER, A4 = "letter", "A4"
"""The sizes that papers are printed on."""

BOX = "☐"
"""A box to tick."""

_NEVER_PRINTED = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\ufeff\u2028\u2029\u202a-\u202e\u2066-\u2069"
    "\ufdd0-\ufdef\ufffe\uffff\ud800-\udfff\ue000-\uf8ff\U000f0000-\U0010ffff]"
)
"""Control signs but tab and newline, marks that turn the direction of a line, and what is no
letter in any font: noncharacters, halves of a pair, places for private use."""

_PLANE_ENDS = frozenset(chr(plane << 16 | end) for plane in range(1, 15) for end in (65534, 65535))
_NO_SIGN = "₪"
"""A sign of a currency that the font of the papers lacks: its code is written instead."""


def clean(text: str) -> str:
    r"""A text with every letter that can be printed, and none that would break a line or the file.

    >>> clean("oak\x07\tand\u202e ash"), clean("e\u0301") == "\u00e9"
    ('oak and ash', True)
    >>> clean("12 Mill Lane\nLarkspur")
    '12 Mill Lane\nLarkspur'
    """
    kept = _NEVER_PRINTED.sub("", text.replace("\r\n", "\n").replace("\t", " "))
    if not kept.isascii():
        kept = "".join(letter for letter in kept if letter not in _PLANE_ENDS)
    return unicodedata.normalize("NFC", kept)


_MEASURED = frozenset({"width", "height"})
"""What a template reads as the size of a drawing."""


def as_written(words: Words, currency: Currency) -> Words:
    """Words with their decimals as the book writes numbers; sizes of drawings stay as they are."""
    if currency.written != COMMA or isinstance(words, bool):
        return words
    if isinstance(words, str):
        return currency.words(words)
    if isinstance(words, Mapping):
        return {
            name: part if name in _MEASURED else as_written(part, currency)
            for name, part in words.items()
        }
    return [as_written(part, currency) for part in words]


def cut(text: str, most: int) -> str:
    """A text of at most so many letters on one line, with a sign where some were left out.

    >>> cut("Marrow fold-down bed", 12), cut("Bed", 12)
    ('Marrow fold…', 'Bed')
    """
    line = " ".join(text.split())
    return line if len(line) <= most else line[: most - 1].rstrip() + "…"


def footer(*parts: str) -> str:
    """What stands at the foot of each page; the first part, its number, is never cut.

    >>> footer("Q-2507-A", "Marrow fold-down bed", "", "Quillhaven Workshop")
    'Q-2507-A · Marrow fold-down bed · Quillhaven Workshop'
    """
    return cut(" · ".join(part for part in parts if part.strip()), 64)


def day_words(day: date, currency: Currency, units: str) -> str:
    """A day with its month in words, in the order of those who use the currency.

    >>> from ledger.measures.money import currency
    >>> day_words(date(2025, 4, 5), currency("USD"), "inch")
    'April 5, 2025'
    >>> day_words(date(2025, 4, 5), currency("EUR"), "mm")
    '5 April 2025'
    """
    month = MONTHS[day.month - 1]
    if usual_date_order(currency.code, units) == MONTH_FIRST:
        return f"{month} {day.day}, {day.year}"
    return f"{day.day} {month} {day.year}"


def amount(currency: Currency, money: Money, *, sign: bool = False) -> str:
    """An amount as it stands in a column, with a true minus; with its currency where asked.

    >>> from ledger.measures.money import currency
    >>> amount(currency("EUR"), Money(-415310)), amount(currency("EUR"), Money(5), sign=True)
    ('−4,153.10', '€0.05')
    >>> amount(currency("ILS"), Money(500), sign=True)
    'ILS 5.00'
    """
    shown = currency.show(money, symbol=sign).replace("-", "−", 1)
    return shown.replace(_NO_SIGN, f"{currency.code} ")


def paper_size(book: Book) -> str:
    """The size the shop prints on: its setting, else letter where it measures in inches."""
    return book.settings.paper or (LETTER if book.units == "inch" else A4)


def row(*cells: str, look: str = "") -> dict[str, Words]:
    """A row of a table of figures; its look is plain, `sum` or `total`."""
    return {"cells": list(cells), "look": look}

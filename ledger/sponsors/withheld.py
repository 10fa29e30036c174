"""What a paper for one party must not say of the others: names are taken out of every text on it.

The owner's own words (a title, a reason, a photo's file name) may name the client or another giver.
They are left out where they stand and shown to the owner, who may then find better words.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from ledger.book.questions.sponsors import Names

MARK = "[…]"
LONG = 5
"""Letters from which a name is sought inside of a word too, in links and file names."""

_COMMON = {
    "and", "club", "company", "county", "family", "for", "house", "library", "miss", "mrs",
    "office", "school", "shop", "store", "studio", "the", "wood", "workshop",
}  # fmt: skip
_WORD = re.compile(r"[^\W\d_]{3,}")
_NOT_PROSE = re.compile(r"\S*[./_\\]\S*")
_SPEAKS_OF_MONEY = re.compile(r"[$€£¥]\s?\d|\b\d[\d.,]*\s?(?:h|hrs?|hours?)\b", re.IGNORECASE)


@dataclass
class Withheld:
    """Cleans texts of names and remembers which texts held one, or speak of money or hours."""

    names: tuple[str, ...]
    found: list[str] = field(default_factory=list)
    doubtful: list[str] = field(default_factory=list)

    def clean(self, text: str) -> str:
        """The text without the names; a file name or link may hold one inside of a word.

        >>> Withheld(("Marrow",)).clean("The Marrow bed at photos/marrowbed-1.jpg, tomarrow")
        'The […] bed at photos/[…]bed-1.jpg, tomarrow'
        """
        cleaned = self._whole.sub(MARK, text) if self.names else text
        if self._inside is not None:
            inside = self._inside
            cleaned = _NOT_PROSE.sub(lambda part: inside.sub(MARK, part[0]), cleaned)
        if cleaned != text and text not in self.found:
            self.found.append(text)
        if _SPEAKS_OF_MONEY.search(cleaned) and text not in self.doubtful:
            self.doubtful.append(text)
        return cleaned

    @cached_property
    def _whole(self) -> re.Pattern[str]:
        any_of = "|".join(_spelled(name) for name in self.names)
        return re.compile(rf"(?<![^\W_])(?:{any_of})s?(?![^\W_])", re.IGNORECASE)

    @cached_property
    def _inside(self) -> re.Pattern[str] | None:
        any_of = "|".join(_spelled(name) for name in self.names if len(name) >= LONG)
        return re.compile(any_of, re.IGNORECASE) if any_of else None


def _spelled(name: str) -> str:
    """The name with whatever may stand between its words in a link or a file's name."""
    return re.escape(name).replace(r"\ ", r"[\W_]*")


def withheld_from(sponsor: str, shop: str, names: Names) -> Withheld:
    """What a sponsor must not read: clients in every part of their name, other companies' names.

    Words that materials, the shop or the sponsor itself are called by are no names.
    """
    known = _COMMON | _words([sponsor, shop, *names.materials])
    others = [name for name in names.companies if name.casefold() != sponsor.casefold()]
    chosen: set[str] = set()
    for person in names.people:
        chosen |= {word for word in _WORD.findall(person) if word.casefold() not in known}
    for details in names.details:
        chosen |= {piece.strip() for piece in re.split(r"[,;\n]", details)}
    for company in others:
        words = company.split()
        chosen |= {company, *(" ".join(words[:count]) for count in range(2, len(words)))}
        chosen |= {word for word in words[:1] if word.casefold() not in known and len(word) > 3}
    kept = {name.strip() for name in chosen if len(name.strip()) > 2} | set(names.people)
    kept -= {name for name in kept if name.casefold() in (sponsor.casefold(), shop.casefold())}
    return Withheld(tuple(sorted(kept, key=lambda name: (-len(name), name))))


def _words(texts: Iterable[str]) -> set[str]:
    return {word.casefold() for text in texts for word in _WORD.findall(text)}

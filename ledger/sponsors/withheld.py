"""What a paper for one party must not say of the others: names are taken out of every text on it.

The owner's own words (a title, a reason, a photo's file name) may name the client or another giver.
They are left out where they stand as words of their own, and shown to the owner, who may then find
better words. What may be a name or an ordinary word (a client called Oak), and a name inside of a
link, which is dead once a piece is missing, stays as it is: the owner is asked before it goes out.
"""

import re
from collections.abc import Collection, Iterable
from functools import cached_property

from msgspec import Struct, field

from ledger.book.questions.sponsors import WithheldNames

MARK = "[…]"
LONG = 5
"""Letters from which a name is sought inside of a word too, in links and file names."""

_COMMON = {
    "and", "club", "company", "county", "family", "for", "house", "library", "miss", "mrs",
    "office", "school", "shop", "store", "studio", "the", "wood", "workshop",
}  # fmt: skip
_ORDINARY = frozenset(
    """
    art ash august baker bank banks barn beach bed bench berry best bill birch bird bishop black
    block board boone bow box brown bush butcher carpenter case cedar chance chase cherry church
    clay cole cook cooper court cross crystal curry dale daisy dawn day dean desk drew duke
    early east elm england faith fern field finch fisher flint flower ford forest fox frank free
    french frost gale gardner gene glass gold good grace grant gray green grey grove hall hand
    hardy hart hazel heath hill hills holly home hope hunt hunter iris iron ivy jack jade jean
    joiner joy june king kitchen knight lake lamb lance lane lily little long love low major
    maple mark marsh martin mason may meadow miles mill miller minor moon moss new noble north
    oak olive opal page park parker patience pearl perry pine plain pool poole pope porter
    potter price prince quick ray read reed rice rich rob robin rock rose round ruby rush sage
    sawyer sharp shelf shelves short silver small smith snow south sparks spring star steel
    stone storm strong stringer summer sunny swift taylor teal thorn tour towers trim turner
    vale violet wade walker wall waters way webb weaver wells west wheeler white will willow
    winter wise wolf woods wright yard young
    """.split()  # noqa: SIM905 -- so many words are read best as a text
)
"""Words that are names as well: colors, months, woods, trades, places (own list)."""

_WORD = re.compile(r"[^\W\d_]{3,}")
_LINK = re.compile(r"(\b\w+://\S+|\bwww\.\S+|\b[\w-]+(?:\.[\w-]+)*\.[a-z]{2,}/\S*)", re.IGNORECASE)
_FILE_NAME = re.compile(r"(\S*[_\\]\S*|\S+\.\w{2,7}\b)")
_SPEAKS_OF_MONEY = re.compile(r"[$€£¥]\s?\d|\b\d[\d.,]*\s?(?:h|hrs?|hours?)\b", re.IGNORECASE)


class Doubt(Struct, frozen=True):
    """A word that may be a name: in which text, and where that stands in the paper."""

    word: str
    text: str
    where: str

    def __str__(self) -> str:
        return f"“{self.text}” ({self.where}): “{self.word}” may be a name."


class Withheld(Struct, dict=True):
    """Cleans texts of names and remembers which texts held one, or speak of money or hours.

    `names` go however they are written; `surnames` where they are written large; `maybe` are
    words that may be names, except in `phrases`, which are known texts.
    """

    names: tuple[str, ...]
    surnames: tuple[str, ...] = ()
    maybe: tuple[str, ...] = ()
    phrases: tuple[str, ...] = ()
    texts_with_names: list[str] = field(default_factory=list)
    doubtful: list[str] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)

    def clean(self, text: str, where: str = "") -> str:
        """The text without the names; a file name may hold one inside of a word.

        >>> Withheld(("Marrow",)).clean("The Marrow bed at photos/marrowbed-1.jpg, tomarrow")
        'The […] bed at photos/[…]bed-1.jpg, tomarrow'
        """
        pieces = []
        for number, piece in enumerate(_LINK.split(text)):
            if number % 2:
                self._doubt(piece, text, where, self._written, self._inside, self._maybe_anywhere)
                pieces.append(piece)
            else:
                pieces.append(self._clean_words(piece, text, where))
        cleaned = "".join(pieces)
        if cleaned != text and text not in self.texts_with_names:
            self.texts_with_names.append(text)
        if _SPEAKS_OF_MONEY.search(cleaned) and text not in self.doubtful:
            self.doubtful.append(text)
        return cleaned

    def _clean_words(self, piece: str, text: str, where: str) -> str:
        """A piece of a text that is no link."""
        piece = self._always.sub(MARK, piece) if self._always else piece
        parts = _FILE_NAME.split(piece)
        for number, part in enumerate(parts):
            if number % 2:
                parts[number] = self._clean_file_name(part)
                self._doubt(parts[number], text, where, self._maybe_anywhere)
            else:
                parts[number] = self._large.sub(MARK, part) if self._large else part
                plain = self._known.sub(" ", parts[number]) if self._known else parts[number]
                self._doubt(plain, text, where, self._written, self._maybe)
        return "".join(parts)

    def _clean_file_name(self, part: str) -> str:
        for sought in (self._written, self._inside):
            part = sought.sub(MARK, part) if sought else part
        return part

    def _doubt(self, part: str, text: str, where: str, *sought: re.Pattern[str] | None) -> None:
        for pattern in sought:
            if pattern and (match := pattern.search(part)):
                doubt = Doubt(match[0], text, where)
                if doubt not in self.doubts:
                    self.doubts.append(doubt)
                return

    @cached_property
    def _always(self) -> re.Pattern[str] | None:
        return _as_words(self.names, re.IGNORECASE)

    @cached_property
    def _large(self) -> re.Pattern[str] | None:
        return _as_words(_as_written(self.surnames))

    @cached_property
    def _written(self) -> re.Pattern[str] | None:
        return _as_words((*self.names, *self.surnames), re.IGNORECASE)

    @cached_property
    def _maybe(self) -> re.Pattern[str] | None:
        return _as_words(_as_written(self.maybe))

    @cached_property
    def _maybe_anywhere(self) -> re.Pattern[str] | None:
        words = [word for word in self.maybe if word.casefold() not in _ORDINARY]
        return _anywhere(words)

    @cached_property
    def _known(self) -> re.Pattern[str] | None:
        return _as_words(sorted(self.phrases, key=len, reverse=True), re.IGNORECASE)

    @cached_property
    def _inside(self) -> re.Pattern[str] | None:
        return _anywhere((*self.names, *self.surnames))


def _as_written(names: Iterable[str]) -> list[str]:
    """The names as they are and in capitals."""
    return [spelling for name in names for spelling in (name, name.upper())]


def _anywhere(names: Iterable[str]) -> re.Pattern[str] | None:
    """Long names wherever they stand, inside of words too."""
    any_of = "|".join(_spelled(name) for name in names if len(name) >= LONG)
    return re.compile(any_of, re.IGNORECASE) if any_of else None


def _as_words(names: Iterable[str], flags: int = 0) -> re.Pattern[str] | None:
    """Any of the names as words of their own, also in the plural."""
    any_of = "|".join(map(_spelled, names))
    return re.compile(rf"(?<![^\W_])(?:{any_of})[sS]?(?![^\W_])", flags) if any_of else None


def _spelled(name: str) -> str:
    """The name with whatever may stand between its words in a link or a file's name."""
    return re.escape(name).replace(r"\ ", r"[\W_]*")


def withheld_from(
    sponsor: str, shop: str, names: WithheldNames, shown: Collection[str] | None = None
) -> Withheld:
    """What a sponsor must not read: clients by their name, and other companies' names.

    `shown` are the names and addresses of the clients whose builds the paper shows (None: of
    all). Single words of their names are left out; those of other clients, and those that are
    ordinary words or words of materials, may be names. Whole names and addresses always are.
    """
    own = _words([sponsor, shop]) | _COMMON
    ordinary = _ORDINARY | _words(names.materials)
    always = _companies(sponsor, names, ordinary | own)
    surnames, maybe = set[str](), set[str]()
    for person in names.people:
        is_shown = shown is None or person in shown
        if not person.isalpha():
            always.add(person)
        for word in _WORD.findall(person) or [person]:
            if word.casefold() not in own:
                (surnames if is_shown and word.casefold() not in ordinary else maybe).add(word)
    for details in names.details:
        is_shown = shown is None or details in shown
        for piece in (piece.strip() for piece in re.split(r"[,;\n]", details)):
            if not piece.isalpha() and len(piece) > 2:
                always.add(piece)
            elif is_shown and piece:
                (maybe if piece.casefold() in ordinary or len(piece) < 3 else surnames).add(piece)
    always -= {name for name in always if name.casefold() in (sponsor.casefold(), shop.casefold())}
    return Withheld(
        names=tuple(sorted(always, key=lambda name: (-len(name), name))),
        surnames=tuple(sorted(surnames, key=lambda name: (-len(name), name))),
        maybe=tuple(sorted(maybe - surnames)),
        phrases=(sponsor, shop, *names.materials),
    )


def _companies(sponsor: str, names: WithheldNames, known: Collection[str]) -> set[str]:
    """The names of other companies, also as they are called for short."""
    chosen: set[str] = set()
    for company in names.companies:
        if company.casefold() != sponsor.casefold():
            words = company.split()
            chosen |= {company, *(" ".join(words[:count]) for count in range(2, len(words)))}
            chosen |= {word for word in words[:1] if word.casefold() not in known and len(word) > 3}
    return chosen


def _words(texts: Iterable[str]) -> set[str]:
    return {word.casefold() for text in texts for word in _WORD.findall(text)}

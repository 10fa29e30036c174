"""What an account on paper is built of: headings, tables, sentences, figures and pictures.

The template `account.typ` lays blocks out one after another. A column of a table is its head, with
a mark before it: `>` for figures at its right edge, `|` where it is as wide as its longest word,
`_` for room to write in. Columns without a mark share what is left of the page.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from msgspec import Struct, field

from ledger.measures.money import Currency, Money
from ledger.measures.spoken import without_commands
from ledger.papers.engine import Paper
from ledger.papers.quote import maker_lines
from ledger.papers.words import Words, amount, as_written, footer, row
from ledger.quotes.offer import Maker

_KINDS = {">": "figure", "|": "short", "_": "room"}
"""What the marks before a head mean to the template; without one a column is of text."""

INSIDE = "For the shop alone: not for clients or sponsors."


class Account(Struct, frozen=True):
    """An account before it is laid out; `number` stands beside its kind in the letterhead.

    `big` are the few figures that a reader in a hurry takes along, each with its words; `box` is
    a sentence of its own with the words above it. A dense one has less room between its rows.
    """

    kind: str
    number: str
    title: str
    day: date
    maker: Maker
    currency: Currency
    foot: str
    blocks: Sequence[Words]
    above: str = ""
    below: str = ""
    box: tuple[str, str] = ("", "")
    big: Sequence[tuple[str, str]] = ()
    drawings: Mapping[str, str] = field(default_factory=dict)
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    is_dense: bool = False

    def paper(self, size: str) -> Paper:
        """The account as a paper of the shop."""

        def written(words: Words) -> Words:
            return as_written(words, self.currency)

        name = f"{self.kind} {self.number}".strip()
        return Paper(
            template="account",
            title=f"{name}: {self.title}",
            author=self.maker.name,
            day=self.day,
            size=size,
            footer=footer(self.number or self.kind, self.foot, self.maker.name),
            texts={
                "shop": self.maker.name,
                "ways": maker_lines(self.maker),
                "kind": self.kind,
                "number": self.number,
                "title": self.title,
                "above": written(self.above),
                "below": written(self.below),
                "box_name": self.box[0],
                "box": self.box[1],
                "big": written(list(self.big)),
                "dense": self.is_dense,
                "blocks": written(list(self.blocks)),
            },
            drawings=self.drawings,
            pictures=self.pictures,
        )


def heading(words: str) -> Words:
    """A heading, which stays with the block that follows."""
    return {"kind": "heading", "words": words}


def table(
    columns: Sequence[str], rows: Iterable[Words], *, none: str = "none", is_tall: bool = False
) -> Words:
    """A table whose heads repeat on each page; without rows it says so in a word.

    A tall one has rows to write in.
    """
    listed = list(rows) or [row(none, *("" for _ in columns[1:]))]
    return {
        "kind": "table",
        "heads": [head[1:] if head[:1] in _KINDS else head for head in columns],
        "columns": [_KINDS.get(head[:1], "text") for head in columns],
        "rows": listed,
        "tall": is_tall,
    }


def sentences(words: Iterable[str]) -> list[Words]:
    """Sentences below one another; no block where there are none."""
    given = [without_commands(sentence) for sentence in words if sentence]
    return [{"kind": "sentences", "words": given}] if given else []


def notes(words: Iterable[str]) -> list[Words]:
    """A bulleted list of sentences in small type; no block where there are none."""
    given = [without_commands(sentence) for sentence in words if sentence]
    return [{"kind": "notes", "words": given}] if given else []


def pairs(rows: Iterable[tuple[str, str]]) -> list[Words]:
    """Labels with words beside them; no block where there are none."""
    kept = [pair for pair in rows if pair[1]]
    return [{"kind": "pairs", "rows": kept}] if kept else []


def together(*columns: Sequence[Words], begins_section: bool = False) -> Words:
    """Blocks that stay on one page, in columns beside one another where there are several."""
    listed = [list(blocks) for blocks in columns]
    return {"kind": "together", "columns": listed, "section": begins_section}


def picture(name: str, alt: str, caption: str = "") -> Words:
    """A drawing of the paper as wide as the page, with words for who cannot see it."""
    return {"kind": "picture", "name": name, "alt": alt, "caption": caption}


def photograph(name: str, alt: str, caption: str) -> Words:
    """A picture of the paper at a height that lets several stand on a page."""
    return {"kind": "photograph", "name": name, "alt": alt, "caption": caption}


def moneys(currency: Currency, *amounts: Money | None, sign: bool = False) -> list[str]:
    """Amounts as they stand in columns; a dash where there is none."""
    return ["–" if money is None else amount(currency, money, sign=sign) for money in amounts]

"""What a shell offers when one presses Tab: names out of the book, as they may be typed.

Each function is the `autocompletion` of an argument. They only read, say nothing and never fail;
where there is no book there are no names. Upper and lower case are as one typed them, for a name
is found in either. Names that a shell could misread (quotes, brackets …) are not offered; spaces
stand only in names of suppliers, which have to be written out.
"""

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from ledger.cli import opened

if TYPE_CHECKING:
    from ledger.book.names import Known

type Offers = list[tuple[str, str]]

_HARMLESS = re.compile(r"[\w./+-]+", re.ASCII)
_SPACED = re.compile(r"[\w./+-]+( [\w./+-]+)*", re.ASCII)
_WORD = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{2,}")
_SHOWN = re.compile(r"[^\w .,/+-]+", re.ASCII)


def job(ctx: typer.Context, incomplete: str) -> Offers:
    """Numbers of jobs, and words of titles that mean one job only."""
    return _named(ctx, "job", incomplete, by_title=True)


def material(ctx: typer.Context, incomplete: str) -> Offers:
    """Codes of materials."""
    return _named(ctx, "material", incomplete)


def operation(ctx: typer.Context, incomplete: str) -> Offers:
    """Operations: one word of the bench for each; once a letter is typed, all words and codes."""
    offered = []
    for row in _known(ctx, "operation"):
        words = [word.strip() for word in row.also.split(",") if word.strip()] + [row.name]
        offered += [(word, row.words) for word in (words if incomplete else words[:1])]
    return _fitting(offered, incomplete)


def quote(ctx: typer.Context, incomplete: str) -> Offers:
    """Numbers of quotes, and the jobs by which a quote is found too."""
    return _named(ctx, "quote", incomplete) + job(ctx, incomplete)


def design(ctx: typer.Context, incomplete: str) -> Offers:
    """Names of designs."""
    return _named(ctx, "design", incomplete)


def kit(ctx: typer.Context, incomplete: str) -> Offers:
    """Numbers of kits, and words of names that mean one kit only."""
    return _named(ctx, "kit", incomplete, by_title=True)


def receipt(ctx: typer.Context, incomplete: str) -> Offers:
    """Numbers of receipts that were not taken back."""
    return _named(ctx, "receipt", incomplete)


def sponsor(ctx: typer.Context, incomplete: str) -> Offers:
    """Words of sponsors' names that mean one of them only; one for each until a letter is typed."""
    offered = _title_words(_known(ctx, "sponsor"))
    if not incomplete:
        first: dict[str, str] = {}
        for word, name in offered:
            first.setdefault(name, word)
        offered = [(word, name) for name, word in first.items()]
    return _fitting(offered, incomplete)


def supplier(ctx: typer.Context, incomplete: str) -> Offers:
    """Names of suppliers, written out: a part of one would be taken for a new supplier."""
    in_bash = "bash" in os.environ.get("_BENCHLEDGER_COMPLETE", "")
    offered = []
    for row in _known(ctx, "supplier"):
        whole = incomplete + row.name[len(incomplete) :]
        if _SPACED.fullmatch(row.name) and row.name.lower().startswith(incomplete.lower()):
            offered.append((whole.replace(" ", r"\ ") if in_bash else whole, row.name))
    return offered


def place(ctx: typer.Context, incomplete: str) -> Offers:
    """Where goods go: a job, stock, or the shop."""
    shop = [("stock", "on hand for any job"), ("shop", "used up by the shop itself")]
    return job(ctx, incomplete) + _fitting(shop, incomplete)


def setting(incomplete: str) -> Offers:
    """Names of the shop's settings."""
    from ledger.book.settings import SETTINGS

    return _fitting([(s.name, s.words) for s in SETTINGS.values()], incomplete)


def new_setting(incomplete: str) -> Offers:
    """Names of the shop's settings with the mark after which the value stands."""
    return [(f"{name}=", words) for name, words in setting(incomplete)]


def job_operation(ctx: typer.Context, incomplete: str) -> Offers:
    """`[JOB] OPERATION`: jobs and operations first, then operations."""
    place = _place(ctx)
    offered = job(ctx, incomplete) if place == 0 else []
    return offered + operation(ctx, incomplete) if place < 2 else []


def job_material(ctx: typer.Context, incomplete: str) -> Offers:
    """`JOB CODE QTY CODE QTY`: a job, then a material where no quantity comes."""
    place = _place(ctx)
    if place == 0:
        return job(ctx, incomplete)
    return material(ctx, incomplete) if place % 2 else []


def material_quantity(ctx: typer.Context, incomplete: str) -> Offers:
    """`CODE QTY`: a material first."""
    return [] if _place(ctx) else material(ctx, incomplete)


def _place(ctx: typer.Context) -> int:
    """How many words stand before the one under the cursor, in an argument of several words."""
    return len(ctx.params.get("words") or ())


def _named(ctx: typer.Context, what: str, incomplete: str, *, by_title: bool = False) -> Offers:
    """Names of what is known; once a letter is typed, words of titles too where these will do."""
    known = _known(ctx, what)
    titles = _title_words(known) if by_title and incomplete else []
    return _fitting([(row.name, row.words) for row in known] + titles, incomplete)


def _known(ctx: typer.Context, what: str) -> "list[Known]":
    from ledger.book.names import known_names

    book_option = ctx.find_root().params.get("book")
    return known_names(Path(book_option) if book_option else opened.book_path(), what)


def _title_words(known: "Iterable[Known]") -> Offers:
    """The words of titles that stand in one title only."""
    where: dict[str, list[str]] = {}
    for row in known:
        for word in dict.fromkeys(_WORD.findall(row.words.lower())):
            label = row.words if row.words == row.name else f"{row.name} {row.words}"
            where.setdefault(word, []).append(label)
    return [(word, titles[0]) for word, titles in where.items() if len(titles) == 1]


def _fitting(offered: Iterable[tuple[str, str]], incomplete: str) -> Offers:
    """What goes on from what was typed, in the case it was typed in."""
    begun, matches = incomplete.lower(), dict[str, str]()
    for name, words in offered:
        if _HARMLESS.fullmatch(name) and name.lower().startswith(begun):
            whole = incomplete + name[len(incomplete) :]
            whole = whole.lower() if incomplete.islower() else whole
            whole = whole.upper() if incomplete.isupper() else whole
            matches.setdefault(whole, _SHOWN.sub(" ", words))
    return list(matches.items())

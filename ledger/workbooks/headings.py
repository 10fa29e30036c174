"""What a heading means: the words for each column, the unit written beside them, likely columns.

A column is known by its own name, by the other words its table gives it, and by the words that
mean it in any table (`WORDS`). A heading may carry a unit (`Length (mm)`), a price its currency
and what it is the price of (`Price €/m²`, `Cost per sheet`). Pure: nothing is read or asked here.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from difflib import SequenceMatcher

from msgspec import Struct

from ledger.errors import LONGEST_SOUGHT
from ledger.measures.money import DIGITS, SIGNS
from ledger.measures.units import kind, unit_or_none

LEAVE_OUT = "-"
"""What is said of a heading whose column is not read."""

WORDS: Mapping[str, tuple[str, ...]] = {
    "id": ("mark", "no", "no.", "nr", "part no", "part number", "part id", "pos", "position",
           "label", "tag"),
    "code": ("id", "sku", "item no", "item number", "item code", "article", "article no",
             "art no", "product code", "part no", "part number", "stock no", "material code",
             "order no", "catalog no", "reference", "ref"),
    "name": ("part", "part name", "description", "designation", "component", "component name",
             "piece", "item", "item description", "product", "product name", "article name",
             "what it is", "title"),
    "quantity": ("qty", "count", "pieces", "pcs", "pc", "no.", "no", "nos", "number", "number of",
                 "no of pieces", "number of pieces", "how many", "copies", "quan", "quant", "q",
                 "each", "total qty", "total quantity", "instances"),
    "length": ("l", "long", "len", "lgth", "finished length", "cut length", "final length",
               "sheet length", "panel length", "board length", "length along grain", "dim l"),
    "width": ("w", "wide", "wid", "wdth", "breadth", "finished width", "cut width",
              "final width", "sheet width", "panel width", "board width", "dim w"),
    "thickness": ("t", "thick", "th", "thk", "thkns", "gauge", "caliper", "panel thickness",
                  "material thickness", "finished thickness", "board thickness",
                  "measured thickness", "actual thickness", "nominal thickness", "dim t"),
    "size": ("dimensions", "dimension", "dims", "dim", "sizes", "sheet size", "panel size",
             "format", "l x w", "l x w x t", "length x width", "length x width x thickness"),
    "material": ("material code", "material name", "mat", "stock", "sheet material", "wood",
                 "species", "board", "panel", "made of", "material type"),
    "grain": ("grain direction", "grain dir", "direction of grain", "figure"),
    "price": ("price each", "each price", "unit price", "unit cost", "cost", "cost each", "rate",
              "net price", "list price", "your price", "our price", "trade price", "price net",
              "price ea", "$ each", "$", "€", "£"),
    "unit": ("uom", "u/m", "um", "unit of measure", "sold by", "sold per", "sell unit", "per",
             "price unit", "priced by", "units"),
    "supplier": ("vendor", "dealer", "from", "bought from", "seller", "yard", "store"),
    "day": ("date", "on", "dated"),
    "done": ("day", "date", "finished", "completed", "delivered"),
    "kind": ("category", "type", "group", "class", "product group"),
    "pack": ("pack size", "pack qty", "per pack", "pack of", "package", "pkg", "box of"),
    "note": ("notes", "remark", "remarks", "comment", "comments"),
    "banded": ("edges", "banding", "edge band", "edge banding", "edgebanding", "edged"),
    "edging": ("edge material", "edge tape", "tape"),
    "hours": ("time", "hrs", "hr", "h", "duration", "actual hours", "actual h"),
    "document": ("invoice", "invoice no", "document number", "document no", "bill no"),
    "total": ("invoice total", "document total", "grand total"),
    "tax_paid": ("tax paid", "vat", "sales tax", "tax amount"),
    "net": ("amount", "line total", "net amount", "extended", "ext price", "extension"),
    "discount": ("disc", "rebate", "less"),
    "value": ("default", "setting value"),
}  # fmt: skip
"""The words that mean a column in any table that has it, besides its name."""

_ALIKE = {"qty": "quantity", "unit_price": "price", "unit_cost": "price", "price_day": "day",
          "part": "name", "item": "name", "counted": "quantity", "driver": "quantity"}  # fmt: skip
"""Columns that go by the words of another one."""

SIZES = ("length", "width", "thickness", "oversize", "size")
"""Columns whose bare numbers are in the unit of their heading."""

_LENGTHS = ("in", "ft", "mm", "cm", "m")
_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_PER = re.compile(r"(?:/|\bper\b)\s*(?P<unit>[^/()\[\]]+)$")
_SPLIT = re.compile(r"[\s,_:;/]+")
_LETTERS = re.compile(r"[\W_]+")


class Column(Struct, frozen=True):
    """A column by its name, other headings that mean it, and whether a table must have it."""

    name: str
    others: tuple[str, ...] = ()
    must: bool = False


def columns_of(text: str) -> tuple[Column, ...]:
    """Columns by name, a `*` behind one that a table must have, other headings behind `=`.

    >>> columns_of("id; length* = l, long")[1]
    Column(name='length', others=('l', 'long'), must=True)
    """
    parted = (entry.partition(" = ") for entry in text.split("; "))
    return tuple(
        Column(name.rstrip("*"), tuple(others.split(", ")) if others else (), name.endswith("*"))
        for name, _, others in parted
    )


class Heading(Struct, frozen=True):
    """A heading taken apart: its words, the unit of its figures, and its currency."""

    words: str
    unit: str = ""
    currency: str = ""


class Matched(Struct, frozen=True):
    """Which column each heading means by its place, and the places that stay open.

    `twice` are places whose column another heading has, though the table's own words mean it.
    """

    columns: Mapping[int, str]
    open: frozenset[int]
    twice: Mapping[int, str]


def fold(text: str) -> str:
    """A heading without what people write differently.

    >>> fold("Faces fin."), fold("unit_price"), fold("Length (in)")
    ('facesfin', 'unitprice', 'length')
    """
    return _LETTERS.sub("", _BRACKETS.sub("", text.casefold()))


def take_apart(text: str) -> Heading:
    """Part a heading into words, unit and currency.

    >>> take_apart("Length (mm)"), take_apart("W in inches"), take_apart("Price €/m²")
    (Heading(words='length', unit='mm', currency=''), Heading(words='w', unit='in', currency=''), \
Heading(words='price', unit='m²', currency='EUR'))
    >>> take_apart("Cost per sheet (USD)"), take_apart("Board feet"), take_apart("Price/pc")
    (Heading(words='cost', unit='sheet', currency='USD'), \
Heading(words='board feet', unit='', currency=''), Heading(words='price', unit='each', currency=''))
    """
    plain = " ".join(text[:LONGEST_SOUGHT].casefold().split())
    inside = " ".join(_BRACKETS.findall(plain))
    plain, money = _without_currency(_BRACKETS.sub(" ", plain).strip())
    inside, within = _without_currency(inside)
    unit = unit_or_none(inside.removeprefix("per ").removeprefix("/").removeprefix("in ").strip())
    if per := _PER.search(plain):
        if named := unit_or_none(per["unit"].strip()):
            plain, unit = plain[: per.start()].strip(), named
    else:
        words = plain.split() if " " in plain else _SPLIT.split(plain)
        if len(words) > 1 and not unit and (last := unit_or_none(words[-1])) in _LENGTHS:
            left = words[:-2] if words[-2] == "in" and len(words) > 2 else words[:-1]
            if fold(" ".join(left)) in _SIZE_WORDS:
                plain, unit = " ".join(left).rstrip(" ,"), last
    return Heading(plain.strip(" ,:"), unit, money or within)


def _without_currency(text: str) -> tuple[str, str]:
    """A text without a currency's sign or code, and the code."""
    for code, sign in SIGNS.items():
        if sign in text:
            return text.replace(sign, " ").strip(), code
    for word in text.split():
        if word.upper() in DIGITS and word.isalpha():
            return " ".join(text.replace(word, " ").split()), word.upper()
    return text, ""


def _words(column: Column) -> tuple[str, ...]:
    """The words of any table that mean a column."""
    alike = _ALIKE.get(column.name)
    return (*WORDS.get(column.name, ()), *((alike, *WORDS[alike]) if alike else ()))


_SIZE_WORDS = {fold(word) for name in SIZES for word in (name, *WORDS.get(name, ()))}


def match(
    headings: Sequence[str], columns: Sequence[Column], named: Mapping[str, str] | None = None
) -> Matched:
    """Say which column each heading means; `named` are columns of headings that were said before.

    A column's own name comes first, then its table's other words for it, then the words of any
    table; where a word may mean several, a column that no other heading has, and first one that
    the table must have.

    >>> columns = (Column("id"), Column("quantity", must=True), Column("length", must=True))
    >>> match(["No.", "Long (mm)"], columns).columns
    {0: 'quantity', 1: 'length'}
    >>> match(["No.", "Qty", "L"], columns).columns
    {0: 'id', 1: 'quantity', 2: 'length'}
    >>> match(["Stk", "L", "Brand"], columns, {"stk": "qty", "brand": "-"}).columns
    {0: 'quantity', 1: 'length', 2: '-'}
    """
    standings = list(_standings(columns))
    named_columns = {_folded(heading): name for heading, name in (named or {}).items()}
    plain = [_folded(heading) for heading in headings]
    matches: dict[int, str] = {}
    twice: dict[int, str] = {}
    for index, word in enumerate(plain):
        if word in named_columns and (name := _column_named(named_columns[word], standings)):
            matches[index] = name
    for words, is_common in standings:
        reached: set[str] = set()
        taken = set(matches.values())
        choices = {
            index: _meant(heading, words)
            for index, heading in enumerate(headings)
            if index not in matches and index not in twice
        }
        for index in sorted(choices, key=lambda place: (len(choices[place]), place)):
            meant = sorted(choices[index], key=lambda column: not column.must)
            free = [one for one in meant if one.name not in taken and one.name not in reached]
            if free:
                matches[index] = free[0].name
                reached.add(free[0].name)
            elif meant and not is_common:
                twice[index] = meant[0].name
    open_ = (n for n, word in enumerate(plain) if word and n not in matches and n not in twice)
    return Matched(dict(sorted(matches.items())), frozenset(open_), twice)


def _folded(text: str) -> str:
    return fold(text) or text.strip()


def _column_named(text: str, standings: Iterable[tuple[dict[str, list[Column]], bool]]) -> str:
    """The column of a table that somebody names; empty where the table has none of that name."""
    if text.strip() == LEAVE_OUT:
        return LEAVE_OUT
    return next(
        (words[_folded(text)][0].name for words, _ in standings if _folded(text) in words), ""
    )


def _standings(columns: Sequence[Column]) -> Iterable[tuple[dict[str, list[Column]], bool]]:
    """The columns by each word: by their names, their table's words, and last the common words."""
    for words_of in (lambda c: (c.name,), lambda c: c.others, _words):
        words: dict[str, list[Column]] = {}
        for column in columns:
            for word in words_of(column):
                known = words.setdefault(_folded(word), [])
                if column not in known:
                    known.append(column)
        yield words, words_of is _words


def _meant(heading: str, words: Mapping[str, list[Column]]) -> list[Column]:
    """The columns that a heading may mean, as it stands or without its unit and currency."""
    return words.get(_folded(heading)) or words.get(fold(take_apart(heading).words)) or []


def likely(heading: str, columns: Sequence[Column], free: Sequence[str]) -> tuple[str, ...]:
    """At most three columns that a heading may be meant for, the likeliest first.

    >>> columns = (Column("quantity"), Column("length"), Column("width"))
    >>> likely("lenght", columns, ["length", "width"])
    ('length',)
    >>> likely("Stk", columns, ["quantity", "length"])
    ()
    """
    sought = fold(take_apart(heading).words)[:LONGEST_SOUGHT]
    scores: dict[str, float] = {}
    for column in columns:
        if column.name in free:
            known = {fold(word) for word in (column.name, *column.others, *_words(column))}
            ratios = [SequenceMatcher(None, sought, word).ratio() for word in known if word]
            scores[column.name] = max(ratios, default=0.0)
    near = sorted((name for name in scores if scores[name] >= _NEAR), key=lambda n: -scores[n])
    return tuple(near[:3])


_NEAR = 0.65
"""How alike two words are that may be one mistyped; common practice, no source."""


def unit_of_sizes(column: str, heading: str) -> str:
    """The unit of length that bare numbers below a heading have, empty where it says none.

    >>> unit_of_sizes("length", "L (in)"), unit_of_sizes("name", "Name (in)")
    ('in', '')
    """
    if column not in SIZES:
        return ""
    unit = take_apart(heading).unit
    return unit if unit and kind(unit) == "length" and unit in _LENGTHS else ""

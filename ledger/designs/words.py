"""The material words of a starter design, filled in with codes of a book's own price list.

A starter names `ply` or `hinge`, never a code. `words.csv` says which kind of material answers to a
word, how thick it is, and which words its name has or has not. Of several whose names have such
words the shop's own goes before one at a starting price, then the one with most of the words, then
the first of the price list; what else would fit is told. Pure.
"""

import csv
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources

from msgspec import Struct

from ledger.designs.cells import is_plain
from ledger.designs.expanding import with_materials
from ledger.designs.model import Design, PlanLine
from ledger.measures.length import Length, parse_length, show_length
from ledger.measures.values import replace


class MaterialWord(Struct, frozen=True):
    """What answers to a word: kinds, thickness, words that a name has or must not have.

    `must` says that a name has at least one of the words; elsewhere they only make it nearer.
    What is `own` is the shop's, and no buyer of a plan needs it. `by_pair` is what a starter counts
    in pairs; all else it counts one by one, and what is sold by the pair would be charged twice.
    """

    word: str
    kinds: tuple[str, ...]
    thinnest: Length | None
    thickest: Length | None
    words: tuple[str, ...]
    without: tuple[str, ...]
    must: bool
    own: bool
    by_pair: bool


class OfferedMaterial(Struct, frozen=True):
    """A line of a price list, as far as a word asks for it; not `is_own` at a starting price."""

    code: str
    name: str
    kind: str
    thickness: Length | None
    is_own: bool = True
    unit: str = ""


class ChosenMaterial(Struct, frozen=True):
    """What was taken for a word, and the codes that would fit as well."""

    word: str
    material: OfferedMaterial
    others: tuple[str, ...]


@cache
def material_words() -> dict[str, MaterialWord]:
    """All words that starter designs use."""
    page = (resources.files("ledger.designs") / "words.csv").read_text(encoding="utf-8")
    return {row["word"]: _word(row) for row in csv.DictReader(page.splitlines())}


@cache
def woods() -> frozenset[str]:
    """The kinds of wood that lumber is asked for by."""
    rows = material_words().values()
    return frozenset(word for row in rows if "lumber" in row.kinds for word in row.words)


def _word(row: Mapping[str, str]) -> MaterialWord:
    thinnest, thickest = (
        parse_length(row[name], None) if row[name] else None for name in ("thinnest", "thickest")
    )
    return MaterialWord(
        word=row["word"],
        kinds=tuple(row["kinds"].split()),
        thinnest=thinnest,
        thickest=thickest,
        words=tuple(row["words"].split("|")) if row["words"] else (),
        without=tuple(row["without"].split("|")) if row["without"] else (),
        must=row["must"] == "yes",
        own=row["own"] == "yes",
        by_pair=row["by pair"] == "yes",
    )


def choose(
    words: Iterable[str], offered: Iterable[OfferedMaterial], wish: str = ""
) -> tuple[list[ChosenMaterial], list[str]]:
    """The material for each word, and the words for which the price list has none.

    `wish` are words of the piece, such as “oak bookcase”: a material that has one of them in its
    name comes first.
    """
    known, price_list = material_words(), list(offered)
    wishes = set(wish.casefold().split())
    chosen, missing = [], []
    for word in sorted(words):
        wanted = known[word]
        fitting = [one for one in price_list if _fits(one, wanted)]
        if not fitting:
            missing.append(word)
            continue
        best = max(fitting, key=lambda one: _nearness(one, wanted, wishes))
        others = tuple(one.code for one in fitting if one != best)
        chosen.append(ChosenMaterial(word, best, others))
    return chosen, missing


def is_counted_alike(word: str, unit: str) -> bool:
    """Whether a material of that stock unit is counted as starters count the word."""
    return unit != "pair" or material_words()[word].by_pair


def _fits(one: OfferedMaterial, wanted: MaterialWord) -> bool:
    name = one.name.casefold()
    if not is_counted_alike(wanted.word, one.unit):
        return False
    if one.kind not in wanted.kinds or any(word in name for word in wanted.without):
        return False
    if wanted.must and not any(word in name for word in wanted.words):
        return False
    if wanted.thinnest is None or wanted.thickest is None:
        return True
    return one.thickness is not None and wanted.thinnest <= one.thickness <= wanted.thickest


def _nearness(
    one: OfferedMaterial, wanted: MaterialWord, wishes: set[str]
) -> tuple[int, bool, bool, int]:
    name = one.name.casefold()
    words = sum(word in name for word in wanted.words)
    return (len(wishes & set(name.split())), words > 0, one.is_own, words)


def _exact(length: Length, units: str) -> str:
    """A length so that it reads back the same: as a tape shows it, else in millimeters."""
    shown = show_length(length, units, suffix=True)
    return shown if parse_length(shown.strip("~"), None) == length else f"{length.mm:f} mm"


def made_own(design: Design, chosen: Iterable[ChosenMaterial]) -> Design:
    """A starter design with the codes and the thickness of the materials that were chosen.

    The parameter of a word's thickness is named after it: `thin_ply_t` is that of `thin ply`. A
    plan to sell leaves out what is the shop's own.
    """
    chosen = list(chosen)
    codes = {one.word: one.material.code for one in chosen}
    thickness = {
        f"{one.word.replace(' ', '_')}_t": _exact(one.material.thickness, design.units)
        for one in chosen
        if one.material.kind == "sheet" and one.material.thickness is not None
    }
    parameters = tuple(
        replace(row, value=thickness[row.name])
        if row.name in thickness and is_plain(row.value)
        else row
        for row in design.parameters
    )
    own = tuple(
        PlanLine("leave out", code) for word, code in codes.items() if material_words()[word].own
    )
    plan = (*design.plan, *own)
    return replace(with_materials(design, codes), parameters=parameters, plan=plan)

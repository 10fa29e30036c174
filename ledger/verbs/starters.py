"""Starter designs made the shop's own, opened as jobs, and priced roughly before any past job."""

from collections.abc import Mapping

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.costing.assumptions import not_painted, other_wood
from ledger.costing.lumber import board_faults
from ledger.costing.sheet import CostSheet
from ledger.costing.spread import PriceRange
from ledger.costing.taken import board_parts
from ledger.designs.build import build
from ledger.designs.kinds import PlacedSizes, place_sizes
from ledger.designs.model import Design
from ledger.designs.store import save_design
from ledger.designs.words import (
    ChosenMaterial,
    OfferedMaterial,
    choose,
    is_counted_alike,
    made_own,
)
from ledger.errors import BadValue, BookTrouble, NotAllowed, NotFound
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.price_rules import unpaid_helper
from ledger.jobs.pricing import price_job, range_of
from ledger.jobs.shop_floor import wood_of
from ledger.measures.length import Length, show_length
from ledger.measures.lumber import OVER_LENGTH_NM
from ledger.measures.money import Money
from ledger.measures.sizes import SpokenSizes, read_sizes
from ledger.measures.spoken import with_article
from ledger.measures.units import kind
from ledger.measures.values import replace
from ledger.stock.materials import find_material, materials, post_longer, save_materials
from ledger.stock.prices import current_prices
from ledger.workbooks.readers.starters import starter, starting_materials


class OwnStarter(Struct, frozen=True):
    """A starter design with the book's own materials, and how each of them was chosen."""

    design: Design
    chosen: tuple[ChosenMaterial, ...]


class RoughStarter(Struct, frozen=True):
    """What a starter design comes to at the sizes of a description, by the shop's own rates.

    `low` and `high` are the prices at the typical and the safe hours, never below the shop's
    minimum; `made_of` is its wood and finish, `starting` are the materials that stand at starting
    prices, not the shop's own, `notes` say which wood it is not, and that a helper's hours
    stand at nothing.
    """

    name: str
    title: str
    placed: PlacedSizes
    low: Money
    high: Money
    hours: PriceRange
    made_of: tuple[str, ...]
    starting: tuple[str, ...]
    notes: tuple[str, ...]


def own_starter(
    book: Book, name: str, wish: str = "", materials: Mapping[str, str] | None = None
) -> OwnStarter:
    """A starter design with materials of the price list.

    `materials` are those chosen, by the design's word; for the others the nearest is taken.
    `wish` are words of the piece; a material that has one of them in its name comes first.

    Raises:
        NotFound: no starter, no material word of it or no material is called so.
        NotAllowed: the price list has nothing for some of its words.
        BadValue: a material that was named is counted by the pair, and the word one by one.

    """
    design = starter(name, book.units)
    named = dict(materials or {})
    for word in named:
        if word not in design.materials:
            raise NotFound(f"material word of {design.name}", word, design.materials, are_all=True)
    chosen, missing = choose(design.materials - named.keys(), _offered(book), wish)
    if missing:
        words = ", ".join(missing)
        raise NotAllowed(
            f"Your price list has nothing for: {words}. Say what serves, as --material"
            f' "{missing[0]}=CODE", or take starting prices, which are not your own, for what is'
            " missing: benchledger material load --starting"
        )
    for word, text in named.items():
        row = find_material(book, text)
        if not is_counted_alike(word, row.unit):
            raise BadValue(
                f"{row.code} {row.name} is priced by the pair, and {design.name} counts each"
                f" {word}: it would be charged twice. Enter it in your price list once more, by the"
                " piece, and name that code."
            )
        offered = OfferedMaterial(row.code, row.name, row.kind, row.thickness)
        chosen.append(ChosenMaterial(word, offered, ()))
    return OwnStarter(made_own(design, chosen), tuple(sorted(chosen, key=lambda one: one.word)))


def _offered(book: Book) -> list[OfferedMaterial]:
    prices = current_prices(book)
    starting = {code for code, price in prices.items() if price.is_starting}
    return [
        OfferedMaterial(
            row.code, row.name, row.kind, row.thickness, row.code not in starting, row.unit
        )
        for row in materials(book).values()
    ]


def sizes_for(book: Book, design: Design, phrase: str) -> tuple[PlacedSizes, str]:
    """The parameters that a said size sets, and the reading repeated.

    Raises:
        BadValue: the size is in doubt, unread, or has no place in the design.

    """
    read = read_sizes(phrase, book.units)
    if read.question:
        raise BadValue(read.question)
    if not read.sizes:
        raise BadValue("No size is said; write for example 8 ft x 7 ft x 12 in.")
    return place_sizes(design, read), read.repeated(book.units)


def take_starter(
    book: Book, job: Job, own: OwnStarter, values: Mapping[str, str], pieces: int = 1
) -> tuple[str, ...]:
    """Make a job of a starter design, kept under the job's number; give back what boards lack.

    Raises:
        BadValue: it cannot be built with these values; the sum or limit that fails is told.

    """
    version = save_design(book, replace(own.design, name=job.number), "starter design taken again")
    built = build(own.design, values, book.units, wood_of(book))
    set_basis(book, job, version.key, values, pieces)
    return board_faults(built, materials(book))


def load_starting_materials(book: Book) -> list[str]:
    """Post the starting price list, without the codes that the book has; give back the new codes.

    Raises:
        NotAllowed: the book is of another currency than the two starting lists.

    """
    known = materials(book)
    rows = [row for row in starting_materials(book) if row.code not in known]
    save_materials(book, rows)
    return [row.code for row in rows]


class _NothingKept(Exception):
    """Ends an entry of which nothing is to stay."""


def rough_starter(
    book: Book, name: str, read: SpokenSizes, placed: PlacedSizes | None = None, pieces: int = 1
) -> RoughStarter:
    """Price a starter design at the sizes of a description; nothing of it stays in the book.

    `placed` are its sizes where they are not simply those that were said.

    For words that the price list has nothing for, starting prices stand in.

    Raises:
        NotAllowed: the shop's yearly figures are not set, or materials are missing.
        BadValue: the design cannot be built at these sizes.

    """
    design = starter(name, book.units)
    placed = placed or place_sizes(design, read)
    answer: RoughStarter | None = None
    try:
        with book.entry("job rough", read.words):
            _, missing = choose(design.materials, _offered(book))
            _stand_ins(book, missing)
            job = new_job(book, design.title)
            own = own_starter(book, name, read.words)
            longer = _as_long(book, own.design, placed.values)
            take_starter(book, job, own, placed.values, pieces)
            answer = _priced(book, price_job(book, job), read, placed, design)
            answer = replace(answer, notes=(*longer, *answer.notes))
            raise _NothingKept
    except _NothingKept:
        pass
    if answer is None:
        raise BookTrouble("The rough price was not worked out.")
    return answer


def _as_long(book: Book, design: Design, values: Mapping[str, str]) -> tuple[str, ...]:
    """Post boards as long as the longest part where the price list has none; a note for each.

    Raises:
        BadValue: the boards are priced by the piece, so that a longer one has no price.
    """
    known, notes = materials(book), []
    built = build(design, values, book.units, wood_of(book))
    for code, parts in board_parts(built, known).items():
        row, longest = known[code], max(part.length for part in parts)
        needed = Length(longest.nm + OVER_LENGTH_NM)
        if row.length is None or needed <= row.length:
            continue
        said, boards, taken = (
            show_length(one, book.units, suffix=True) for one in (longest, row.length, needed)
        )
        words = (
            f"Its longest part is {said}, and a board of {row.code} {row.name} in your price list"
            f" is {boards}"
        )
        if kind(row.unit) == "count":
            raise BadValue(
                f"{words}, priced by the {row.unit}: put boards of {taken} or longer into the"
                " price list, or say your hours: --hours 20"
            )
        post_longer(book, row, needed)
        notes.append(
            f"{words}: priced as boards of {taken} at the same price {with_article(row.unit)}."
            " Shorter ones must be glued or spliced, and the hours of that are not in this price."
        )
    return tuple(notes)


def _priced(
    book: Book, sheet: CostSheet, read: SpokenSizes, placed: PlacedSizes, design: Design
) -> RoughStarter:
    spread, least = range_of(book, sheet), book.settings.minimum_charge
    listed, prices = materials(book), current_prices(book)
    used = [listed[code] for code in dict.fromkeys(line.item for line in sheet.lines)]
    return RoughStarter(
        name=design.name,
        title=design.title,
        placed=placed,
        low=max(spread.p50.price, least),
        high=max(spread.p80.price, least),
        hours=spread,
        made_of=tuple(one.name for one in used if one.kind in ("lumber", "sheet", "finish")),
        starting=tuple(sorted(one.code for one in used if prices[one.code].is_starting)),
        notes=(
            *other_wood(read.words, used),
            *not_painted(read.words, used),
            *unpaid_helper(book, sheet.rates, sheet.hours),
        ),
    )


def _stand_ins(book: Book, missing: list[str]) -> None:
    """Post starting materials for words that the price list has nothing for."""
    if not missing:
        return
    listed = starting_materials(book)
    offered = [
        OfferedMaterial(row.code, row.name, row.kind, row.thickness, unit=row.unit)
        for row in listed
    ]
    chosen, _ = choose(missing, offered)
    codes = {one.material.code for one in chosen} - materials(book).keys()
    save_materials(book, [row for row in listed if row.code in codes])

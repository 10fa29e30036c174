"""Materials and how much of them as they are typed at the bench.

`EDGE78 88`, `EDGE78 12 yd`, or, of a lot that is named, the quantity alone; after a job several.
"""

import re
from collections.abc import Sequence

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Material
from ledger.book.tables.stock import Lot
from ledger.errors import BadValue, LedgerError, NotFound
from ledger.jobs.jobs import find_job
from ledger.measures.quantity import Quantity, parse_quantity
from ledger.measures.units import EACH, SHEET, unit, unit_or_none
from ledger.stock.materials import find_material, materials


class Item(Struct, frozen=True):
    """A material (none where a lot is named alone) and how much of it, in its unit."""

    material: str | None
    quantity: Quantity
    lot: int | None


def require_whole(book: Book, item: Item) -> None:
    """Refuse a part of what goes by the piece or by the sheet."""
    lot = book.row(Lot, item.lot) if item.lot else None
    name = item.material or (lot.words if lot else "")
    counted = materials(book)[item.material].unit if item.material else (lot.unit if lot else "")
    if counted in (EACH, SHEET) and item.quantity.fraction.denominator != 1:
        whole = "piece" if counted == EACH else counted
        raise BadValue(
            f"{name} goes by the {whole}: {item.quantity.decimal:f} of it cannot be taken; write a"
            " whole number."
        )


def read_job_item(book: Book, words: Sequence[str], lot: int | None) -> tuple[Job, Item]:
    """A job, and a material with its quantity: `bed EDGE78 88` or `bed EDGE78 88 ft`."""
    if len(words) < (2 if lot else 3):
        raise BadValue("Write the job, the material and how much, for example: bed EDGE78 88")
    item = read_item(book, words[1:], lot)
    return find_job(book, words[0]), item


def read_job_items(
    book: Book, words: Sequence[str], lot: int | None
) -> tuple[Job, tuple[Item, ...]]:
    """A job, and materials with their quantities: `bed EDGE78 88 ft PLY12 2`; of a lot, one."""
    if lot or len(words) < 3:
        job, item = read_job_item(book, words, lot)
        return job, (item,)
    items = read_items(book, words[1:])
    return find_job(book, words[0]), items


def read_items(book: Book, words: Sequence[str], lot: int | None = None) -> tuple[Item, ...]:
    """Materials with their quantities: `EDGE78 88 ft PLY12 2`; of a lot, one."""
    if lot or len(words) < 2:
        return (read_item(book, words, lot),)
    items, rest = [], list(words)
    while rest:
        if len(rest) == 1:
            raise _no_quantity(book, rest[0])
        size = 3 if len(rest) > 2 and _is_unit(book, rest[2]) else 2
        items.append(read_item(book, rest[:size]))
        rest = rest[size:]
    return tuple(items)


def _is_unit(book: Book, word: str) -> bool:
    """Whether a word after a quantity is its unit, and not the code of the next material."""
    codes = {code.casefold() for code in materials(book)}
    return bool(unit_or_none(word)) and word.casefold() not in codes


def _no_quantity(book: Book, word: str) -> LedgerError:
    """Why a last word is none: a material without its quantity, or no unit."""
    try:
        code = find_material(book, word).code
    except NotFound:
        return BadValue(
            f"“{word}” is neither a unit of what stands before it nor a material of your list."
        )
    return BadValue(f"{code}: say how much of it, for example: {code} 1")


_OFFCUT = re.compile(r"\s+offcuts?(\s.*)?$", re.IGNORECASE)
"""What a list of stock says behind the code of a material that lies on the rack."""


def _material_of(book: Book, text: str, lot: int | None) -> Material:
    """The material of that name; an offcut is called as the lists show it, and is known by its lot.

    Raises:
        BadValue: an offcut without its lot.
        NotFound: no material is called so.
    """
    try:
        return find_material(book, text)
    except NotFound:
        stem = _OFFCUT.sub("", text)
        if stem == text:
            raise
    material = find_material(book, stem)
    if lot is None:
        raise BadValue(
            "An offcut is taken by its lot, for each has its own size:"
            f" {material.code} 1 --lot LOT."
            f" See them: benchledger stock offcuts {material.code}"
        )
    return material


def read_item(book: Book, words: Sequence[str], lot: int | None = None) -> Item:
    """A material and a quantity in its unit or in another that turns into it; a lot needs no code.

    Raises:
        BadValue: there are too few or too many words.
    """
    mark = book.currency.decimal_mark
    if lot and len(words) == 1:
        return Item(None, parse_quantity(words[0], mark), lot)
    if len(words) not in (2, 3):
        raise BadValue("Write one material and how much of it, for example: EDGE78 88")
    material, quantity = _material_of(book, words[0], lot), parse_quantity(words[1], mark)
    if len(words) == 3:
        from ledger.stock.purchase import stock_quantity

        quantity = stock_quantity(material, quantity, unit(words[2]))
    return Item(material.code, quantity, lot)

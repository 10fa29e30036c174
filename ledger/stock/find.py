"""Finding lots and what may be drawn from them on a day."""

from collections.abc import Iterator
from datetime import date

from ledger.book import Book
from ledger.book.questions.stock import LotNow, drawable_lots, lot_now, moved_after
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.stock.lots import EMPTY, Pool, drawable


def lot_in_force(book: Book, number: int) -> Lot:
    """The lot of that number.

    Raises:
        NotAllowed: there is none, or its receipt was taken back.
    """
    lot = book.row(Lot, number)
    if lot is None or lot_now(book, number) is None:
        raise NotAllowed(f"There is no lot {number} in this book; see: benchledger stock list")
    return lot


def lot_on(book: Book, lot: Lot, day: date) -> Pool:
    """What may be drawn from a lot on a day without any later day falling below zero."""
    now = lot_now(book, lot.key)
    return EMPTY if now is None or lot.day > day else _drawable(book, now, day)


def lots_on(book: Book, material: str, day: date) -> Iterator[tuple[int, Pool]]:
    """The lots of a material with what may be drawn from each on a day, first in first out."""
    for now in drawable_lots(book, material, day):
        yield now.lot, _drawable(book, now, day)


def _drawable(book: Book, now: LotNow, day: date) -> Pool:
    later = [
        Pool(moved.quantity, moved.full, moved.cash) for moved in moved_after(book, now.lot, day)
    ]
    return drawable(Pool(now.quantity, now.full, now.cash), later)


def named_lot(book: Book, number: int, material: str | None, *, borrowed: bool = False) -> Lot:
    """The lot named on request, checked to be of the material and ours to use.

    Raises:
        NotAllowed: the lot is of another material, or borrowed.
    """
    lot = lot_in_force(book, number)
    if material is not None and lot.material != material:
        raise NotAllowed(
            f"Lot {number} is {lot.material or lot.words}, not {material}. Name a lot of"
            f" {material}, or leave the lot out to draw the oldest first."
        )
    if lot.source == "borrowed" and not borrowed:
        raise NotAllowed(
            f"Lot {number} ({lot.words}) is borrowed from {lot.sponsor}; it is not ours to use up."
            " Send it back, or enter it as received in kind first."
        )
    return lot

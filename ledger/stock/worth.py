"""What stock is worth: on a day, to a job, and how much of a need is covered at no cash."""

from dataclasses import dataclass
from datetime import date

from ledger.book import Book
from ledger.book.questions.stock import JobUse, OnHand, on_hand_on, taken_by_job
from ledger.book.tables.stock import Lot
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.stock.find import lots_on
from ledger.stock.lots import Pool


@dataclass(frozen=True, slots=True)
class Cover:
    """How a need would be met: from lots in kind, from lots that cost cash, not at all."""

    in_kind: Quantity
    bought: Quantity
    short: Quantity


def value_on(book: Book, day: date | None = None) -> list[OnHand]:
    """What stood in each lot at the end of a day, what is borrowed included at value 0."""
    return on_hand_on(book, day or book.today)


def job_material(book: Book, job: int) -> list[JobUse]:
    """What a job took of each lot less what it gave back, at full value and cash."""
    return taken_by_job(book, job)


def offcut_credit(book: Book, job: int) -> tuple[Money, Money]:
    """What the pieces a job put on the rack took off its cost: full value and cash."""
    pieces = book.rows(Lot, job=job, source="offcut")
    return total(piece.full for piece in pieces), total(piece.cash for piece in pieces)


def cash_cover(book: Book, material: str, quantity: Quantity, day: date | None = None) -> Cover:
    """How much of a need the lots on hand would meet, drawn in their order, and at what cash.

    What comes from lots in kind costs no cash; what stock does not cover has to be bought.
    """
    left, in_kind, bought = quantity, Quantity(0), Quantity(0)
    for number, pool in lots_on(book, material, day or book.today):
        part = min(left, pool.quantity)
        left = left - part
        if _is_free(book, number, pool):
            in_kind = in_kind + part
        else:
            bought = bought + part
    return Cover(in_kind, bought, left)


def _is_free(book: Book, number: int, pool: Pool) -> bool:
    lot = book.row(Lot, number)
    return lot is not None and bool(lot.full) and not lot.cash and bool(pool.quantity)

"""Drawing from lots, first in first out: pure arithmetic, no book in sight.

A draw of part of a lot costs its share of what is left of the lot, half-up; a draw of all that is
left costs all that is left. So whatever leaves a lot and whatever stays always add up to its cost,
in full value and in cash, however the single draws were rounded.

Posting movements: every way goods leave a lot or come back to it, one row each.

Finding lots and what may be drawn from them on a day.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book, require_open_job
from ledger.book.questions.stock import (
    IssueToJob,
    LotMovement,
    LotNow,
    drawable_lots,
    lot_now,
    moved_after,
)
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import NotAllowed
from ledger.measures.money import Money, sales_tax
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import show_count
from ledger.stock.use_tax import UNTAXED, accrue, use_tax_rate


class Pool(Struct, frozen=True):
    """A quantity with the full value and the cash that stand in it."""

    quantity: Quantity
    full: Money
    cash: Money

    @classmethod
    def of(cls, row: "Lot | Movement | LotNow | LotMovement | IssueToJob") -> "Pool":
        """What a lot was received as, holds now or had moved, signed as it is."""
        return cls(row.quantity, row.full, row.cash)

    def __add__(self, other: "Pool") -> "Pool":
        return Pool(self.quantity + other.quantity, self.full + other.full, self.cash + other.cash)

    def __sub__(self, other: "Pool") -> "Pool":
        return self + -other

    def __neg__(self) -> "Pool":
        return Pool(-self.quantity, -self.full, -self.cash)

    def part(self, quantity: Quantity) -> "Pool":
        """The pool of that quantity drawn from this one; all of it takes the remainder.

        >>> third = Pool(Quantity.of(3), Money(100), Money(0)).part(Quantity.of(1))
        >>> third.full, third.cash
        (Money(minor=33), Money(minor=0))
        """
        if quantity == self.quantity:
            return self
        share = quantity.fraction / self.quantity.fraction
        return Pool(quantity, self.full.times(share), self.cash.times(share))


EMPTY = Pool(Quantity(0), Money(0), Money(0))


class Drawn(Struct, frozen=True):
    """What one draw took from one lot."""

    lot: int
    pool: Pool


def drawable(now: Pool, later: Sequence[Pool]) -> Pool:
    """What may leave a lot on a day, so that no later day falls below zero.

    `now` is what stands in the lot today, `later` the movements after that day, in their order. A
    draw entered late may take no more than the emptiest later day holds, at no more than it is
    worth; where today is the emptiest, that is simply what stands in the lot.
    """
    states = [now]
    for movement in reversed(later):
        states.append(states[-1] - movement)
    emptiest = min(states, key=lambda state: state.quantity)
    if emptiest.quantity == now.quantity:
        return now
    full = min(state.full for state in states)
    return Pool(emptiest.quantity, full, min(full, *(state.cash for state in states)))


def draw(
    lots: Iterable[tuple[int, Pool]], quantity: Quantity, what: str = "this", unit: str = ""
) -> list[Drawn]:
    """Draw a quantity from lots in the order given, which is first in first out.

    Raises:
        NotAllowed: more than there is; the sentence says what is there.
    """
    if quantity.millionths <= 0:
        raise NotAllowed(f"The quantity of {what} must be more than zero.")
    taken: list[Drawn] = []
    wanted = quantity
    for lot, pool in lots:
        if not wanted:
            break
        part = pool.part(min(wanted, pool.quantity))
        if part.quantity:
            taken.append(Drawn(lot, part))
            wanted = wanted - part.quantity
    if wanted:
        there = quantity - wanted
        left = show_count(there, unit) if unit else show_quantity(there)
        raise NotAllowed(
            f"On hand: {left} of {what}; {show_quantity(quantity)} cannot be taken out of it."
        )
    return taken


def post_issue(
    book: Book,
    lot: int,
    part: Pool,
    job: int,
    day: date,
    *,
    reason: str = "",
    on_camera: bool | None = None,
    line: int | None = None,
    is_credit: bool = False,
) -> Movement:
    """Post what a job takes of a lot, with the use tax that an improvement owes on it.

    `is_credit` is its part of a credit that is passed on, which a job that is over takes too.

    Raises:
        NotAllowed: the job is over, see `require_open_job`.
    """
    if not is_credit:
        require_open_job(book, job)
    row = movement("issue", lot, -part, day, reason=reason)
    row.job, row.on_camera, row.line = job, on_camera, line
    issued = book.post(row)
    accrue(book, issued)
    return issued


def post_own_use(
    book: Book,
    lot: Lot,
    part: Pool,
    day: date,
    reason: str,
    *,
    kind: str = "own_use",
    line: int | None = None,
) -> Movement:
    """Post what the shop keeps or gives away, with the use tax that falls due on it."""
    row = movement(kind, lot.key, -part, day, reason=reason)
    row.line = line
    row.use_tax = tax_on_own_use(book, lot, part.cash)
    return book.post(row)


def tax_on_own_use(book: Book, lot: Lot, cash: Money) -> Money:
    """The use tax on goods kept or given away that no tax was paid on for good.

    It falls on the purchase cost of what came under a resale certificate, or whose tax was
    recovered; whether and how it is due in a place, the local rules say.
    """
    if lot.tax_kind not in UNTAXED:
        return Money(0)
    return sales_tax(cash, use_tax_rate(book), book.currency)


def movement(kind: str, lot: int, pool: Pool, day: date, *, reason: str = "") -> Movement:
    """Make the row of a movement; a pool that leaves is negative."""
    return Movement(
        lot=lot, kind=kind, day=day, quantity=pool.quantity, full=pool.full, cash=pool.cash,
        reason=reason,
    )  # fmt: skip


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
    return drawable(Pool.of(now), [Pool.of(moved) for moved in moved_after(book, now.lot, day)])


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

"""Drawing from lots, first in first out: pure arithmetic, no book in sight.

A draw of part of a lot costs its share of what is left of the lot, half-up; a draw of all that is
left costs all that is left. So whatever leaves a lot and whatever stays always add up to its cost,
in full value and in cash, however the single draws were rounded.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity, show_quantity


@dataclass(frozen=True, slots=True)
class Pool:
    """A quantity with the full value and the cash that stand in it."""

    quantity: Quantity
    full: Money
    cash: Money

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


@dataclass(frozen=True, slots=True)
class Drawn:
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
        raise NotAllowed(f"A quantity to take out of stock is more than zero ({what}).")
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
        there = " ".join(filter(None, [show_quantity(quantity - wanted), unit]))
        raise NotAllowed(
            f"On hand: {there} of {what}; {show_quantity(quantity)} cannot be taken out of it."
        )
    return taken

"""Questions about goods that went back to a supplier, and what was credited for them."""

from datetime import date
from fractions import Fraction
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class GoneBack(NamedTuple):
    """A movement back to the supplier: all of it, and how much of it is settled.

    `line` is the credit note's line that took the goods out; None where they were sent back.
    `settled` is what is both sent and credited; `job` the job they were sent back from.
    """

    movement: int
    lot: int
    day: date
    line: int | None
    job: int | None
    quantity: Quantity
    settled: Quantity
    full: Money

    @property
    def open(self) -> Quantity:
        """What is still to be credited, or still to be sent."""
        return self.quantity - self.settled

    def cost_of(self, quantity: Quantity) -> Money:
        """The cost of the next so many of it; the parts always add up to the whole."""
        whole = self.quantity.fraction
        upto = self.full.times((self.settled + quantity).fraction / whole)
        return upto - self.full.times(self.settled.fraction / whole)


_NOTHING = Money(0)

_TAKEN_BACK = f"""
SELECT l.id FROM receipt_line l JOIN receipt r ON r.reverses = l.receipt WHERE r.{IN_FORCE}
"""
# The lines of receipts that were taken back one by one, out of a file.

_GONE = f"""
SELECT m.id, m.lot, m.day, m.line, back.job AS job, -m.quantity AS quantity,
  coalesce(c.quantity, 0) AS settled, -m.full AS full
FROM movement m JOIN lot ON lot.id = m.lot
LEFT JOIN movement back ON back.id = m.of_movement
LEFT JOIN (
  SELECT movement, sum(quantity) AS quantity FROM credited_goods
  WHERE {IN_FORCE} AND line NOT IN ({_TAKEN_BACK}) GROUP BY movement
) AS c ON c.movement = m.id
WHERE m.kind = 'to_supplier' AND lot.source = 'receipt' AND m.day <= :day AND m.{IN_FORCE}
  AND -m.quantity > coalesce(c.quantity, 0)
  AND (m.line IS NULL OR m.line NOT IN ({_TAKEN_BACK}))
"""


def sent_not_credited(book: Book, day: date) -> list[GoneBack]:
    """What was sent back by a day and no credit note has come for, oldest first."""
    return _gone(book, "m.line IS NULL", day)


def credited_not_sent(book: Book, day: date) -> list[GoneBack]:
    """What a credit note took out of stock by a day and was not noted as sent, oldest first."""
    return _gone(book, "m.line IS NOT NULL", day)


def _gone(book: Book, which: str, day: date) -> list[GoneBack]:
    return book.query_as(GoneBack, f"{_GONE} AND {which} ORDER BY m.day, m.id", day=day)


def jobs_holding(book: Book, lots: list[int]) -> dict[int, Quantity]:
    """How much of some lots each job took and did not give back."""
    marks = ", ".join(str(int(lot)) for lot in lots)
    rows = book.query(
        "SELECT job, -sum(quantity) AS quantity FROM movement"
        f" WHERE lot IN ({marks}) AND job IS NOT NULL AND kind IN ('issue', 'return')"
        f" AND {IN_FORCE} GROUP BY job HAVING sum(quantity) < 0 ORDER BY job"
    )
    return {row.job: Quantity(row.quantity) for row in rows}


def receipts_of_lots(book: Book) -> dict[int, str]:
    """The number of the receipt that brought each lot which was bought."""
    rows = book.query(
        "SELECT lot.id, r.number FROM lot JOIN receipt_line l ON l.id = lot.line"
        f" JOIN receipt r ON r.id = l.receipt WHERE lot.source = 'receipt' AND lot.{IN_FORCE}"
    )
    return {row.id: row.number for row in rows}


class NotCredited(NamedTuple):
    """What was not credited of goods sent back: all of it, and the part that was freight."""

    full: Money
    freight: Money

    @property
    def goods(self) -> Money:
        """What the supplier kept of the goods themselves."""
        return self.full - self.freight


def not_credited(book: Book, job: int) -> dict[int, NotCredited]:
    """What suppliers kept of goods that a job sent back, by the lot that its cost stands in.

    That is the lot the goods came from where the credit note came first, else a lot of its own.
    Freight is lost first; what was kept beyond it was kept of the goods.
    """
    kept: dict[int, NotCredited] = {}
    for row in book.query(_LEFT_BEHIND, job=job):
        whole = Money(row.full).times(Fraction(row.returned, row.quantity))
        full = max(whole - Money(row.credited), _NOTHING)
        freight = min(full, whole.times(Fraction(row.freight, row.landed)))
        so_far = kept.get(row.lot, NotCredited(_NOTHING, _NOTHING))
        kept[row.lot] = NotCredited(so_far.full + full, so_far.freight + freight)
    left: dict[int, Money] = {}
    for row in book.query(_FREIGHT_SENT, job=job):
        goods = Money(row.full).times(Fraction(row.settled, row.quantity))
        freight = goods.times(Fraction(row.freight, row.landed))
        left[row.line] = left.get(row.line, _NOTHING) + freight
    for row in book.query(_KEPT_OF_JOB, job=job):
        freight = min(Money(row.full), left.get(row.line, _NOTHING))
        kept[row.lot] = NotCredited(Money(row.full), freight)
        left[row.line] = left.get(row.line, _NOTHING) - freight
    return {lot: amounts for lot, amounts in kept.items() if amounts.full}


_LEFT_BEHIND = f"""
SELECT i.lot, -i.full AS full, -i.quantity AS quantity, r.quantity AS returned, r.full AS credited,
  bought.freight, bought.landed
FROM movement r JOIN movement i ON i.id = r.of_movement JOIN lot ON lot.id = r.lot
JOIN receipt_line bought ON bought.id = lot.line
JOIN receipt_line l ON l.id = r.line JOIN receipt c ON c.id = l.receipt AND c.kind = 'credit'
WHERE r.kind = 'return' AND r.job = :job AND r.quantity > 0 AND bought.landed > 0
  AND r.{IN_FORCE} AND l.id NOT IN ({_TAKEN_BACK})
ORDER BY r.id
"""
# Goods that a credit note took out of a job, beside what they had been issued at.

_KEPT_OF_JOB = f"""
SELECT lot.id AS lot, lot.line, lot.full
FROM lot JOIN receipt_line l ON l.id = lot.line
JOIN receipt c ON c.id = l.receipt AND c.kind = 'credit'
JOIN movement m ON m.lot = lot.id AND m.kind = 'issue' AND m.job = :job AND m.{IN_FORCE}
WHERE lot.{IN_FORCE} AND l.id NOT IN ({_TAKEN_BACK}) ORDER BY lot.id
"""
# What a supplier kept of goods that a job had sent back before.

_FREIGHT_SENT = f"""
SELECT g.line, g.quantity AS settled, -m.quantity AS quantity, -m.full AS full, bought.freight,
  bought.landed
FROM credited_goods g JOIN movement m ON m.id = g.movement JOIN lot ON lot.id = m.lot
JOIN receipt_line bought ON bought.id = lot.line
WHERE g.{IN_FORCE} AND bought.landed > 0
  AND g.line IN (SELECT line FROM ({_KEPT_OF_JOB}))
ORDER BY g.id
"""

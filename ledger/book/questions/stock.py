"""Questions about lots and movements: what may be drawn, what stood where on which day."""

from datetime import date
from fractions import Fraction
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class LotNow(NamedTuple):
    """A lot and what is on hand of it now."""

    lot: int
    quantity: Quantity
    full: Money
    cash: Money


class LotMovement(NamedTuple):
    """A movement of a lot: its day and what it changed."""

    lot: int
    day: date
    quantity: Quantity
    full: Money
    cash: Money


class OnHand(NamedTuple):
    """What stands in a lot on some day, with what the lot is."""

    lot: int
    material: str | None
    words: str
    category: str
    unit: str
    day: date
    source: str
    sponsor: str
    quantity: Quantity
    full: Money
    cash: Money
    declared: Money


class JobUse(NamedTuple):
    """What a job took of one lot, net of what came back; `scrapped` of it was spoiled.

    `freight` is the part of `full` that was paid for bringing the goods; `freight_lost` the part
    of that for goods that went back to the supplier without it. `tax` is the part that was paid on
    the goods, or is owed as use tax on their receipt. `fee` is what the supplier kept of goods
    that went back, beyond their freight. `net` and `paid` are what its receipt asked for the part,
    before freight and tax and with all of both.
    """

    material: str | None
    words: str
    category: str
    unit: str
    source: str
    lot: int
    quantity: Quantity
    full: Money
    cash: Money
    scrapped: Quantity = Quantity(0)
    freight: Money = Money(0)
    freight_lost: Money = Money(0)
    tax: Money = Money(0)
    fee: Money = Money(0)
    net: Money = Money(0)
    paid: Money = Money(0)

    @property
    def fee_before_tax(self) -> Money:
        """The fee without tax that is told in `tax`: freight lost leaves none of it there."""
        share = Fraction(self.tax.minor, self.full.minor) if self.full else Fraction(0)
        return self.fee if self.freight_lost else self.fee.times(1 - share)


_DRAWABLE_LOTS = """SELECT lot, quantity, full, cash FROM on_hand
WHERE material = :material AND quantity > 0 AND day <= :day AND source NOT IN ('borrowed', 'offcut')
ORDER BY day, lot"""


def drawable_lots(book: Book, material: str, day: date) -> list[LotNow]:
    """The lots of a material first in first out: stock of our own, no offcuts and no loans."""
    return book.query_as(LotNow, _DRAWABLE_LOTS, material=material, day=day)


def lot_now(book: Book, lot: int) -> LotNow | None:
    """What is on hand of one lot, or None where the lot is not in force."""
    lots = book.query_as(
        LotNow, "SELECT lot, quantity, full, cash FROM on_hand WHERE lot = :lot", lot=lot
    )
    return lots[0] if lots else None


_NEWEST_LOT = """SELECT lot FROM on_hand WHERE material = :material AND day <= :day
AND source NOT IN ('borrowed', 'offcut') ORDER BY day DESC, lot DESC LIMIT 1"""


def newest_lot(book: Book, material: str, day: date) -> int | None:
    """The lot of a material that came in last by a day, used up or not."""
    return next(iter(book.column(_NEWEST_LOT, material=material, day=day)), None)


_MOVED_AFTER = f"""SELECT lot, day, quantity, full, cash FROM movement
WHERE lot = :lot AND day > :day AND {IN_FORCE} ORDER BY day, id"""


def moved_after(book: Book, lot: int, day: date) -> list[LotMovement]:
    """The movements of a lot after a day, in the order of days."""
    return book.query_as(LotMovement, _MOVED_AFTER, lot=lot, day=day)


_MOVED_IN = f"""SELECT lot, day, quantity, full, cash FROM movement WHERE {IN_FORCE} AND lot IN (
SELECT lot FROM movement WHERE deed = :entry UNION SELECT id FROM lot WHERE deed = :entry)
ORDER BY lot, day, id"""


def moved_in(book: Book, entry: int) -> list[LotMovement]:
    """Every movement of the lots that an entry touched, in the order of days."""
    return book.query_as(LotMovement, _MOVED_IN, entry=entry)


_ON_DAY = f"""
SELECT lot.id, lot.material, lot.words, lot.category, lot.unit, lot.day, lot.source, lot.sponsor,
  lot.quantity + coalesce(m.quantity, 0) AS quantity, lot.full + coalesce(m.full, 0) AS full,
  lot.cash + coalesce(m.cash, 0) AS cash, lot.declared
FROM lot LEFT JOIN (
  SELECT lot, sum(quantity) AS quantity, sum(full) AS full, sum(cash) AS cash FROM movement
  WHERE day <= :day AND {IN_FORCE} GROUP BY lot
) AS m ON m.lot = lot.id
WHERE lot.day <= :day AND lot.{IN_FORCE}
"""
# Lots enter on their own day, so a lot's worth on a day is its cost less what had left it by then.


_KEPT = """
SELECT lot.id, lot.material, lot.words, lot.category, lot.unit, lot.day, lot.source, lot.sponsor,
  h.quantity, h.full, h.cash, lot.declared
FROM on_hand AS h JOIN lot ON lot.id = h.lot
"""


def on_hand_on(book: Book, day: date, *, with_empty: bool = False) -> list[OnHand]:
    """What stood in each lot at the end of a day, lots used up left out unless asked for.

    Where nothing happened after that day, the balances kept say it, and nothing is added up.
    """
    later = book.query(
        "SELECT 1 FROM lot WHERE day > :day UNION ALL SELECT 1 FROM movement WHERE day > :day"
        " LIMIT 1",
        day=day,
    )
    return book.query_as(
        OnHand,
        f"SELECT * FROM ({_ON_DAY if later else _KEPT})"
        " WHERE :with_empty OR quantity <> 0 OR full <> 0 OR cash <> 0"
        " ORDER BY material IS NULL, material, day, id",
        with_empty=with_empty,
        **({"day": day} if later else {}),
    )


_RACK_LOTS = """SELECT lot FROM on_hand WHERE source = 'offcut' AND quantity > 0
AND (:material IS NULL OR material = :material) ORDER BY lot"""


def rack_lots(book: Book, material: str | None = None) -> list[int]:
    """The offcut lots that still stand on the rack, of one material or of all."""
    return book.column(_RACK_LOTS, material=material)


_TAKEN_BY_JOB = f"""SELECT lot.material, lot.words, lot.category, lot.unit, lot.source,
lot.id AS lot, -sum(m.quantity) AS quantity, -sum(m.full) AS full, -sum(m.cash) AS cash,
-sum(iif(m.kind = 'scrap', m.quantity, 0)) AS scrapped,
iif(lot.category = 'freight', line.landed, line.freight) AS freight, line.landed,
iif(lot.category <> 'freight' AND line.tax_kind IN ('paid', 'use'),
line.landed - line.net - line.freight, 0) AS tax,
line.net, line.net + line.freight + line.tax_paid AS paid
FROM movement m JOIN lot ON lot.id = m.lot LEFT JOIN receipt_line line ON line.id = lot.line
WHERE m.job = :job AND m.{IN_FORCE}
AND m.id NOT IN (SELECT movement FROM joint_offcut WHERE movement IS NOT NULL)
GROUP BY lot.id ORDER BY lot.category, lot.material, lot.id"""


def taken_by_job(book: Book, job: int) -> list[JobUse]:
    """What a job drew of each lot, less what it gave back; value that only moved counts too.

    The credit of an offcut that passed from job to job is none of it: `credit_passed`.
    """
    rows = book.query(_TAKEN_BY_JOB, job=job)
    return [
        JobUse(r.material, r.words, r.category, r.unit, r.source, r.lot, Quantity(r.quantity),
               Money(r.full), Money(r.cash), Quantity(r.scrapped),
               freight=_part(r.full, r.freight, r.landed), tax=_part(r.full, r.tax, r.landed),
               net=_part(r.full, r.net, r.landed), paid=_part(r.full, r.paid, r.landed))
        for r in rows
    ]  # fmt: skip


def _part(full: int, part: int, landed: int | None) -> Money:
    """What of an amount is the part that it is of what came in; nothing where nothing was paid."""
    return Money(full).times(Fraction(part, landed)) if landed else Money(0)


_CREDIT_PASSED = f"""SELECT coalesce(sum(m.full), 0) AS full, coalesce(sum(m.cash), 0) AS cash
FROM joint_offcut o JOIN movement m ON m.id = o.movement WHERE m.job = :job AND m.{IN_FORCE}"""


def credit_passed(book: Book, job: int) -> tuple[Money, Money]:
    """What a job got of the credit of offcuts that stand with another, or passed on to others."""
    (row,) = book.query(_CREDIT_PASSED, job=job)
    return Money(row.full), Money(row.cash)


class IssueToJob(NamedTuple):
    """An issue to a job and what is still out of it, net of what came back."""

    movement: int
    lot: int
    material: str | None
    unit: str
    day: date
    quantity: Quantity
    full: Money
    cash: Money


_STILL_OUT = f"""SELECT m.id, m.lot, lot.material, lot.unit, m.day,
  -m.quantity - coalesce(r.quantity, 0) AS quantity,
  -m.full - coalesce(r.full, 0) AS full, -m.cash - coalesce(r.cash, 0) AS cash
FROM movement m JOIN lot ON lot.id = m.lot LEFT JOIN (
  SELECT of_movement, sum(quantity) AS quantity, sum(full) AS full, sum(cash) AS cash
  FROM movement WHERE kind = 'return' AND job = :job AND {IN_FORCE} GROUP BY of_movement
) AS r ON r.of_movement = m.id
WHERE m.job = :job AND m.kind = 'issue' AND m.day <= :day AND m.{IN_FORCE}
ORDER BY m.day DESC, m.id DESC"""


def still_out(book: Book, job: int, day: date) -> list[IssueToJob]:
    """A job's issues up to a day that did not come back whole, newest first."""
    issues = book.query_as(IssueToJob, _STILL_OUT, job=job, day=day)
    return [one for one in issues if one.quantity.millionths > 0 or one.full > Money(0)]


_QUANTITY_ON = f"""SELECT coalesce(sum(quantity), 0) AS quantity FROM (
SELECT quantity FROM lot WHERE material = :material AND day <= :day
  AND source NOT IN ('borrowed', 'offcut') AND {IN_FORCE}
UNION ALL SELECT m.quantity FROM movement m JOIN lot ON lot.id = m.lot
WHERE lot.material = :material AND m.day <= :day
  AND lot.source NOT IN ('borrowed', 'offcut') AND m.{IN_FORCE})"""


def quantity_on(book: Book, material: str, day: date) -> Quantity:
    """How much of a material stood in our own lots at the end of a day, the rack left out."""
    (millionths,) = book.column(_QUANTITY_ON, material=material, day=day)
    return Quantity(millionths)


def recounted(book: Book) -> list[str]:
    """The lots whose kept balance is not what lots and movements add up to."""
    rows = book.query(f"""
        SELECT s.id FROM ({_ON_DAY}) AS s LEFT JOIN on_hand AS h ON h.lot = s.id
        WHERE h.lot IS NULL OR (h.quantity, h.full, h.cash) <> (s.quantity, s.full, s.cash)
        UNION SELECT lot FROM on_hand WHERE lot NOT IN (SELECT id FROM lot WHERE {IN_FORCE})
        ORDER BY 1""", day="9999-12-31")  # fmt: skip
    return [f"Lot {row[0]}: the balance kept is not what its movements add up to." for row in rows]


def below_zero(book: Book) -> list[str]:
    """The lots that some day held less than nothing."""
    rows = book.query(f"""
        SELECT lot, max(day) AS day FROM (
          SELECT m.lot, m.day, lot.quantity + sum(m.quantity) OVER (
            PARTITION BY m.lot ORDER BY m.day, m.id) AS left_over
          FROM movement m JOIN lot ON lot.id = m.lot WHERE m.{IN_FORCE})
        WHERE left_over < 0 GROUP BY lot ORDER BY lot""")  # fmt: skip
    return [f"Lot {row.lot}: below zero on {row.day}." for row in rows]

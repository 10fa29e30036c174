"""What a month came to, added up by SQLite: spend, stock that moved, prices that changed."""

from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class MonthMovement(NamedTuple):
    """What all movements of one kind, or all lots of one source, came to."""

    kind: str
    before: bool
    full: Money
    cash: Money


class MaterialMoved(NamedTuple):
    """The same for one material: its quantity too."""

    material: str | None
    words: str
    unit: str
    kind: str
    before: bool
    quantity: Quantity
    full: Money
    cash: Money


class SpendSums(NamedTuple):
    """Sums of the receipts of a span of days: net, tax, paid and landed."""

    net: Money
    tax_paid: Money
    recoverable: Money
    use_tax: Money
    landed: Money
    in_kind: Money


class Named(NamedTuple):
    """An amount under a name."""

    name: str
    amount: Money


KEPT_LOTS = """
SELECT lot.id AS lot, min(gone.lot) AS of_lot, max(gone.of_movement) IS NOT NULL AS from_job
FROM credited_goods c CROSS JOIN movement gone ON gone.id = c.movement AND gone.line IS NULL
CROSS JOIN lot ON lot.line = c.line GROUP BY lot.id
"""
"""The lots that stand for what a supplier kept of goods sent back before, and the lot of these.

The joins begin with what was credited, which is little.
"""

KEPT_KIND = """CASE WHEN m.kind IN ('lot receipt', 'reversed') THEN 'lot kept'
WHEN kept.from_job THEN 'kept' ELSE 'charged' END"""
"""What a movement of such a lot is: no goods came, less of what was sent back is off its cost."""

_KEPT = f"""
SELECT kept.lot, kept.of_lot, m.day, m.kind, {KEPT_KIND} AS instead, m.quantity, m.full, m.cash
FROM ({KEPT_LOTS}) AS kept JOIN movement m ON m.lot = kept.lot
WHERE m.day <= :last AND m.{IN_FORCE}
UNION ALL
SELECT kept.lot, kept.of_lot, m.day, m.kind, {KEPT_KIND}, m.quantity, m.full, m.cash
FROM ({KEPT_LOTS}) AS kept JOIN (
  SELECT *, 'lot ' || source AS kind FROM lot
) AS m ON m.id = kept.lot WHERE m.day <= :last AND m.{IN_FORCE}
"""

_MOVED = f"""
SELECT kind, day < :first AS before, sum(full) AS full, sum(cash) AS cash FROM (
  SELECT day, kind, sum(full) AS full, sum(cash) AS cash FROM movement
  WHERE day <= :last AND {IN_FORCE} GROUP BY day, kind
) GROUP BY 1, 2
UNION ALL
SELECT 'lot ' || source, day < :first, sum(full), sum(cash)
FROM lot WHERE day <= :last AND {IN_FORCE} GROUP BY 1, 2
UNION ALL
SELECT m.kind, m.day < :first, -sum(m.full), -sum(m.cash)
FROM joint_offcut j JOIN movement m ON m.id = j.movement
WHERE m.day <= :last AND m.{IN_FORCE} GROUP BY 1, 2
UNION ALL
SELECT kind, day < :first, -full, -cash FROM ({_KEPT})
UNION ALL
SELECT instead, day < :first, full, cash FROM ({_KEPT})
"""
# The credit of an offcut that passed from job to job neither came from a job nor went to one.
# Movements are added up in the order in which the index has them, by day and kind, and only these
# sums are sorted: a million movements take less than half of the time so.

_MOVED_BY_MATERIAL = f"""
SELECT material, CASE WHEN material IS NULL THEN words ELSE '' END AS words, unit, kind, before,
  sum(quantity) AS quantity, sum(full) AS full, sum(cash) AS cash
FROM (
  SELECT lot.material, lot.words, lot.unit, m.kind, m.day < :first AS before, m.quantity, m.full,
    m.cash
  FROM movement m JOIN lot ON lot.id = m.lot
  WHERE m.day <= :last AND lot.source <> 'borrowed' AND m.{IN_FORCE}
  UNION ALL
  SELECT material, words, unit, 'lot ' || source, day < :first, quantity, full, cash
  FROM lot WHERE day <= :last AND source <> 'borrowed' AND {IN_FORCE}
  UNION ALL
  SELECT lot.material, lot.words, lot.unit, m.kind, m.day < :first, 0, -m.full, -m.cash
  FROM joint_offcut j JOIN movement m ON m.id = j.movement JOIN lot ON lot.id = m.lot
  WHERE m.day <= :last AND m.{IN_FORCE}
  UNION ALL
  SELECT lot.material, lot.words, lot.unit, k.kind, k.day < :first, -k.quantity, -k.full, -k.cash
  FROM ({_KEPT}) AS k JOIN lot ON lot.id = k.lot
  UNION ALL
  SELECT lot.material, lot.words, lot.unit, k.instead, k.day < :first, 0, k.full, k.cash
  FROM ({_KEPT}) AS k JOIN lot ON lot.id = k.of_lot
) GROUP BY 1, 2, 3, 4, 5 ORDER BY material IS NULL, material, words, unit
"""


def moved(book: Book, first: date, last: date) -> list[MonthMovement]:
    """All lots and movements up to `last` by kind, those before `first` apart."""
    return book.query_as(MonthMovement, _MOVED, first=first, last=last)


def moved_by_material(book: Book, first: date, last: date) -> list[MaterialMoved]:
    """The same for each material with its quantity; goods without a code by their words."""
    return book.query_as(MaterialMoved, _MOVED_BY_MATERIAL, first=first, last=last)


_LINES = f"""
FROM receipt_line l JOIN receipt r ON r.id = l.receipt JOIN supplier s ON s.id = r.supplier
WHERE r.day BETWEEN :first AND :last AND r.{IN_FORCE}
"""

_TAX_ON_USE = f"""
FROM (
  SELECT day, lot, use_tax AS amount, NULL AS job FROM movement
  WHERE day BETWEEN :first AND :last AND use_tax <> 0 AND {IN_FORCE}
  UNION ALL SELECT day, lot, amount, job FROM job_use_tax
  WHERE day BETWEEN :first AND :last AND {IN_FORCE}
) AS m JOIN lot ON lot.id = m.lot LEFT JOIN receipt_line l ON l.id = lot.line
LEFT JOIN receipt r ON r.id = l.receipt LEFT JOIN supplier s ON s.id = r.supplier
LEFT JOIN job taxed ON taxed.id = m.job
"""
# What the shop kept or gave away, and what jobs took that improve real property.


_SPEND_SUMS = f"""SELECT coalesce(sum(l.net + l.freight), 0) AS net,
coalesce(sum(l.tax_paid), 0) AS paid, coalesce(sum(l.recoverable), 0) AS back,
coalesce(sum(l.use_tax), 0) AS owed, coalesce(sum(l.landed), 0) AS landed,
coalesce(sum(l.fair), 0) AS fair {_LINES}"""


def spend_sums(book: Book, first: date, last: date) -> SpendSums:
    """What the documents of some days came to, in one row."""
    (sums,) = book.query_as(SpendSums, _SPEND_SUMS, first=first, last=last)
    return sums


def tax_on_use(book: Book, first: date, last: date) -> Money:
    """The use tax on what was kept, given away or built in as an improvement on some days."""
    sum_ = f"SELECT coalesce(sum(m.amount), 0) {_TAX_ON_USE}"
    return Money(*book.column(sum_, first=first, last=last))


_BY_SUPPLIER = f"""SELECT s.name AS name, l.landed AS amount {_LINES}
UNION ALL SELECT coalesce(s.name, 'opening stock'), m.amount {_TAX_ON_USE}"""


def landed_by_supplier(book: Book, first: date, last: date) -> list[Named]:
    """Landed cost by supplier, use tax on what was used with the one who sold the goods."""
    return _named(book, _BY_SUPPLIER, first, last)


_BY_CATEGORY = f"""SELECT l.category AS name, l.landed AS amount {_LINES}
UNION ALL SELECT lot.category, m.amount {_TAX_ON_USE}"""


def landed_by_category(book: Book, first: date, last: date) -> list[Named]:
    """Landed cost by category of goods."""
    return _named(book, _BY_CATEGORY, first, last)


_BY_JOB = f"""SELECT coalesce(j.number, h.place) AS name, h.landed AS amount
FROM receipt_share h JOIN receipt_line l ON l.id = h.line
JOIN receipt r ON r.id = l.receipt LEFT JOIN job j ON j.id = h.job
WHERE r.day BETWEEN :first AND :last AND r.{IN_FORCE}
UNION ALL SELECT coalesce(taxed.number, 'shop'), m.amount {_TAX_ON_USE}"""


def landed_by_job(book: Book, first: date, last: date) -> list[Named]:
    """Landed cost by the place the goods were bought for: jobs by number, `stock`, `shop`."""
    return _named(book, _BY_JOB, first, last)


def _named(book: Book, sql: str, first: date, last: date) -> list[Named]:
    summed = f"""SELECT name, sum(amount) AS amount FROM ({sql})
    GROUP BY name HAVING sum(amount) <> 0 ORDER BY sum(amount) DESC, name"""
    return book.query_as(Named, summed, first=first, last=last)


def landed_by_month_and_category(book: Book, first: date, last: date) -> list[tuple[str, Named]]:
    """Landed cost of each month by category, for a chart over time."""
    return _by_month(book, "l.category", "lot.category", first, last)


def landed_by_month_and_supplier(book: Book, first: date, last: date) -> list[tuple[str, Named]]:
    """Landed cost of each month by supplier, as `landed_by_supplier` has it of all of them."""
    return _by_month(book, "s.name", "coalesce(s.name, 'opening stock')", first, last)


def _by_month(
    book: Book, bought: str, taxed: str, first: date, last: date
) -> list[tuple[str, Named]]:
    summed = f"""SELECT month, name, sum(amount) AS amount FROM (
      SELECT substr(r.day, 1, 7) AS month, {bought} AS name, l.landed AS amount {_LINES}
      UNION ALL SELECT substr(m.day, 1, 7), {taxed}, m.amount {_TAX_ON_USE}
    ) GROUP BY month, name HAVING sum(amount) <> 0 ORDER BY month, name"""
    rows = book.query(summed, first=first, last=last)
    return [(row.month, Named(row.name, Money(row.amount))) for row in rows]


def in_kind_by_giver(book: Book, first: date, last: date) -> list[Named]:
    """Fair value of goods in kind by who gave them."""
    return _named(book, f"SELECT s.name AS name, l.fair AS amount {_LINES}", first, last)


class JobIssue(NamedTuple):
    """What stock gave to a job, net of what came back and of kept offcuts."""

    job: str
    full: Money
    cash: Money


_ISSUED_BY_JOB = f"""SELECT j.number AS number, sum(full) AS full, sum(cash) AS cash
FROM (SELECT job, -full AS full, -cash AS cash FROM movement
  WHERE job IS NOT NULL AND day BETWEEN :first AND :last AND {IN_FORCE}
  UNION ALL SELECT job, -full, -cash FROM lot
  WHERE job IS NOT NULL AND day BETWEEN :first AND :last AND {IN_FORCE}
) AS used JOIN job j ON j.id = used.job GROUP BY j.number ORDER BY j.number"""


def issued_by_job(book: Book, first: date, last: date) -> list[JobIssue]:
    """What stock gave to each job on some days, by number."""
    return book.query_as(JobIssue, _ISSUED_BY_JOB, first=first, last=last)

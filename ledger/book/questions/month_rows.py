"""The rows behind a month's sums, for the data sheets: lines, shares, movements, goods in kind."""

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.book.questions.month import KEPT_KIND, KEPT_LOTS
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class LineRow(NamedTuple):
    """A line of a receipt with the document it stands on, as it was bought.

    Quantity and unit are the document's (2 packs, not 200 screws), so that with the unit price
    they come to the net before the discount.
    """

    receipt: str
    day: date
    supplier: str
    document: str
    kind: str
    paid_by: str
    material: str
    words: str
    category: str
    quantity: Quantity
    unit: str
    unit_price: Decimal | None
    tax_kind: str
    discount: Money
    net: Money
    freight: Money
    tax_paid: Money
    recoverable: Money
    use_tax: Money
    landed: Money


class ShareRow(NamedTuple):
    """A part of a line and where it went."""

    receipt: str
    day: date
    supplier: str
    words: str
    category: str
    place: str
    quantity: Quantity
    unit: str
    landed: Money


class MoveRow(NamedTuple):
    """What came into a lot or left it, signed: a lot that was taken in, or a movement.

    A row of kind `use_tax` moves nothing: it is tax that a job owes on what it took of the lot.
    """

    day: date
    kind: str
    lot: int
    material: str
    words: str
    category: str
    supplier: str
    quantity: Quantity
    unit: str
    full: Money
    cash: Money
    use_tax: Money
    job: str
    reason: str


class InKindRow(NamedTuple):
    """Goods received in kind: fair value, how it was found, and the evidence for it."""

    day: date
    receipt: str
    giver: str
    document: str
    material: str
    words: str
    quantity: Quantity
    unit: str
    fair: Money
    method: str
    evidence: str
    agreement: str


_DOCUMENT = """
FROM receipt_line l JOIN receipt r ON r.id = l.receipt JOIN supplier s ON s.id = r.supplier
"""
_IN_TIME = f"WHERE r.day BETWEEN :first AND :last AND r.{IN_FORCE}"


_RECEIPT_LINES = f"""SELECT r.number, r.day, s.name AS supplier, r.document, r.kind, r.paid_by,
coalesce(l.material, '') AS material, l.words, l.category, l.bought, l.bought_unit, l.unit_price,
l.tax_kind, l.discount, l.net, l.freight, l.tax_paid, l.recoverable, l.use_tax, l.landed
{_DOCUMENT} {_IN_TIME} AND l.fair = 0 AND r.kind NOT IN ('in_kind', 'borrowed')
ORDER BY r.day, r.id, l.id"""


def receipt_lines(book: Book, first: date, last: date) -> list[LineRow]:
    """The lines of bought goods and credits of some days, by day."""
    return book.query_as(LineRow, _RECEIPT_LINES, first=first, last=last)


_RECEIPT_SHARES = f"""SELECT r.number, r.day, s.name, l.words, l.category,
coalesce(j.number, h.place), h.quantity, l.unit, h.landed {_DOCUMENT}
JOIN receipt_share h ON h.line = l.id LEFT JOIN job j ON j.id = h.job {_IN_TIME}
AND r.kind NOT IN ('in_kind', 'borrowed')
ORDER BY r.day, r.id, l.id, h.id"""


def receipt_shares(book: Book, first: date, last: date) -> list[ShareRow]:
    """Where the goods of some days went: jobs by number, `stock`, `shop`."""
    return book.query_as(ShareRow, _RECEIPT_SHARES, first=first, last=last)


_MOVES = f"""SELECT m.day, CASE WHEN kept.lot IS NULL THEN m.kind ELSE {KEPT_KIND} END, lot.id,
  coalesce(lot.material, ''), lot.words, lot.category, coalesce(s.name, ''),
  CASE WHEN kept.lot IS NULL THEN m.quantity ELSE 0 END AS quantity, lot.unit, m.full,
  m.cash, m.use_tax, coalesce(j.number, ''), m.reason
FROM (
  SELECT day, kind, lot, quantity, full, cash, use_tax, job, reason, id FROM movement
  WHERE day BETWEEN :first AND :last AND {IN_FORCE}
  UNION ALL SELECT day, 'lot ' || source, id, quantity, full, cash, 0, job, note, 0 FROM lot
  WHERE day BETWEEN :first AND :last AND {IN_FORCE}
  UNION ALL
  SELECT day, 'use_tax', lot, 0, 0, 0, amount, job, 'improvement of real property', movement
  FROM job_use_tax WHERE day BETWEEN :first AND :last AND {IN_FORCE}
) AS m JOIN lot ON lot.id = m.lot LEFT JOIN job j ON j.id = m.job
LEFT JOIN receipt_line l ON l.id = lot.line LEFT JOIN receipt r ON r.id = l.receipt
LEFT JOIN supplier s ON s.id = r.supplier LEFT JOIN ({KEPT_LOTS}) AS kept ON kept.lot = m.lot
WHERE lot.source <> 'borrowed' ORDER BY m.day, m.lot, m.id"""


def moves(book: Book, first: date, last: date) -> list[MoveRow]:
    """All that came into lots of our own and left them on some days, by day."""
    return book.query_as(MoveRow, _MOVES, first=first, last=last)


_RECEIVED_IN_KIND = f"""SELECT r.day, r.number, s.name AS giver, r.document,
coalesce(l.material, '') AS material, l.words, l.quantity, l.unit, l.fair,
coalesce(lot.method, '') AS method, coalesce(lot.evidence, '') AS evidence, r.agreement {_DOCUMENT}
LEFT JOIN lot ON lot.line = l.id {_IN_TIME} AND l.fair <> 0 ORDER BY r.day, r.id, l.id"""


def received_in_kind(book: Book, first: date, last: date) -> list[InKindRow]:
    """Goods received in kind on some days; one that was taken back stands against itself."""
    return book.query_as(InKindRow, _RECEIVED_IN_KIND, first=first, last=last)


class NotedCost(NamedTuple):
    """A cost noted on a job as it came, without a receipt: driving, outside work, a fee."""

    day: date
    job: str
    kind: str
    words: str
    quantity: Quantity
    amount: Money


_NOTED_COSTS = f"""SELECT c.day, j.number, c.kind, c.words, c.quantity, c.amount FROM job_cost c
JOIN job j ON j.id = c.job WHERE c.occasion = 'actual' AND j.kind = 'commission'
AND c.day BETWEEN :first AND :last AND c.{IN_FORCE} ORDER BY c.day, c.id"""


def noted_costs(book: Book, first: date, last: date) -> list[NotedCost]:
    """The costs of jobs that were noted for some days beside material and hours, by day."""
    return book.query_as(NotedCost, _NOTED_COSTS, first=first, last=last)

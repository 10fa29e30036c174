"""Questions of the owner's review: hours by activity, spend by supplier, prices paid, the rack."""

from datetime import date
from fractions import Fraction
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.book.questions.progress import JOB_CLASSES, OWNER
from ledger.book.questions.returns import NotCredited
from ledger.measures.length import Length
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity


class SpentTime(NamedTuple):
    """Minutes of some days on one activity in one class, for one job or none, by one person."""

    job: str
    activity: str
    kind: str
    is_owner: bool
    is_billable: bool
    minutes: int


_MINUTES_SPENT = f"""SELECT coalesce(j.number, ''), CASE WHEN w.task <> '' THEN w.task
ELSE coalesce(w.operation, w.family) END, w.class, w.person = :owner, w.class IN ({JOB_CLASSES}),
sum(w.minutes) FROM work w LEFT JOIN job j ON j.id = w.job
WHERE w.day BETWEEN :first AND :last AND w.{IN_FORCE} GROUP BY 1, 2, 3, 4 ORDER BY 1, 2"""


def minutes_spent(book: Book, first: date, last: date) -> list[SpentTime]:
    """All minutes of some days by job, activity, class, and owner or helper.

    An activity is an operation's code, a group where only that was logged, or a task.
    """
    return book.query_as(SpentTime, _MINUTES_SPENT, owner=OWNER, first=first, last=last)


class BoughtAt(NamedTuple):
    """One purchase of a material: what was paid before tax for how much."""

    material: str
    day: date
    supplier: str
    quantity: Quantity
    unit: str
    net: Money
    landed: Money

    @property
    def unit_net(self) -> Fraction:
        """What a unit of stock cost before tax and freight, in minor units, exactly."""
        return Fraction(self.net.minor) / (Fraction(self.quantity.millionths) / 1_000_000)


_BOUGHT_LINES = f"""SELECT l.material, r.day, s.name, l.quantity, l.unit, l.net, l.landed
FROM receipt_line l JOIN receipt r ON r.id = l.receipt JOIN supplier s ON s.id = r.supplier
WHERE r.day BETWEEN :first AND :last AND r.kind IN ('bought', 'credit')
AND l.material IS NOT NULL AND r.{IN_FORCE} AND r.id NOT IN (SELECT reverses FROM receipt
WHERE reverses IS NOT NULL AND {IN_FORCE}) ORDER BY r.day, l.id"""


def bought_lines(book: Book, first: date, last: date) -> list[BoughtAt]:
    """The lines of materials of the price list bought or credited on some days, by day."""
    return book.query_as(BoughtAt, _BOUGHT_LINES, first=first, last=last)


class RackMove(NamedTuple):
    """A piece of the rack that was put there, taken, given back or thrown away on some days."""

    kind: str
    material: str
    length: Length
    width: Length
    full: Money
    job: str


_RACK_MOVES = f"""SELECT 'kept', coalesce(l.material, ''), l.length, l.width, l.full,
coalesce(j.number, '') FROM lot l LEFT JOIN job j ON j.id = l.job
WHERE l.source = 'offcut' AND l.day BETWEEN :first AND :last AND l.{IN_FORCE}
UNION ALL SELECT m.kind, coalesce(l.material, ''), l.length, l.width, abs(m.full),
coalesce(j.number, '') FROM lot l JOIN movement m ON m.lot = l.id LEFT JOIN job j ON j.id = m.job
WHERE l.source = 'offcut' AND m.day BETWEEN :first AND :last AND m.{IN_FORCE}"""


def rack_moves(book: Book, first: date, last: date) -> list[RackMove]:
    """What happened on the rack on some days: `kept`, or the kind of a movement.

    Values are without sign; a return is a kind of its own.
    """
    return book.query_as(RackMove, _RACK_MOVES, first=first, last=last)


class Scrapped(NamedTuple):
    """Goods that were thrown away or damaged on some days, offcuts left out."""

    kind: str
    category: str
    words: str
    job: str
    full: Money


_SCRAPPED = f"""SELECT m.kind, l.category, m.reason, coalesce(j.number, ''), sum(-m.full)
FROM movement m JOIN lot l ON l.id = m.lot LEFT JOIN job j ON j.id = m.job
WHERE m.kind IN ('scrap', 'damage') AND l.source <> 'offcut' AND m.day BETWEEN :first AND :last
AND m.{IN_FORCE} GROUP BY 1, 2, 3, 4 ORDER BY sum(-m.full) DESC"""


def scrapped(book: Book, first: date, last: date) -> list[Scrapped]:
    """What was scrapped or damaged on some days, at full value."""
    return book.query_as(Scrapped, _SCRAPPED, first=first, last=last)


class SpoiledPart(NamedTuple):
    """Material that rework spoiled on some days; it is in the material of its job already."""

    part: str
    words: str
    job: str
    full: Money


_SPOILED_PARTS = f"""SELECT s.part, s.words, j.number, sum(s.amount) FROM spoiled s
JOIN job j ON j.id = s.job WHERE s.day BETWEEN :first AND :last AND s.{IN_FORCE} GROUP BY 1, 2, 3
ORDER BY sum(s.amount) DESC, min(s.id)"""


def spoiled_parts(book: Book, first: date, last: date) -> list[SpoiledPart]:
    """What rework spoiled on some days, by job and part, most first."""
    return book.query_as(SpoiledPart, _SPOILED_PARTS, first=first, last=last)


class GivenGone(NamedTuple):
    """Goods given on some days that left the stock by the last of them: for a job, or for none.

    Those for none went back to the giver, or were lost or of own use.
    """

    job: str
    is_sent_back: bool
    full: Money


_GIVEN_GONE = f"""WITH goods (lot, job, kept) AS (
  SELECT id, NULL, 0 FROM lot
  WHERE source = 'in_kind' AND day BETWEEN :first AND :last AND {IN_FORCE}
  UNION SELECT piece.id, piece.job, piece.full - piece.cash FROM lot piece
  JOIN lot sheet ON sheet.material = piece.material AND sheet.source = 'in_kind'
    AND sheet.day BETWEEN :first AND :last AND sheet.{IN_FORCE}
  JOIN movement m ON m.lot = sheet.id AND m.job = piece.job AND m.kind = 'issue'
    AND m.{IN_FORCE}
  WHERE piece.source = 'offcut' AND piece.day <= :last AND piece.{IN_FORCE}
)
SELECT coalesce(j.number, ''), moved.is_sent_back, sum(moved.full) FROM (
  SELECT m.job, m.kind = 'to_supplier' AS is_sent_back, m.cash - m.full AS full
  FROM goods JOIN movement m ON m.lot = goods.lot WHERE m.day <= :last AND m.{IN_FORCE}
  UNION ALL SELECT job, 0, -kept FROM goods
) AS moved LEFT JOIN job j ON j.id = moved.job
GROUP BY 1, 2 HAVING sum(moved.full) <> 0 ORDER BY 1, 2"""


def given_gone(book: Book, first: date, last: date) -> list[GivenGone]:
    """What became of goods given on some days, net of what came back; what is left is in stock.

    Offcuts of such goods are among them: kept, they came back from the job that they stand with.
    """
    return book.query_as(GivenGone, _GIVEN_GONE, first=first, last=last)


class HelperPay(NamedTuple):
    """Minutes of a helper on some days at one rate an hour, on jobs or for none."""

    person: str
    rate: Money
    has_job: bool
    minutes: int


_HELPER_PAY = f"""SELECT person, coalesce(rate, 0), job IS NOT NULL, sum(minutes) FROM work
WHERE person <> :owner AND day BETWEEN :first AND :last AND {IN_FORCE} GROUP BY 1, 2, 3
ORDER BY 1, 2, 3"""


def helper_pay(book: Book, first: date, last: date) -> list[HelperPay]:
    """What helpers worked on some days, content and the shop's own work too."""
    return book.query_as(HelperPay, _HELPER_PAY, owner=OWNER, first=first, last=last)


_COSTS_OF_JOBS = f"""SELECT j.number, sum(c.amount) FROM job_cost c JOIN job j ON j.id = c.job
WHERE c.occasion = 'actual' AND j.kind = 'commission' AND c.day BETWEEN :first AND :last
AND c.{IN_FORCE} GROUP BY 1 ORDER BY 1"""


def costs_of_jobs(book: Book, first: date, last: date) -> list[tuple[str, Money]]:
    """Driving, outside work, fees and other costs of some days, by job."""
    rows = book.query(_COSTS_OF_JOBS, first=first, last=last)
    return [(number, Money(amount)) for number, amount in rows]


class BillOfOthers(NamedTuple):
    """What a receipt's lines for the work of others landed at, by supplier and job."""

    supplier: str
    job: str
    landed: Money


_BILLS_OF_OTHERS = f"""SELECT s.name, coalesce(j.number, h.place), sum(h.landed)
FROM receipt_share h JOIN receipt_line l ON l.id = h.line JOIN receipt r ON r.id = l.receipt
JOIN supplier s ON s.id = r.supplier LEFT JOIN job j ON j.id = h.job
WHERE l.category = 'outside' AND r.day BETWEEN :first AND :last AND r.{IN_FORCE}
GROUP BY 1, 2 ORDER BY 1, 2"""


def bills_of_others(book: Book, first: date, last: date) -> list[BillOfOthers]:
    """The work of others that came by a receipt on some days; it is in what was landed."""
    return book.query_as(BillOfOthers, _BILLS_OF_OTHERS, first=first, last=last)


_LOST_STOCK = f"""SELECT kind, -sum(full) FROM movement
WHERE job IS NULL AND kind <> 'to_supplier' AND day BETWEEN :first AND :last AND {IN_FORCE}
GROUP BY 1 ORDER BY 1"""


def lost_stock(book: Book, first: date, last: date) -> list[tuple[str, Money]]:
    """What left the stock for no job, and not back to suppliers, by kind at full value."""
    rows = book.query(_LOST_STOCK, first=first, last=last)
    return [(kind, Money(amount)) for kind, amount in rows]


_GIFTS_SENT_BACK = f"""SELECT coalesce(sum(m.cash - m.full), 0) AS full
FROM movement m JOIN lot l ON l.id = m.lot WHERE m.kind = 'to_supplier' AND l.source = 'in_kind'
AND m.day BETWEEN :first AND :last AND m.{IN_FORCE}"""


def gifts_sent_back(book: Book, first: date, last: date) -> Money:
    """What went back to givers from stock on some days, at its fair value; income when it came."""
    (row,) = book.query(_GIFTS_SENT_BACK, first=first, last=last)
    return Money(row.full)


_KEPT_BY_SUPPLIERS = f"""WITH line AS (
  SELECT l.id, l.landed FROM receipt_line l JOIN receipt r ON r.id = l.receipt
  WHERE r.kind = 'credit' AND r.day BETWEEN :first AND :last AND r.{IN_FORCE}
    AND r.id NOT IN (SELECT reverses FROM receipt WHERE reverses IS NOT NULL AND {IN_FORCE})
), gone AS (
  SELECT line.id AS line, m.lot, m.of_movement, -m.full AS full, 1 AS part, 1 AS whole
  FROM line JOIN movement m ON m.line = line.id WHERE m.kind = 'to_supplier' AND m.{IN_FORCE}
  UNION ALL SELECT line.id, m.lot, m.of_movement, -m.full, c.quantity, -m.quantity FROM line
  JOIN credited_goods c ON c.line = line.id AND c.{IN_FORCE}
  JOIN movement m ON m.id = c.movement AND m.line IS NOT c.line
)
SELECT gone.line, gone.full, gone.part, gone.whole,
  CASE WHEN gone.of_movement IS NULL THEN coalesce(bought.freight, 0) ELSE 0 END AS freight,
  coalesce(nullif(bought.landed, 0), 1) AS landed
FROM gone JOIN lot ON lot.id = gone.lot LEFT JOIN receipt_line bought ON bought.id = lot.line
UNION ALL SELECT line.id, line.landed, 1, 1, 0, 1 FROM line
UNION ALL SELECT line.id, -lot.full, 1, 1, 0, 1 FROM line
JOIN lot ON lot.line = line.id AND lot.{IN_FORCE}"""


def kept_by_suppliers(book: Book, first: date, last: date) -> NotCredited:
    """What credit notes of some days fell short of the cost of goods that no job had.

    What stays a cost of a job is a lot of the credit note's line; more than the cost is negative.
    Freight is lost first; what was kept beyond it was kept of the goods.
    """
    full, freight = dict[int, Money](), dict[int, Money]()
    for row in book.query(_KEPT_BY_SUPPLIERS, first=first, last=last):
        amount = Money(row.full).times(Fraction(row.part, row.whole))
        full[row.line] = full.get(row.line, Money(0)) + amount
        brought = amount.times(Fraction(row.freight, row.landed))
        freight[row.line] = freight.get(row.line, Money(0)) + brought
    lost = (max(min(freight[line], kept), Money(0)) for line, kept in full.items())
    return NotCredited(total(full.values()), total(lost))


class StateDay(NamedTuple):
    """A state that a commission entered on a day."""

    job: int
    state: str
    day: date


_STATES_ENTERED = f"""SELECT s.job, s.state, s.day FROM job_state s JOIN job j ON j.id = s.job
WHERE j.kind = 'commission' AND s.{IN_FORCE} AND j.{IN_FORCE} ORDER BY s.id"""


def states_entered(book: Book) -> list[StateDay]:
    """All states of commissions in the order in which they were entered."""
    return book.query_as(StateDay, _STATES_ENTERED)

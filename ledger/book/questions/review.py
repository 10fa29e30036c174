"""Questions of the owner's review: hours by activity, spend by supplier, prices paid, the rack."""

from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.book.questions.progress import ON_THE_JOB, OWNER
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

_BILLABLE = ", ".join(f"'{name}'" for name in ON_THE_JOB)


class SpentMinutes(NamedTuple):
    """Minutes of some days on one activity in one class, of the owner or of helpers."""

    job: str
    activity: str
    kind: str
    is_owner: bool
    is_billable: bool
    minutes: int


def minutes_spent(book: Book, first: date, last: date) -> list[SpentMinutes]:
    """All minutes of some days by job, activity, class, and owner or helper.

    An activity is an operation's code, a group where only that was logged, or a task.
    """
    rows = book.query(
        "SELECT coalesce(j.number, ''), CASE WHEN w.task <> '' THEN w.task"
        " ELSE coalesce(w.operation, w.family) END, w.class, w.person = :owner,"
        f" w.class IN ({_BILLABLE}), sum(w.minutes) FROM work w LEFT JOIN job j ON j.id = w.job"
        f" WHERE w.day BETWEEN :first AND :last AND w.{IN_FORCE} GROUP BY 1, 2, 3, 4 ORDER BY 1, 2",
        owner=OWNER,
        **_between(first, last),
    )
    return [SpentMinutes(r[0], r[1], r[2], bool(r[3]), bool(r[4]), r[5]) for r in rows]


def owner_minutes_by_month(book: Book, last: date) -> dict[int, dict[str, int]]:
    """The owner's minutes on each job up to a day, by month (YYYY-MM), content left out."""
    rows = book.query(
        f"SELECT job, substr(day, 1, 7), sum(minutes) FROM work WHERE person = '{OWNER}'"
        f" AND job IS NOT NULL AND class IN ({_BILLABLE}) AND day <= :last AND {IN_FORCE}"
        " GROUP BY 1, 2",
        last=last.isoformat(),
    )
    by_job: dict[int, dict[str, int]] = {}
    for job, month, minutes in rows:
        by_job.setdefault(job, {})[month] = minutes
    return by_job


def landed_by_month_and_supplier(
    book: Book, first: date, last: date
) -> list[tuple[str, str, Money]]:
    """Landed cost of the documents of some days by month and supplier."""
    rows = book.query(
        "SELECT substr(r.day, 1, 7), s.name, sum(l.landed) FROM receipt_line l"
        " JOIN receipt r ON r.id = l.receipt JOIN supplier s ON s.id = r.supplier"
        f" WHERE r.day BETWEEN :first AND :last AND r.{IN_FORCE} GROUP BY 1, 2"
        " HAVING sum(l.landed) <> 0 ORDER BY 1, 2",
        **_between(first, last),
    )
    return [(month, name, Money(amount)) for month, name, amount in rows]


class BoughtLine(NamedTuple):
    """A line of a document of goods bought: what was paid before tax for how much."""

    material: str
    day: date
    supplier: str
    quantity: Quantity
    unit: str
    net: Money
    landed: Money


def bought_lines(book: Book, first: date, last: date) -> list[BoughtLine]:
    """The lines of materials of the price list that were bought on some days, by day."""
    rows = book.query(
        "SELECT l.material, r.day, s.name, l.quantity, l.unit, l.net, l.landed FROM receipt_line l"
        " JOIN receipt r ON r.id = l.receipt JOIN supplier s ON s.id = r.supplier"
        " WHERE r.day BETWEEN :first AND :last AND r.kind = 'bought' AND l.material IS NOT NULL"
        f" AND r.{IN_FORCE} AND r.id NOT IN (SELECT reverses FROM receipt WHERE"
        f" reverses IS NOT NULL AND {IN_FORCE}) ORDER BY r.day, l.id",
        **_between(first, last),
    )
    return [
        BoughtLine(r[0], date.fromisoformat(r[1]), r[2], Quantity(r[3]), r[4], Money(r[5]),
                   Money(r[6]))
        for r in rows
    ]  # fmt: skip


class RackMove(NamedTuple):
    """A piece of the rack that was put there, taken, given back or thrown away on some days."""

    kind: str
    material: str
    length: Length
    width: Length
    full: Money
    job: str


def rack_moves(book: Book, first: date, last: date) -> list[RackMove]:
    """What happened on the rack on some days: `kept`, or the kind of a movement.

    Values are without sign; a return is a kind of its own.
    """
    rows = book.query(
        "SELECT 'kept', l.material, l.length, l.width, l.full, j.number FROM lot l"
        " LEFT JOIN job j ON j.id = l.job WHERE l.source = 'offcut'"
        f" AND l.day BETWEEN :first AND :last AND l.{IN_FORCE}"
        " UNION ALL SELECT m.kind, l.material, l.length, l.width, abs(m.full), j.number"
        " FROM lot l JOIN movement m ON m.lot = l.id LEFT JOIN job j ON j.id = m.job"
        " WHERE l.source = 'offcut'"
        f" AND m.day BETWEEN :first AND :last AND m.{IN_FORCE}",
        **_between(first, last),
    )
    return [
        RackMove(r[0], r[1] or "", Length(r[2]), Length(r[3]), Money(r[4]), r[5] or "")
        for r in rows
    ]


class Scrapped(NamedTuple):
    """Goods that were thrown away or damaged on some days, offcuts left out."""

    kind: str
    category: str
    words: str
    job: str
    full: Money


def scrapped(book: Book, first: date, last: date) -> list[Scrapped]:
    """What was scrapped or damaged on some days, at full value."""
    rows = book.query(
        "SELECT m.kind, l.category, m.reason, coalesce(j.number, ''), sum(-m.full) FROM movement m"
        " JOIN lot l ON l.id = m.lot LEFT JOIN job j ON j.id = m.job"
        " WHERE m.kind IN ('scrap', 'damage') AND l.source <> 'offcut'"
        f" AND m.day BETWEEN :first AND :last AND m.{IN_FORCE} GROUP BY 1, 2, 3, 4"
        " ORDER BY sum(-m.full) DESC",
        **_between(first, last),
    )
    return [Scrapped(r[0], r[1], r[2], r[3], Money(r[4])) for r in rows]


class HelperPay(NamedTuple):
    """Minutes of a helper on some days at one rate an hour, on jobs or for none."""

    person: str
    rate: Money
    has_job: bool
    minutes: int


def helper_pay(book: Book, first: date, last: date) -> list[HelperPay]:
    """What helpers worked on some days, content and the shop's own work too."""
    rows = book.query(
        "SELECT person, coalesce(rate, 0), job IS NOT NULL, sum(minutes) FROM work"
        f" WHERE person <> :owner AND day BETWEEN :first AND :last AND {IN_FORCE}"
        " GROUP BY 1, 2, 3 ORDER BY 1, 2, 3",
        owner=OWNER,
        **_between(first, last),
    )
    return [HelperPay(r[0], Money(r[1]), bool(r[2]), r[3]) for r in rows]


def costs_of_jobs(book: Book, first: date, last: date) -> list[tuple[str, Money]]:
    """Driving, outside work, fees and other costs of some days, by job."""
    rows = book.query(
        "SELECT j.number, sum(c.amount) FROM job_cost c JOIN job j ON j.id = c.job"
        " WHERE c.occasion = 'actual' AND j.kind = 'commission'"
        f" AND c.day BETWEEN :first AND :last AND c.{IN_FORCE} GROUP BY 1 ORDER BY 1",
        **_between(first, last),
    )
    return [(number, Money(amount)) for number, amount in rows]


def lost_stock(book: Book, first: date, last: date) -> list[tuple[str, Money]]:
    """What left the stock for no job, and not back to suppliers, by kind at full value."""
    rows = book.query(
        "SELECT kind, -sum(full) FROM movement WHERE job IS NULL AND kind <> 'to_supplier'"
        f" AND day BETWEEN :first AND :last AND {IN_FORCE} GROUP BY 1 ORDER BY 1",
        **_between(first, last),
    )
    return [(kind, Money(amount)) for kind, amount in rows]


class StateDay(NamedTuple):
    """A state that a commission entered on a day."""

    job: int
    state: str
    day: date


def states_entered(book: Book) -> list[StateDay]:
    """All states of commissions in the order in which they were entered."""
    rows = book.query(
        "SELECT s.job, s.state, s.day FROM job_state s JOIN job j ON j.id = s.job"
        f" WHERE j.kind = 'commission' AND s.{IN_FORCE} AND j.{IN_FORCE} ORDER BY s.id"
    )
    return [StateDay(r[0], r[1], date.fromisoformat(r[2])) for r in rows]


def _between(first: date, last: date) -> dict[str, str]:
    return {"first": first.isoformat(), "last": last.isoformat()}

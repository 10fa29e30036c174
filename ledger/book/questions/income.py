"""Questions of the close-out: helpers' pay, rework by cause, how past estimates held."""

from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import EVER, IN_FORCE
from ledger.book.questions.progress import OWNER
from ledger.measures.money import Money


class Hired(NamedTuple):
    """Minutes of helpers on a job at one rate (minor units an hour)."""

    person: str
    rate: int
    minutes: int


_HIRED = f"""SELECT person, coalesce(rate, 0), sum(minutes) FROM work
WHERE job = :job AND person <> '{OWNER}' AND {IN_FORCE} GROUP BY person, rate
ORDER BY person, rate"""


def hired(book: Book, job: int) -> list[Hired]:
    """What helpers worked on a job, by person and rate; content counts too, the shop does not."""
    return book.query_as(Hired, _HIRED, job=job)


class Rework(NamedTuple):
    """Minutes of rework of one cause and part."""

    cause: str
    part: str
    prevention: str
    minutes: int


_REWORK_OF = f"""SELECT cause, part, max(prevention), sum(minutes) FROM work
WHERE job = :job AND class = 'rework' AND {IN_FORCE} GROUP BY cause, part
ORDER BY sum(minutes) DESC"""


def rework_of(book: Book, job: int) -> list[Rework]:
    """The rework of a job by cause and part."""
    return book.query_as(Rework, _REWORK_OF, job=job)


class Mark(NamedTuple):
    """A closed job beside the points it was foretold at; hours as text, None where not kept."""

    number: str
    title: str
    day: date
    typical: str | None
    safe: str
    bad: str | None
    past_jobs: int | None
    minutes: int

    @property
    def is_under(self) -> bool:
        """Whether the job took no more than the hours foretold as safe (8 in 10)."""
        return self.minutes * 100 <= _hundredths(self.safe) * 60


class Closed(NamedTuple):
    """A job that is closed now: its price with the change orders that stand, late ones in it.

    `planned` are the hours of the plan as text, of which one sold by total has none.
    """

    job: int
    number: str
    title: str
    day: date
    price: Money
    planned: str


_CLOSED_NOW = f"""FROM close_out c JOIN job j ON j.id = c.job
LEFT JOIN foretold f ON f.deed = c.deed AND f.job = c.job
WHERE c.id IN (SELECT max(id) FROM close_out WHERE {IN_FORCE} GROUP BY job)
  AND (SELECT s.state FROM job_state s WHERE s.job = c.job AND s.{IN_FORCE}
    ORDER BY s.id DESC LIMIT 1) = 'closed'"""


_CHANGED_SINCE = f"""(SELECT coalesce(sum(o.price * ((s.{IN_FORCE}) - (s.deed < c.deed
  AND NOT EXISTS (SELECT 1 FROM deed WHERE reverses = s.deed AND id < c.deed)))), 0)
  FROM change_order o JOIN change_state s ON s.change_order = o.id AND s.state = 'approved'
  WHERE o.job = c.job)"""
"""What a credit note, or what was taken back, made of the price after a job was closed."""

_CLOSED_JOBS = f"""SELECT j.id, j.number, j.title, c.day, c.price + {_CHANGED_SINCE},
c.planned_hours {_CLOSED_NOW} AND c.job = coalesce(:job, c.job) ORDER BY c.id"""


def closed_jobs(book: Book, job: int | None = None) -> list[Closed]:
    """The jobs closed now, or the one of them, oldest first."""
    return book.query_as(Closed, _CLOSED_JOBS, job=job)


_THEN = (
    "deed < :before"
    " AND deed NOT IN (SELECT reverses FROM deed WHERE reverses IS NOT NULL AND id < :before)"
)
_GUESSED_JOBS = f"""SELECT (SELECT coalesce(sum(minutes), 0) FROM work
  WHERE job = t.job AND class IN ('work', 'first_time', 'rework') AND {_THEN}), max(0, t.minutes
  - (SELECT coalesce(sum(fewer_minutes), 0) FROM change_order o WHERE job = t.job AND {_THEN}
    AND 'approved' = (SELECT state FROM change_state WHERE change_order = o.id AND {_THEN}
      ORDER BY id DESC LIMIT 1)))
FROM job_total t
WHERE t.id IN (SELECT max(id) FROM job_total WHERE {_THEN} GROUP BY job) AND t.minutes > 0
  AND (SELECT state FROM job_state WHERE job = t.job AND {_THEN}
    ORDER BY id DESC LIMIT 1) = 'closed'
ORDER BY t.id"""


def guessed_jobs(book: Book, before: int = EVER) -> list[tuple[int, int]]:
    """Minutes worked and guessed of jobs sold in one sum, as they were closed before an entry."""
    return [tuple(row) for row in book.query(_GUESSED_JOBS, before=before)]


_ESTIMATE_MARKS = f"""SELECT j.number, j.title, c.day, f.typical, coalesce(f.safe, c.four_in_five),
f.bad, f.past_jobs, coalesce(f.minutes, c.actual_minutes) {_CLOSED_NOW}
AND CAST(coalesce(f.safe, c.four_in_five) AS REAL) > 0 ORDER BY c.id"""


def estimate_marks(book: Book) -> list[Mark]:
    """The jobs closed now beside what they were foretold at, oldest first.

    A job that was closed before the three points were kept has its four-in-five point alone; one
    that was sold by total was foretold at nothing.
    """
    return book.query_as(Mark, _ESTIMATE_MARKS)


def _hundredths(hours: str) -> int:
    whole, _, part = hours.partition(".")
    return int(whole) * 100 + int((part + "00")[:2])

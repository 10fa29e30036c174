"""Questions about jobs that are over: when they were closed or canceled, and what came after it."""

from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.book.questions.progress import JOB_CLASSES
from ledger.measures.money import Money


class ClosedJob(NamedTuple):
    """A job that was closed or canceled at the end of a day: since when, and by which entry."""

    job: int
    number: str
    title: str
    state: str
    day: date
    entry: int


class LateSum(NamedTuple):
    """What was posted to a job after it was closed or canceled, one sort of cost.

    `kind` is material, tax, work or other; of work, `minutes` at `rate` an hour (the owner's: 0).
    """

    job: int
    kind: str
    person: str
    rate: Money
    minutes: int
    full: Money
    cash: Money


_SHUT = f"""
WITH told AS (
  SELECT job, state, day, deed, row_number() OVER (PARTITION BY job ORDER BY id DESC) AS place
  FROM job_state WHERE day <= :last AND {IN_FORCE}),
shut AS (
  SELECT t.job, t.state, t.day, t.deed FROM told t
  WHERE t.place = 1 AND t.state IN ('closed', 'canceled'))
"""

_LATE = f"""
SELECT x.job, x.kind, x.person, x.rate, sum(x.minutes) AS minutes, sum(x.full) AS full,
  sum(x.cash) AS cash
FROM (
  SELECT job, deed, day, 'material' AS kind, '' AS person, 0 AS rate, 0 AS minutes, -full AS full,
    -cash AS cash FROM movement WHERE job IN (SELECT job FROM shut) AND {IN_FORCE}
  UNION ALL
  SELECT job, deed, day, 'material', '', 0, 0, -full, -cash
  FROM lot WHERE job IN (SELECT job FROM shut) AND {IN_FORCE}
  UNION ALL
  SELECT job, deed, day, 'tax', '', 0, 0, amount, amount
  FROM job_use_tax WHERE job IN (SELECT job FROM shut) AND {IN_FORCE}
  UNION ALL
  SELECT job, deed, day, 'work', person, coalesce(rate, 0), minutes, 0, 0
  FROM work WHERE job IN (SELECT job FROM shut) AND class IN ({JOB_CLASSES}) AND {IN_FORCE}
  UNION ALL
  SELECT job, deed, day, 'other', '', 0, 0, amount, amount
  FROM job_cost WHERE job IN (SELECT job FROM shut) AND occasion = 'actual' AND {IN_FORCE}
) AS x JOIN shut s ON s.job = x.job
WHERE x.deed > s.deed AND max(x.day, s.day) BETWEEN :first AND :last
GROUP BY x.job, x.kind, x.person, x.rate ORDER BY x.job, x.kind, x.person, x.rate
"""


_CLOSED_JOBS = f"""{_SHUT} SELECT s.job, j.number, j.title, s.state, s.day, s.deed FROM shut s
JOIN job j ON j.id = s.job WHERE j.kind = 'commission' AND j.{IN_FORCE} ORDER BY j.number"""


def closed_jobs(book: Book, last: date) -> list[ClosedJob]:
    """The commissions that stood closed or canceled at the end of a day, by number."""
    return book.query_as(ClosedJob, _CLOSED_JOBS, last=last)


def late_sums(book: Book, first: date, last: date) -> list[LateSum]:
    """What came to jobs after they were closed or canceled, on some days.

    What was entered late for a day before the closing counts on the day of the closing.
    """
    return book.query_as(LateSum, _SHUT + _LATE, first=first, last=last)


_SHUT_STATE = f"""SELECT state, day FROM job_state WHERE job = :job AND {IN_FORCE}
ORDER BY id DESC LIMIT 1"""


def shut_state(book: Book, job: int) -> tuple[str, date] | None:
    """Whether a job is closed or canceled now, and since when; None where it is open."""
    rows = book.query(_SHUT_STATE, job=job)
    if not rows or rows[0].state not in {"closed", "canceled"}:
        return None
    return rows[0].state, date.fromisoformat(rows[0].day)

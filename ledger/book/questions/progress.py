"""Questions about jobs on a day: which are open, what they took, how long was worked on them."""

from collections.abc import Collection
from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.measures.money import Money

OWNER = "owner"
ON_THE_JOB = ("work", "first_time", "rework", "change_order")
JOB_CLASSES = ", ".join(f"'{name}'" for name in ON_THE_JOB)


class OpenJob(NamedTuple):
    """A commission that was neither closed nor canceled at the end of a day."""

    job: int
    number: str
    title: str
    state: str


class JobSum(NamedTuple):
    """What a job had taken from stock by a day, net of returns and kept offcuts."""

    job: int
    full: Money
    cash: Money


class Worked(NamedTuple):
    """Minutes on a job by who worked them; a helper's at one rate an hour."""

    job: int
    person: str
    rate: Money
    minutes: int


class PaidByClients(NamedTuple):
    """What clients paid on a job: before the first of some days, and up to the last of them."""

    job: int
    number: str
    before: Money
    until: Money


class Minutes(NamedTuple):
    """The owner's minutes of some days: on commissions, and all that was logged."""

    on_jobs: int
    logged: int


_OPEN_JOBS = f"""WITH told AS (
  SELECT job, state, row_number() OVER (PARTITION BY job ORDER BY id DESC) AS place
  FROM job_state WHERE day <= :day AND {IN_FORCE})
SELECT j.id, j.number, j.title, coalesce(t.state, 'open')
FROM job j LEFT JOIN told t ON t.job = j.id AND t.place = 1
WHERE coalesce(t.state, 'open') NOT IN ('closed', 'canceled') AND j.kind = 'commission'
  AND j.{IN_FORCE} ORDER BY j.number"""


def open_jobs(book: Book, day: date) -> list[OpenJob]:
    """The commissions under way at the end of a day, in the order of their numbers.

    A job whose first state is of a later day counts as open: what was entered late, counts early.
    """
    return book.query_as(OpenJob, _OPEN_JOBS, day=day)


_REOPENED = f"""WITH told AS (
  SELECT job, state, lag(state) OVER (PARTITION BY job ORDER BY id) AS earlier,
    row_number() OVER (PARTITION BY job ORDER BY id DESC) AS place
  FROM job_state WHERE day <= :day AND {IN_FORCE})
SELECT j.number FROM job j JOIN told t ON t.job = j.id AND t.place = 1
WHERE t.state = 'installed' AND t.earlier IN ('closed', 'canceled') AND j.{IN_FORCE}"""


def reopened_jobs(book: Book, day: date) -> frozenset[str]:
    """The numbers of jobs opened again by a day and not said to be handed over since."""
    return frozenset(book.column(_REOPENED, day=day))


class ListedJob(NamedTuple):
    """A job as a list shows it."""

    number: str
    title: str
    client: str
    state: str


_LISTED_JOBS = f"""SELECT j.number, j.title, coalesce(c.name, ''),
  coalesce((SELECT state FROM job_state
    WHERE job = j.id AND {IN_FORCE} ORDER BY id DESC LIMIT 1), 'open')
FROM job j LEFT JOIN client c ON c.id = coalesce(j.client, (SELECT client FROM job_client
    WHERE job = j.id AND {IN_FORCE} ORDER BY id DESC LIMIT 1))
WHERE j.kind = :kind AND j.{IN_FORCE} ORDER BY j.id"""


def listed_jobs(book: Book, kind: str) -> list[ListedJob]:
    """All jobs of a kind with their client and state, in the order they were opened."""
    return book.query_as(ListedJob, _LISTED_JOBS, kind=kind)


def material_of_jobs(book: Book, day: date, jobs: Collection[int]) -> dict[int, JobSum]:
    """What some jobs had taken from stock by a day, with the use tax on it."""
    these = f"({', '.join(str(int(job)) for job in jobs)})"
    rows = book.query_as(
        JobSum,
        f"""SELECT job, sum(full) AS full, sum(cash) AS cash FROM (
          SELECT job, -sum(full) AS full, -sum(cash) AS cash FROM movement
          WHERE job IN {these} AND day <= :day AND {IN_FORCE} GROUP BY job
          UNION ALL SELECT job, -sum(full), -sum(cash) FROM lot
          WHERE job IN {these} AND day <= :day AND {IN_FORCE} GROUP BY job
          UNION ALL SELECT job, sum(amount), sum(amount) FROM job_use_tax
          WHERE job IN {these} AND day <= :day AND {IN_FORCE} GROUP BY job) GROUP BY job""",
        day=day,
    )
    return {row.job: row for row in rows}


_OTHER_COSTS_OF_JOBS = f"""SELECT job, sum(amount) FROM job_cost
WHERE occasion = 'actual' AND day <= :day AND {IN_FORCE} GROUP BY job"""


def other_costs_of_jobs(book: Book, day: date) -> dict[int, Money]:
    """What had been noted on every job by a day beside material and hours."""
    rows = book.query(_OTHER_COSTS_OF_JOBS, day=day)
    return {job: Money(amount) for job, amount in rows}


_WORK_ON_JOBS = f"""SELECT job, person, coalesce(rate, 0) AS rate, sum(minutes) AS minutes FROM work
WHERE job IS NOT NULL AND class IN ({JOB_CLASSES}) AND day <= :day AND {IN_FORCE}
GROUP BY job, person, rate ORDER BY job, person, rate"""


def work_on_jobs(book: Book, day: date) -> list[Worked]:
    """What had been worked on every job by a day, content left out."""
    return book.query_as(Worked, _WORK_ON_JOBS, day=day)


_OWNER_MINUTES = f"""SELECT coalesce(sum(CASE WHEN class IN ({JOB_CLASSES}) THEN minutes END), 0),
coalesce(sum(minutes), 0) FROM work WHERE person = '{OWNER}' AND day BETWEEN :first AND :last
AND {IN_FORCE}"""


def owner_minutes(book: Book, first: date, last: date) -> Minutes:
    """How much of the owner's logged time of some days was on commissions."""
    (minutes,) = book.query_as(Minutes, _OWNER_MINUTES, first=first, last=last)
    return minutes


_PAID_ON_JOBS = f"""SELECT j.id, j.number, sum(iif(p.day < :first, p.amount, 0)) AS before,
sum(p.amount) AS until FROM payment p JOIN job j ON j.id = p.job
WHERE p.day <= :last AND p.{IN_FORCE} GROUP BY j.id ORDER BY j.number"""


def paid_on_jobs(book: Book, first: date, last: date) -> list[PaidByClients]:
    """What clients had paid on each job before some days and by the end of them."""
    return book.query_as(PaidByClients, _PAID_ON_JOBS, first=first, last=last)


_UNPAID_JOBS = f"""
WITH asked AS (SELECT job, sum(price + tax) AS amount FROM due WHERE {IN_FORCE} GROUP BY job),
  came AS (SELECT job, sum(amount) AS amount FROM payment WHERE {IN_FORCE} GROUP BY job)
SELECT j.id FROM asked a JOIN job j ON j.id = a.job LEFT JOIN came c ON c.job = a.job
WHERE a.amount > coalesce(c.amount, 0) AND j.kind = 'commission' AND j.{IN_FORCE}
  AND EXISTS (SELECT 1 FROM agreement WHERE job = j.id AND {IN_FORCE})
  AND coalesce((SELECT state FROM job_state WHERE job = j.id AND {IN_FORCE}
    ORDER BY id DESC LIMIT 1), 'open') <> 'canceled' ORDER BY j.id"""


def unpaid_jobs(book: Book) -> list[int]:
    """The jobs that are agreed, not canceled, and paid less than they ask for, oldest first."""
    return book.column(_UNPAID_JOBS)


_CHANGED_JOBS = f"""SELECT job FROM cancellation WHERE day BETWEEN :first AND :last AND {IN_FORCE}
UNION SELECT job FROM job_state WHERE day BETWEEN :first AND :last AND {IN_FORCE}
UNION SELECT job FROM change_state s JOIN change_order c ON c.id = s.change_order
WHERE s.day BETWEEN :first AND :last AND s.{IN_FORCE}
UNION SELECT job FROM agreement WHERE day BETWEEN :first AND :last AND {IN_FORCE}
UNION SELECT job FROM payment WHERE day BETWEEN :first AND :last AND {IN_FORCE}"""


def changed_jobs(book: Book, first: date, last: date) -> set[int]:
    """The jobs whose state, agreement, cancellation, changes or payments are of some days."""
    return set(book.column(_CHANGED_JOBS, first=first, last=last))


_OVERPAID_JOBS = f"""SELECT job FROM payment WHERE (:day IS NULL OR day <= :day) AND {IN_FORCE}
GROUP BY job HAVING sum(amount) > (SELECT coalesce(sum(price + tax), 0) FROM due
  WHERE due.job = payment.job AND due.{IN_FORCE}) ORDER BY job"""


def overpaid_jobs(book: Book, day: date | None) -> list[int]:
    """The jobs of which more came by a day than they ever ask for."""
    return book.column(_OVERPAID_JOBS, day=day)


_OVERINVOICED_JOBS = f"""SELECT job FROM invoice WHERE kind <> 'request' AND {IN_FORCE}
GROUP BY job HAVING sum(asked) > (SELECT coalesce(sum(price + tax), 0) FROM due
  WHERE due.job = invoice.job AND due.{IN_FORCE}) ORDER BY job"""


def overinvoiced_jobs(book: Book) -> list[int]:
    """The jobs of which more is invoiced than they were ever agreed at, credit notes taken off."""
    return book.column(_OVERINVOICED_JOBS)


_FEWER_MINUTES = f"""SELECT coalesce(sum(o.fewer_minutes), 0) FROM change_order o
WHERE o.job = :job AND o.{IN_FORCE} AND 'approved' = (SELECT s.state FROM change_state s
  WHERE s.change_order = o.id AND s.{IN_FORCE} ORDER BY s.id DESC LIMIT 1)"""


def fewer_minutes(book: Book, job: int) -> int:
    """Minutes that approved change orders take off the hours of a job."""
    return int(book.column(_FEWER_MINUTES, job=job)[0])


_PAID_BEYOND_INVOICES = f"""SELECT job FROM payment WHERE {IN_FORCE}
GROUP BY job HAVING max(day BETWEEN :first AND :last) AND sum(amount) > (
  SELECT coalesce(sum(asked), 0) FROM invoice
  WHERE invoice.job = payment.job AND kind <> 'request' AND invoice.{IN_FORCE}) ORDER BY job"""


def paid_beyond_invoices(book: Book, first: date, last: date) -> list[int]:
    """The jobs paid on some of these days of which more came than invoices ask for, till today."""
    return book.column(_PAID_BEYOND_INVOICES, first=first, last=last)


def paid_or_quoted(book: Book) -> set[int]:
    """The jobs about which there ever was a quote or a payment, taken back or not."""
    return set(book.column("SELECT job FROM quote UNION SELECT job FROM payment"))


def agreed_jobs(book: Book) -> set[int]:
    """The jobs for which a price is agreed."""
    return set(book.column(f"SELECT job FROM agreement WHERE {IN_FORCE}"))


def has_lines(book: Book) -> bool:
    """Whether any job ever had a typed line."""
    return bool(book.query("SELECT 1 FROM job_line LIMIT 1"))


def has_sponsors(book: Book) -> bool:
    """Whether a sponsor was ever entered."""
    return bool(book.query("SELECT 1 FROM sponsor LIMIT 1"))


def designs_in_use(book: Book) -> dict[int, int]:
    """The design's version that each job is made of, by job; jobs without a design are left out."""
    rows = book.query(f"SELECT job, design, MAX(id) FROM job_basis WHERE {IN_FORCE} GROUP BY job")
    return {job: design for job, design, _ in rows}

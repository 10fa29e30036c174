"""Work in progress: what every open job had cost by a day.

Canceled jobs in a time: what left work in progress, what was kept, what is still to settle.

What clients paid in a time, the tax in it, and what is held until the work is done.
"""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.closing import LateSum, closed_jobs, late_sums
from ledger.book.questions.progress import (
    OWNER,
    JobSum,
    OpenJob,
    Worked,
    changed_jobs,
    material_of_jobs,
    open_jobs,
    other_costs_of_jobs,
    paid_on_jobs,
    work_on_jobs,
)
from ledger.book.tables.ground import Job
from ledger.jobs.late import EVER
from ledger.jobs.payments import Settlement, settlements, taxes_in
from ledger.measures.grouped import grouped
from ledger.measures.money import Money, total

NOTHING = Money(0)
_MATERIAL = ("material", "tax")


class JobInProgress(Struct, frozen=True):
    """An open job with the material, the help, the owner's hours and the other costs in it.

    `received` is all that the client had paid by then, tax included.

    `owner` is the owner's hours at the break-even rate; for a tax view they are left out, as the
    owner's own labor is no purchase.
    """

    number: str
    title: str
    state: str
    material: Money
    material_cash: Money
    helpers: Money
    owner_minutes: int
    owner: Money
    other: Money
    """The work of others, driving, fees and what else was noted as it came."""
    received: Money

    @property
    def cost(self) -> Money:
        """What is in the job at full cost."""
        return self.material + self.helpers + self.owner + self.other

    @property
    def uncovered(self) -> Money:
        """Cost less what was received; negative where the client paid ahead."""
        return self.cost - self.received


def work_in_progress(book: Book, day: date) -> list[JobInProgress]:
    """The open jobs of a day with what they had cost by then, jobs without anything left out."""
    costs = costs_of_jobs(book, day, open_jobs(book, day))
    return [job for job in costs if job.material or job.helpers or job.owner_minutes or job.other]


def costs_of_jobs(
    book: Book, day: date, wanted: Sequence[OpenJob], without: Sequence[LateSum] = ()
) -> list[JobInProgress]:
    """What some jobs had cost by a day, in their order; `without` are costs that do not count."""
    taken = material_of_jobs(book, day, [job.job for job in wanted])
    noted = other_costs_of_jobs(book, day)
    worked = grouped([*work_on_jobs(book, day), *map(_taken_off, without)], _job_of)
    taken_off = grouped(without, _job_of)
    paid = {row.job: row.until for row in paid_on_jobs(book, day, day)}
    rate = NOTHING
    if any(row.person == OWNER for rows in worked.values() for row in rows):
        from ledger.jobs.shop_rates import break_even  # a quiet month has no hours to value

        rate = break_even(book)
    costs = []
    for job in wanted:
        material = taken.get(job.job, JobSum(job.job, NOTHING, NOTHING))
        after = taken_off.get(job.job, [])
        late = [row for row in after if row.kind in _MATERIAL]
        mine = _by_rate(worked.get(job.job, []))
        minutes = sum(row.minutes for row in mine if row.person == OWNER)
        costs.append(
            JobInProgress(
                number=job.number,
                title=job.title,
                state=job.state,
                material=material.full - total(row.full for row in late),
                material_cash=material.cash - total(row.cash for row in late),
                helpers=total(
                    row.rate.times(Fraction(row.minutes, 60)) for row in mine if row.person != OWNER
                ),
                owner_minutes=minutes,
                owner=rate.times(Fraction(minutes, 60)),
                other=noted.get(job.job, NOTHING)
                - total(row.full for row in after if row.kind == "other"),
                received=paid.get(job.job, NOTHING),
            )
        )
    return costs


def _job_of(row: Worked | LateSum) -> int:
    return row.job


def _taken_off(row: LateSum) -> Worked:
    return Worked(row.job, row.person, row.rate, -row.minutes)


def _by_rate(rows: Iterable[Worked]) -> list[Worked]:
    """Minutes of one person at one rate added up, so that each is rounded to money once."""
    by_rate: dict[tuple[str, Money], Worked] = {}
    for row in rows:
        before = by_rate.get((row.person, row.rate))
        minutes = row.minutes + (before.minutes if before else 0)
        by_rate[row.person, row.rate] = row._replace(minutes=minutes)
    return list(by_rate.values())


class CanceledJob(Struct, frozen=True):
    """A canceled job: what it had cost until then, and how its settlement stands.

    `progress` is what left work in progress with it, without what came after the cancellation.
    """

    settlement: Settlement
    progress: JobInProgress

    @property
    def result(self) -> Money:
        """What was kept before tax, less all that it had cost: negative where it was a loss."""
        kept = self.settlement.canceled.kept - self.settlement.canceled.tax
        return kept - self.progress.cost


def canceled_jobs(book: Book, first: date, last: date) -> list[CanceledJob]:
    """The jobs that were canceled in a time or are not settled at the end of it, by number."""
    shown = [
        one
        for one in settlements(book, last)
        if not one.is_settled or first <= one.canceled.day <= last
    ]
    return sorted(_with_costs(book, shown, last), key=lambda row: row.settlement.job.number)


def _with_costs(book: Book, shown: Sequence[Settlement], last: date) -> list[CanceledJob]:
    if not shown:
        return []
    known = [OpenJob(s.job.key, s.job.number, s.job.title, "canceled") for s in shown]
    late = late_sums(book, EVER, last)
    costs = {row.number: row for row in costs_of_jobs(book, last, known, late)}
    return [CanceledJob(one, costs[one.job.number]) for one in shown]


_HELD_NO_MORE = {"installed"}


class PaidOnJob(Struct, frozen=True):
    """One job: received in the time, the tax in that, and what is held at the end of it."""

    job: str
    received: Money
    tax: Money
    held: Money


def money_in(book: Book, first: date, last: date) -> list[PaidOnJob]:
    """What clients paid, a row a job; what a job holds from before shows too.

    The tax in a payment is worked out when it comes, so a later change order leaves the months
    before it as they were. In the month of a cancellation the tax that was counted before goes out
    again, but for that in what is kept.
    """
    waiting = {job.job for job in open_jobs(book, last) if job.state not in _HELD_NO_MORE}
    changed = changed_jobs(book, first, last)
    rows = []
    for paid in paid_on_jobs(book, first, last):
        came, tax = paid.until - paid.before, Money(0)
        job = book.row(Job, paid.job) if paid.job in changed else None
        if job is not None:
            until, before = taxes_in(book, job, (last, first - timedelta(days=1)))
            tax = until - before
        held = paid.until if paid.job in waiting else Money(0)
        rows.append(PaidOnJob(paid.number, came, tax, held))
    return [row for row in rows if row.received or row.tax or row.held]


def states_on(book: Book, day: date) -> dict[str, str]:
    """The states of jobs that were open or canceled at the end of a day; all others are done."""
    over = {job.number: job.state for job in closed_jobs(book, day) if job.state == "canceled"}
    return over | {job.number: job.state for job in open_jobs(book, day)}

"""Work in progress: what every open job had cost by a day."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.closing import LateSum
from ledger.book.questions.progress import (
    OWNER,
    JobSum,
    OpenJob,
    Worked,
    material_of_jobs,
    open_jobs,
    paid_on_jobs,
    work_on_jobs,
)
from ledger.measures.money import Money, total

NOTHING = Money(0)
_MATERIAL = ("material", "tax")


@dataclass(frozen=True, slots=True)
class JobInProgress:
    """An open job with the material, the help and the owner's hours that are in it.

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
    received: Money

    @property
    def cost(self) -> Money:
        """What is in the job at full cost."""
        return self.material + self.helpers + self.owner

    @property
    def uncovered(self) -> Money:
        """Cost less what was received; negative where the client paid ahead."""
        return self.cost - self.received


def work_in_progress(book: Book, day: date) -> list[JobInProgress]:
    """The open jobs of a day with what they had cost by then, jobs without anything left out."""
    costs = costs_of_jobs(book, day, open_jobs(book, day))
    return [job for job in costs if job.material or job.helpers or job.owner_minutes]


def costs_of_jobs(
    book: Book, day: date, wanted: Sequence[OpenJob], without: Sequence[LateSum] = ()
) -> list[JobInProgress]:
    """What some jobs had cost by a day, in their order; `without` are costs that do not count."""
    taken = material_of_jobs(book, day, [job.job for job in wanted])
    worked = [*work_on_jobs(book, day), *(_taken_off(row) for row in without)]
    paid = {row.job: row.until for row in paid_on_jobs(book, day, day)}
    rate = NOTHING
    if any(row.person == OWNER for row in worked):
        from ledger.jobs.shop_rates import break_even  # a quiet month has no hours to value

        rate = break_even(book)
    costs = []
    for job in wanted:
        material = taken.get(job.job, JobSum(job.job, NOTHING, NOTHING))
        late = [row for row in without if row.job == job.job and row.kind in _MATERIAL]
        mine = _by_rate(row for row in worked if row.job == job.job)
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
                received=paid.get(job.job, NOTHING),
            )
        )
    return costs


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

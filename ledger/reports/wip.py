"""Work in progress: what every open job had cost by a day."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.progress import (
    OWNER,
    JobSum,
    material_of_jobs,
    open_jobs,
    paid_on_jobs,
    work_on_jobs,
)
from ledger.jobs.shop_rates import rates_of
from ledger.measures.money import Money, total

NOTHING = Money(0)


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
    waiting = open_jobs(book, day)
    taken = material_of_jobs(book, day, [job.job for job in waiting])
    worked = work_on_jobs(book, day)
    paid = {row.job: row.until for row in paid_on_jobs(book, day, day)}
    rate = _break_even(book) if any(row.person == OWNER for row in worked) else NOTHING
    found = []
    for job in waiting:
        material = taken.get(job.job, JobSum(job.job, NOTHING, NOTHING))
        mine = [row for row in worked if row.job == job.job]
        minutes = sum(row.minutes for row in mine if row.person == OWNER)
        found.append(
            JobInProgress(
                number=job.number,
                title=job.title,
                state=job.state,
                material=material.full,
                material_cash=material.cash,
                helpers=total(
                    row.rate.times(Fraction(row.minutes, 60)) for row in mine if row.person != OWNER
                ),
                owner_minutes=minutes,
                owner=rate.times(Fraction(minutes, 60)),
                received=paid.get(job.job, NOTHING),
            )
        )
    return [job for job in found if job.material or job.helpers or job.owner_minutes]


def _break_even(book: Book) -> Money:
    """The break-even rate; nothing while the shop's yearly figures are not set."""
    if book.setting("overhead_year") is None or book.setting("pay_year") is None:
        return NOTHING
    return rates_of(book).break_even

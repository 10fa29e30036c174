"""What came to jobs after they were closed or canceled: cost that no close-out had seen.

Material net of what came back, use tax on it, hours (the owner's at break-even), miles and fees.
What was entered late for a day before the closing counts on the day of the closing.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.closing import ClosedJob, LateSum, closed_jobs, late_sums
from ledger.book.tables.ground import Job
from ledger.labor.people import OWNER
from ledger.measures.money import Money, total

EVER = date.min


class LateCost(Struct, frozen=True):
    """The late cost of one job; `cost` is material at full value, tax, hours and other costs."""

    job: ClosedJob
    material: Money
    material_cash: Money
    use_tax: Money
    helpers: Money
    owner_minutes: int
    owner: Money
    other: Money

    @property
    def cost(self) -> Money:
        """All of it at full cost; below zero where more came back than was added."""
        return self.material + self.use_tax + self.helpers + self.owner + self.other

    @property
    def is_empty(self) -> bool:
        """Whether nothing came, or all of it went back again."""
        return not (self.cost or self.material or self.material_cash or self.owner_minutes)


def late_costs(book: Book, first: date, last: date) -> list[LateCost]:
    """The late cost of some days, a row a job, by number."""
    sums = late_sums(book, first, last)
    if not sums:
        return []
    from ledger.jobs.shop_rates import break_even  # most months have no late cost to value

    rate = break_even(book)
    costs = []
    for job in closed_jobs(book, last):
        mine = [row for row in sums if row.job == job.job]
        late = _cost(job, mine, rate)
        if not late.is_empty:
            costs.append(late)
    return costs


def late_cost_of(book: Book, job: Job) -> LateCost | None:
    """What came to a job since it was closed or canceled; None where nothing did."""
    rows = [row for row in late_costs(book, EVER, book.today) if row.job.job == job.key]
    return rows[0] if rows else None


def _cost(job: ClosedJob, rows: Sequence[LateSum], rate: Money) -> LateCost:
    def sum_of(kind: str) -> Money:
        return total(row.full for row in rows if row.kind == kind)

    worked = [row for row in rows if row.kind == "work"]
    minutes = sum(row.minutes for row in worked if row.person == OWNER)
    helped = (row for row in worked if row.person != OWNER)
    return LateCost(
        job=job,
        material=sum_of("material"),
        material_cash=total(row.cash for row in rows if row.kind == "material"),
        use_tax=sum_of("tax"),
        helpers=total(row.rate.times(Fraction(row.minutes, 60)) for row in helped),
        owner_minutes=minutes,
        owner=rate.times(Fraction(minutes, 60)),
        other=sum_of("other"),
    )

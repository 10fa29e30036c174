"""Material of a canceled job that was to go back to its seller, until it has gone.

The cancellation says what it is worth, at what it was issued at; what the job gave back since,
to its seller or to stock, takes that much off.
"""

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.stock import JobUse
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Cancellation
from ledger.jobs.agreement import cancellation_of
from ledger.jobs.answers import is_bill_of_others
from ledger.measures.money import Money, total


class GoodsToReturn(Struct, frozen=True):
    """What of a canceled job's material has still to go back, and which goods the job has."""

    job: Job
    amount: Money
    goods: tuple[JobUse, ...]

    @property
    def is_all(self) -> bool:
        """Whether all that the job has is to go back."""
        return self.amount == total(use.full for use in self.goods)


def goods_to_return(book: Book, job: Job, day: date | None = None) -> GoodsToReturn | None:
    """What had still to go back at the end of a day; None where nothing had, or all has gone."""
    canceled = cancellation_of(book, job, day)
    if canceled is None or not canceled.returnable:
        return None
    from ledger.book.tables.stock import Movement  # few jobs have anything to go back
    from ledger.stock.worth import job_material

    gone = total(
        row.full
        for row in book.rows(Movement, job=job.key, kind="return")
        if row.entry > _first_of(book, job, canceled) and (day is None or row.day <= day)
    )
    left = canceled.returnable - gone
    if left <= Money(0):
        return None
    taken = job_material(book, job.key)
    goods = tuple(use for use in taken if use.quantity and use.full and not is_bill_of_others(use))
    return GoodsToReturn(job, left, goods)


def all_goods_to_return(book: Book, day: date | None = None) -> Sequence[GoodsToReturn]:
    """The same of every job that was canceled by the end of a day, by number."""
    numbers = {row.job for row in book.rows(Cancellation) if row.returnable}
    jobs = sorted(book.rows_of(Job, numbers), key=lambda one: one.number)
    goods = [goods_to_return(book, job, day) for job in jobs]
    return [one for one in goods if one is not None]


def _first_of(book: Book, job: Job, canceled: Cancellation) -> int:
    """The entry that said what goes back; later settlements of the same job carry it on."""
    same = [row for row in book.rows(Cancellation, job=job.key) if row.returnable]
    since = canceled
    for row in reversed(same):
        if row.key <= since.key and row.returnable == canceled.returnable:
            since = row
        else:
            break
    return since.entry

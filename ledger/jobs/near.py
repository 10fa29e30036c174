"""The nearest past jobs, to hold a price against: what they brought an hour."""

from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.book.tables.ground import Job, PastJob, PastLine
from ledger.costing.sheet import PastJobNear
from ledger.measures.duration import to_hours

SHOWN = 3


def near_jobs(book: Book, hours: Decimal) -> tuple[PastJobNear, ...]:
    """The past jobs whose hours are nearest to these, nearest first.

    Earned an hour: (price − material − helper − other costs) ÷ the owner's hours, rework included,
    before overhead.
    """
    minutes: dict[int, int] = {}
    for line in book.rows(PastLine):
        minutes[line.job] = minutes.get(line.job, 0) + line.minutes
    wage = book.setting("helper_cost")
    found = []
    for past in book.rows(PastJob):
        job = book.row(Job, past.job)
        worked = minutes.get(past.job, 0) + past.rework_minutes
        owner = worked - past.helper_minutes
        if job is None or owner <= 0:
            continue
        helper = wage.times(Fraction(past.helper_minutes, 60))
        earned = (past.price - past.material - helper - past.other).times(Fraction(60, owner))
        found.append(PastJobNear(job.number, job.title, past.price, to_hours(worked), earned))
    found.sort(key=lambda near: (abs(near.hours - hours), near.number))
    return tuple(found[:SHOWN])

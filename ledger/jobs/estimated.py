"""Which operations a job's estimate has hours for: what hours are likely meant for."""

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed
from ledger.jobs.lines import is_work_order
from ledger.labor.plan import plan_of


def estimated_operations(book: Book, job: Job) -> frozenset[str]:
    """The operations that a job's estimate has hours for: of its kept plan, else of its lines.

    The estimate of a design is not worked out for it: that may take seconds.
    """
    hours = plan_of(book, job)
    if hours is None and is_work_order(book, job):
        from ledger.jobs.pricing import estimate_of  # a kept plan needs no price

        try:
            hours = estimate_of(book, job)
        except NotAllowed:  # a material of it has no price
            hours = None
    return frozenset(code for code, planned in (hours or {}).items() if planned)

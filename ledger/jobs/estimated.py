"""Which operations a job's estimate has hours for: what hours are likely meant for."""

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.lines import has_design, is_work_order
from ledger.labor.plan import plan_of
from ledger.labor.standards import standards


def estimated_operations(book: Book, job: Job) -> frozenset[str]:
    """The operations that a job's estimate has hours for: of its kept plan, else of what it is.

    Of a design only what its lists count: laying it out may take seconds.
    """
    hours = plan_of(book, job)
    if hours is None and has_design(book, job):
        return _counted(book, job)
    if hours is None and is_work_order(book, job):
        from ledger.jobs.pricing import estimate_of  # a kept plan needs no price

        try:
            hours = estimate_of(book, job)
        except NotAllowed:  # a material of it has no price
            hours = None
    return frozenset(code for code, planned in (hours or {}).items() if planned)


def _counted(book: Book, job: Job) -> frozenset[str]:
    """The operations that a design's lists or counts by hand have something to do for."""
    from ledger.jobs.answers import counts_of
    from ledger.jobs.assembling import built_of

    try:
        counts = built_of(book, job).counts
    except (NotAllowed, BadValue):  # a material of it is not in the price list, or it cannot be
        return frozenset()
    by_hand = {code: row.driver.fraction for code, row in counts_of(book, job).items()}
    derived = {
        code: counts[row.driver].quantity
        for code, row in standards(book).items()
        if row.driver in counts
    }
    return frozenset(code for code, count in (derived | by_hand).items() if count)

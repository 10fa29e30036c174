"""What was built where a job was changed after it was agreed: what its hours stand beside."""

from contextlib import suppress

from ledger.book import Book
from ledger.book.questions.labor import planned_hours
from ledger.book.tables.ground import Job, JobBasis
from ledger.costing.sheet import SheetHours
from ledger.errors import LedgerError
from ledger.jobs.pricing import price_job


def hours_as_changed(book: Book, job: Job) -> dict[str, SheetHours]:
    """The hours of a job as it is made now, where design or pieces changed since it was agreed.

    Hours teach beside what was built; beside the counts of the quote they would teach too little.
    """
    planned, basis = planned_hours(book, job.key), book.last(JobBasis, job=job.key)
    if not planned or planned[0].basis != "quote" or basis is None:
        return {}
    if basis.entry < planned[0].entry:
        return {}
    with suppress(LedgerError):  # what cannot be priced any more stays as planned
        return {line.operation: line for line in price_job(book, job).hours}
    return {}

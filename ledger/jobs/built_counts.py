"""What was built where a job was changed after it was agreed: what its hours stand beside."""

from collections.abc import Collection
from contextlib import suppress

from ledger.book import Book
from ledger.book.questions.labor import planned_hours
from ledger.book.tables.counts import JobCount
from ledger.book.tables.ground import Job, JobBasis
from ledger.costing.sheet import SheetHours
from ledger.errors import LedgerError
from ledger.jobs.lines import line_counts
from ledger.jobs.pricing import price_job


def post_typed(book: Book, job: Job, worked: Collection[str]) -> None:
    """Post the counts of typed work that a guess of the whole job took in: its hours teach too."""
    for code, count in line_counts(book, job).items():
        if code in worked:
            book.post(
                JobCount(job=job.key, operation=code, driver=count.driver, occasion="built",
                         words="as planned: typed")
            )  # fmt: skip


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

"""What was built where a job was changed after it was agreed: what its hours stand beside."""

from collections.abc import Collection, Iterable
from contextlib import suppress

from ledger.book import Book
from ledger.book.questions.labor import Built, planned_hours
from ledger.book.tables.counts import JobCount
from ledger.book.tables.ground import Job, JobBasis
from ledger.costing.sheet import SheetHours
from ledger.errors import LedgerError
from ledger.jobs.answers import counts_of
from ledger.jobs.lines import line_counts, timed_operations
from ledger.jobs.pricing import price_job
from ledger.measures.quantity import Quantity


def counts_at_closing(
    book: Book, job: Job, lines: Iterable[SheetHours], guessed: Collection[str]
) -> list[JobCount]:
    """The counts as built that closing a job posts, those that stand already left out.

    `lines` are those of the plan. `guessed` are the operations with hours of a job whose guess took
    its typed work in: that teaches too.
    """
    built = counts_of(book, job, "built").keys() | timed_operations(book, job)
    changed, counts = hours_as_changed(book, job), dict[str, tuple[Quantity, str]]()
    for line in lines:
        now = changed.get(line.operation)
        counts[line.operation] = Quantity.of(line.driver), f"as planned: {line.basis}"
        if now is not None:
            counts[line.operation] = Quantity.of(now.driver), f"as changed: {now.basis}"
    for code, count in (line_counts(book, job) if guessed else {}).items():
        if code in guessed:
            counts[code] = count.driver, "as planned: typed"
    return [
        JobCount(job=job.key, operation=code, driver=driver, occasion="built", words=words)
        for code, (driver, words) in counts.items()
        if code not in built
    ]


def built_if_closed(
    book: Book, job: Job, lines: Iterable[SheetHours], guessed: Collection[str]
) -> list[Built]:
    """All counts as built that an open job would have, were it closed now."""
    standing = counts_of(book, job, "built").values()
    return [
        Built(job.key, job.number, row.operation, row.driver.millionths, row.words)
        for row in (*standing, *counts_at_closing(book, job, lines, guessed))
    ]


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

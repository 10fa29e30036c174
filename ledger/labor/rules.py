"""When hours may be taken back: one clock at most, no hours of nothing, closed jobs as they are."""

from ledger.book import Book
from ledger.book.questions.labor import jobs_of_work, unknown_operations, work_without_job
from ledger.book.tables.ground import Deed, Job, JobState
from ledger.errors import NotAllowed
from ledger.labor.clock import one_clock_at_most


def closed_jobs_keep_their_hours(book: Book, deed: Deed) -> None:
    """Refuse to take back hours of a job that was closed with them; content may go at any time.

    Raises:
        NotAllowed: one of the jobs is closed.
    """
    for number in jobs_of_work(book, deed.id or 0):
        state = book.last(JobState, job=number)
        job = book.row(Job, number)
        if job is not None and state is not None and state.state == "closed":
            raise NotAllowed(
                f"{job.number} was closed with these hours. Open it again first:"
                f" benchledger job reopen {job.number} --why TEXT"
            )


def hours_keep_their_job_and_operation(book: Book, deed: Deed) -> None:
    """Refuse to take back a job that has hours, or the standard of an operation that is in use.

    Raises:
        NotAllowed: hours or past jobs would be left without.
    """
    orphans = work_without_job(book)
    if orphans:
        raise NotAllowed(
            f"Hours are logged on {', '.join(orphans)}, which deed {deed.id} opened;"
            " take them back first: benchledger undo --list"
        )
    unknown = unknown_operations(book)
    if unknown:
        raise NotAllowed(f"The standards of {', '.join(unknown)} are in use; they stay.")


REVERSAL_RULES = (
    one_clock_at_most,
    closed_jobs_keep_their_hours,
    hours_keep_their_job_and_operation,
)
"""What undoing must leave true of hours."""

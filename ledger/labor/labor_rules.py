"""When hours may be taken back: one clock at most, closed jobs as they are."""

from ledger.book import Book
from ledger.book.questions.labor import jobs_of_work
from ledger.book.tables.ground import Job, JobState, JournalEntry
from ledger.errors import NotAllowed
from ledger.labor.clock import one_clock_at_most


def closed_jobs_keep_their_hours(book: Book, entry: JournalEntry) -> None:
    """Refuse to take back hours of a job that was closed with them; content may go at any time.

    Raises:
        NotAllowed: one of the jobs is closed.
    """
    for number in jobs_of_work(book, entry.id or 0):
        state = book.last(JobState, job=number)
        job = book.row(Job, number)
        if job is not None and state is not None and state.state == "closed":
            raise NotAllowed(
                f"{job.number} was closed with these hours. Open it again first:"
                f" benchledger job reopen {job.number} --why TEXT"
            )


REVERSAL_RULES = (one_clock_at_most, closed_jobs_keep_their_hours)
"""What undoing must leave true of hours."""

"""Jobs that are over: what would change their account is refused unless the owner says the word."""

from ledger.book.journal import Book
from ledger.book.questions.closing import shut_state
from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed


def shut_words(book: Book, job: int) -> str:
    """Why a job takes no more cost, as a sentence; nothing where it does.

    A job that is open does, and so does every job where the owner said that the entry belongs to
    it although it is over (`book.after_close`); of a job that is open it is kept that the word did
    nothing.
    """
    over = shut_state(book, job)
    if book.after_close:
        if over is None:
            book.open_all_the_same.add(job)
        return ""
    row = None if over is None else book.row(Job, job)
    if over is None or row is None:
        return ""
    state, since = over
    return (
        f"{row.number} is {state} since {since}; what comes to it now changes an account that was"
        " taken. If it belongs there, say so: --after-close. Or open it again first: benchledger"
        f" job reopen {row.number} --why TEXT"
    )


def require_open_job(book: Book, job: int) -> None:
    """Refuse cost for a job that is over.

    Raises:
        NotAllowed: the job is closed or canceled, and the owner did not say that it belongs there.
    """
    refusal = shut_words(book, job)
    if refusal:
        raise NotAllowed(refusal)

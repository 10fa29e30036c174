"""States that are said by hand; closing and canceling a job have verbs of their own."""

from datetime import date

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.errors import Ambiguous, NotAllowed, NotFound
from ledger.jobs.jobs import SHUT, STATES, set_state, state_of

OWN_VERBS = {"closed": "job close", "canceled": "job cancel"}


def find_state(text: str) -> str:
    """The state of that name, or of an unambiguous part of it.

    Raises:
        NotAllowed: a job is closed or canceled by a command of its own.
        NotFound: there is no such state.
        Ambiguous: several answer.

    >>> find_state("build"), find_state("Material ordered")
    ('building', 'material ordered')
    """
    sought = text.strip().casefold()
    near = [state for state in STATES if sought and sought in state]
    matches = [state for state in near if state == sought] or near
    if len(matches) > 1:
        raise Ambiguous("state", text, matches)
    if not matches:
        raise NotFound("state", text, STATES, are_all=True)
    if matches[0] in OWN_VERBS:
        raise NotAllowed(f"A job is {matches[0]} by: benchledger {OWN_VERBS[matches[0]]} JOB")
    return matches[0]


def enter_state(book: Book, job: Job, text: str, *, day: date, why: str = "") -> None:
    """Post the state that is said by hand; a job that is over is opened again first.

    Raises:
        NotAllowed: the job is closed or canceled, or the day lies ahead or in a closed month.
    """
    entered, now = find_state(text), state_of(book, job)
    if now in SHUT:
        raise NotAllowed(
            f"{job.number} is {now}. Open it again first:"
            f" benchledger job reopen {job.number} --why TEXT"
        )
    set_state(book, job, entered, day=day, why=why)

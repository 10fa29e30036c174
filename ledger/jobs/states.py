"""States that are said by hand; closing and canceling a job have verbs of their own."""

from ledger.errors import Ambiguous, NotAllowed, NotFound
from ledger.jobs.jobs import STATES

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
    found = [state for state in near if state == sought] or near
    if len(found) > 1:
        raise Ambiguous("state", text, found)
    if not found:
        raise NotFound("state", text, STATES, are_all=True)
    if found[0] in OWN_VERBS:
        raise NotAllowed(f"A job is {found[0]} by: benchledger {OWN_VERBS[found[0]]} JOB")
    return found[0]

"""The jobs of the book: opened, found by name, in a state, on a basis of design and parameters.

States that are said by hand; closing and canceling a job have verbs of their own.

Who a job is for: name, address, how to reach them, VAT number, entered once for all papers.
"""

import json
import re
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.journal import DESCRIBED
from ledger.book.questions.numbers import jobs_numbered
from ledger.book.tables.ground import Job, JobBasis, JobState
from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound

if TYPE_CHECKING:
    from ledger.book.tables.clients import Client

STATES = (
    "open", "won", "deposit paid", "material ordered", "building", "finishing", "ready",
    "installed", "closed", "canceled",
)  # fmt: skip
"""The states of a job in their usual order; a state may be skipped, never invented."""

_SPOKEN = {"installed": "handed over"}
_TYPED = {state: state for state in STATES} | {"handed over": "installed", "delivered": "installed"}

SHUT = frozenset({"closed", "canceled"})
"""States in which a job is over and its account taken."""

HANDED_OVER = frozenset({"installed", "closed"})
"""States in which the work is done and all that was agreed is owed."""


class Basis(Struct, frozen=True):
    """What a job is made of: the design's version (its row), its parameters, how many pieces."""

    design: int
    parameters: Mapping[str, str]
    pieces: int = 1


def jobs(book: Book) -> list[Job]:
    """The commissions in the order they were opened."""
    return book.rows(Job, kind="commission")


def find_job(book: Book, text: str) -> Job:
    """The job of that number or title, or of any unambiguous part of one; an exact name wins.

    Raises:
        NotFound: nothing answers; the nearest numbers are offered.
        Ambiguous: several answer.
    """
    known = book.rows(Job)
    sought = text.strip().casefold()
    exact = [job for job in known if sought in (job.number.casefold(), job.title.casefold())]
    if len(exact) == 1:
        return exact[0]
    near = [job for job in known if sought and sought in f"{job.number}\n{job.title}".casefold()]
    if len(near) > 1:
        # A fragment in daily use means the work at hand, not the history that was loaded.
        near = [job for job in near if job.kind == "commission"] or near
    if len(near) == 1:
        return near[0]
    if near:
        raise Ambiguous("job", text, [f"{job.number} ({job.title})" for job in near])
    names = [name for job in known for name in (job.number, job.title, *job.title.split())]
    none = "There is no job yet; begin one: benchledger job new TITLE"
    raise NotFound("job", text, names, if_none=none)


def last_job(book: Book) -> Job:
    """The commission opened last that is neither closed nor canceled.

    Raises:
        NotAllowed: there is none.
    """
    for job in reversed(jobs(book)):
        if state_of(book, job) not in {"closed", "canceled"}:
            return job
    raise NotAllowed('There is no open job. Open one: benchledger job new "TITLE" --design NAME')


def new_job(
    book: Book, title: str, *, client: str = "", number: str = "", contact: str = ""
) -> Job:
    """Open a job; it gets the year's next number unless one is given.

    Raises:
        BadValue: no title.
        NotAllowed: the number is taken.
    """
    name = title.strip()
    if not name:
        raise BadValue("A job needs a title, for example “Marrow fold-down bed”.")
    chosen = number.strip() or next_number(book)
    for used in jobs_numbered(book, chosen):
        free = next_number(book)
        if used.in_force:
            raise NotAllowed(f"Job {used.number} exists already; the next free number is {free}.")
        if used.title.casefold() != name.casefold():
            raise NotAllowed(
                f"{used.number} was “{used.title}”, which was taken back; numbers are used once."
                f" The next free number is {free}."
            )
    with book.entry("job new", f"{chosen} {name}"):
        person = client_named(book, client, contact) if client.strip() else None
        job = book.post(Job(number=chosen, title=name, client=person))
        book.post(JobState(job=job.key, state="open", day=book.today))
    return job


def of_title(book: Book, title: str) -> list[Job]:
    """The commissions that have just this title, in the order in which they were opened."""
    sought = title.strip().casefold()
    return [job for job in jobs(book) if job.title.casefold() == sought]


def next_number(book: Book) -> str:
    """The next free number of the year: J-2507 is the seventh job of 2025."""
    year = f"J-{book.today:%y}"
    taken = [
        int(match[1])
        for job in book.rows(Job, in_force=False)
        if (match := re.fullmatch(re.escape(year) + r"(\d+)", job.number))
    ]
    return f"{year}{max(taken, default=0) + 1:02}"


def client_named(book: Book, name: str, contact: str = "") -> int:
    """The client of that name, put into the book where new.

    Client details stand apart from what was posted, so that they can be redacted on request.
    """
    return book.client(name.strip(), contact.strip())


def client_number(book: Book, job: Job) -> int | None:
    """The number of a job's client: named when it was opened or later, or None."""
    if job.client is not None:
        return job.client
    from ledger.book.tables.clients import JobClient

    later = book.last(JobClient, job=job.key)
    return None if later is None else later.client


def client_of(book: Book, job: Job) -> "Client | None":
    """The client of a job, or None."""
    number = client_number(book, job)
    return None if number is None else book.client_row(number)


def state_of(book: Book, job: Job) -> str:
    """The state a job is in now."""
    last = book.last(JobState, job=job.key)
    return "open" if last is None else last.state


def is_won(book: Book, job: Job) -> bool:
    """Whether a job is more than asked for: its quote was accepted, or work began."""
    return state_of(book, job) != "open"


def set_state(book: Book, job: Job, state: str, *, day: date | None = None, why: str = "") -> None:
    """Post the state a job entered.

    Raises:
        BadValue: there is no such state.
        NotAllowed: the day lies in the future or in a closed month.
    """
    if state not in STATES:
        raise BadValue(f"“{state}” is not a state of a job; there is: {', '.join(STATES)}.")
    when = require_open_day(book, day or book.today)
    with book.entry("job state", f"{job.number} {state}"):
        book.post(JobState(job=job.key, state=state, day=when, why=why))


def require_quotable(book: Book, job: Job) -> None:
    """Refuse a quote for a job that is over.

    Raises:
        NotAllowed: the job is closed or canceled.
    """
    state = state_of(book, job)
    if state in SHUT:
        raise NotAllowed(
            f"{job.number} is {state}; nothing is quoted for it any more. Open it again first:"
            f" benchledger job reopen {job.number} --why TEXT"
        )


def set_basis(
    book: Book, job: Job, design: int, parameters: Mapping[str, str], pieces: int = 1
) -> None:
    """Post what a job is made of; estimates from now on use it, sent quotes do not change.

    Raises:
        BadValue: there is not even one piece.
    """
    if pieces < 1:
        raise BadValue("A job makes one piece or more: --pieces 6")
    with book.entry("job basis", f"{job.number} design row {design}"):
        text = json.dumps(dict(parameters), sort_keys=True)
        book.post(JobBasis(job=job.key, design=design, parameters=text, pieces=pieces))


def basis_of(book: Book, job: Job) -> Basis:
    """What a job is made of.

    Raises:
        NotAllowed: no design or parts list was given yet.
    """
    last = book.last(JobBasis, job=job.key)
    if last is None:
        raise NotAllowed(
            f"{job.number} has no design yet:"
            f" benchledger job set {job.number} --design NAME, or --parts FILE. A repair needs"
            f" none, but lines: benchledger job line {job.number} repair 3h"
        )
    return Basis(last.design, json.loads(last.parameters), last.pieces)


OWN_VERBS = {"closed": "job close", "canceled": "job cancel"}


def state_words(state: str, *, is_reopened: bool = False) -> str:
    """A state as it is read: a table or a repair is handed over and not installed.

    A closed job that was opened again keeps what it owes, and is not said to be handed over until
    it is so again.

    >>> state_words("installed"), state_words("ready")
    ('handed over', 'ready')
    >>> state_words("installed", is_reopened=True), state_words("ready", is_reopened=True)
    ('open again', 'ready')
    """
    return "open again" if is_reopened and state == "installed" else _SPOKEN.get(state, state)


def find_state(text: str) -> str:
    """The state of that name, or of an unambiguous part of it.

    Raises:
        NotAllowed: a job is closed or canceled by a command of its own.
        NotFound: there is no such state.
        Ambiguous: several answer.

    >>> find_state("build"), find_state("Material ordered"), find_state("delivered")
    ('building', 'material ordered', 'installed')
    """
    sought = text.strip().casefold()
    near = [name for name in _TYPED if sought and sought in name]
    names = [name for name in near if name == sought] or near
    matches = list(dict.fromkeys(_TYPED[name] for name in names))
    if len(matches) > 1:
        raise Ambiguous("state", text, names)
    if not matches:
        raise NotFound("state", text, [state_words(state) for state in STATES], are_all=True)
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


def describe(book: Book, job: Job, **details: str) -> "Client":
    """Change what is known of a job's client; a job without one is given one by name.

    The entry's words hold none of it, so that it can be redacted; what is left out stays.

    Raises:
        BadValue: the job has no client and no name is given, or a name is empty.
        NotAllowed: the client's details were taken out on request.
    """
    from ledger.book.clients import describe_client
    from ledger.book.tables.clients import JobClient

    name = details.get("name", "").strip()
    if "name" in details and not name:
        raise BadValue("A client has a name; leave --name out to keep the one that stands.")
    with book.entry(DESCRIBED, job.number):
        number = client_number(book, job)
        if number is None:
            if not name:
                raise BadValue(
                    f"{job.number} has no client yet; say who it is for:"
                    f" benchledger job client {job.number} --name NAME"
                )
            number = client_named(book, name)
            book.post(JobClient(job=job.key, client=number))
        return describe_client(book, number, **details)

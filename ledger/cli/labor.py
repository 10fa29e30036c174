"""What the commands of hours and of the clock share: whose job, what estimate, and questions."""

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal

import typer

from ledger.book import Book
from ledger.book.tables.ground import Job, JobBasis, Operation
from ledger.book.tables.labor import Work
from ledger.cli import voice
from ledger.errors import NotAllowed, NotFound
from ledger.jobs.jobs import find_job, last_job, state_of
from ledger.labor.log import Doing, Question, Task, TimeEntry, read_doing
from ledger.labor.people import OWNER, person_named, unpaid_note
from ledger.labor.plan import COUNTED, plan_of, save_plan, standing
from ledger.labor.standards import Group, standards
from ledger.measures.duration import show_minutes
from ledger.measures.money import Money
from ledger.measures.rounding import half_up_whole

SHOP = "shop"
"""In place of a job: work for the shop itself."""


def read_target(book: Book, words: Sequence[str], kind: str) -> tuple[Job | None, Doing, str]:
    """The job and what is done from `bed spray`, `spray` (on the last job) or `shop sweeping`.

    Raises:
        NotFound: no job or operation answers.
        Ambiguous: several answer.
    """
    first, rest = words[0], " ".join(words[1:])
    if first.casefold() == SHOP and rest:
        return (None, *read_doing(book, rest, "shop"))
    if not rest:
        return (_job_at_hand(book), *read_doing(book, first, kind))
    try:
        return (find_job(book, first), *read_doing(book, rest, kind))
    except NotFound as unknown:
        try:
            activity, kind = read_doing(book, " ".join(words), kind)
        except NotFound:
            raise unknown from None
        return _job_at_hand(book), activity, kind


def _job_at_hand(book: Book) -> Job:
    """The job worked on last, if it is still open; else the one opened last."""
    row = book.last(Work, kind="work")
    job = None if row is None or row.job is None else book.row(Job, row.job)
    if job is not None and state_of(book, job) not in {"closed", "canceled"}:
        return job
    return last_job(book)


def read_people(book: Book, by: str, helpers: Sequence[str]) -> tuple[str, ...]:
    """Who worked: somebody alone, or the owner and those who helped."""
    names = [person_named(book, by or OWNER), *(person_named(book, name) for name in helpers)]
    return tuple(dict.fromkeys(names))


class PlannedJob:
    """The hours a job is compared with: those kept, else worked out once and kept."""

    def __init__(self, book: Book, job: Job | None) -> None:
        self.job = job
        self.hours: Mapping[str, Decimal] | None = None
        self._is_new = False
        if job is not None:
            self.hours = plan_of(book, job)
            if self.hours is None:
                self.hours = _worked_out(book, job)
                self._is_new = self.hours is not None

    def keep(self, book: Book) -> None:
        """Post what was worked out, inside the entry of the entry."""
        if self._is_new and self.job is not None and self.hours is not None:
            save_plan(book, self.job, self.hours)


def _worked_out(book: Book, job: Job) -> Mapping[str, Decimal] | None:
    """The estimate of a job; None where it has no design, prices or rates to make one from."""
    if book.last(JobBasis, job=job.key) is None:
        return None
    from ledger.jobs.pricing import estimate_of

    try:
        with voice.wait(f"Working out the hours of {job.number}, this once …"):
            return estimate_of(book, job)
    except NotAllowed:
        return None


def ask[T](act: Callable[[bool], T], *, yes: bool) -> T:
    """Do something that may be questioned: `--yes` or a yes at the terminal lets it pass.

    Raises:
        NotAllowed: there is a question, and nobody at a terminal to answer it.
    """
    try:
        return act(yes)
    except Question as question:
        if not can_ask():
            raise NotAllowed(f"{question}\nIf that is right, say so: --yes") from question
        voice.warn(str(question))
        if not typer.confirm("Is that right?", err=True):
            raise NotAllowed("Nothing was posted.") from question
        return act(True)


def can_ask() -> bool:
    """Whether somebody sits at a terminal who could answer."""
    return sys.stdin.isatty()


def say_rows(book: Book, rows: Sequence[Work], job: Job | None) -> None:
    """Say what was posted: one line, whatever the number of people or of parts of a split."""
    first = rows[0]
    people = list(dict.fromkeys(row.person for row in rows))
    elapsed = sum(row.minutes for row in rows if row.person == first.person)
    what = _named(book, first)
    split = ", split by the estimate" if first.split else ""
    kind = "" if first.kind in {"work", "content", "shop"} else f" ({first.kind.replace('_', ' ')})"
    who = "" if people == [OWNER] else f", {' and '.join(people)}"
    target = job.number if job else "the shop"
    voice.say(f"{target} {what}{kind}: {show_minutes(elapsed)} on {first.day}{who}{split}.")
    warn_of_unpaid({row.person: None for row in rows if row.rate == Money(0)})


def warn_of_unpaid(names: Iterable[str]) -> None:
    """Say of which helpers an hour costs nothing."""
    if note := unpaid_note(list(names)):
        voice.warn(note)


def _named(book: Book, row: Work) -> str:
    if row.task:
        return row.task
    if row.split or row.operation is None:
        return (row.group or "").replace("_", " ")
    return standards(book)[row.operation].name


def say_standing(book: Book, time_entry: TimeEntry, plan: PlannedJob) -> None:
    """Say where the operation and the job stand beside their estimate, in one line."""
    job, activity = time_entry.job, time_entry.doing
    if job is None or isinstance(activity, Task):
        return
    code = activity.code if isinstance(activity, Operation) else ""
    group = activity.name if isinstance(activity, Group) else ""
    now = standing(book, job, plan.hours, operation=code, group=group)
    aside = f" (and {show_minutes(now.apart)} of rework and change orders)" if now.apart else ""
    own = (
        f"So far {_beside(now.minutes, now.planned)}; the job"
        if time_entry.kind in COUNTED
        else "Job"
    )
    if plan.hours is None:
        own = (
            f"So far {show_minutes(now.minutes)}; the job" if time_entry.kind in COUNTED else "Job"
        )
        sentence = f"{own} {show_minutes(now.job_minutes)}{aside}; no estimate yet to compare with."
        voice.note(sentence)
        return
    voice.say(f"{own} {_beside(now.job_minutes, now.job_planned)}{aside}.")


def _beside(minutes: int, planned: Decimal | None) -> str:
    if not planned:
        return f"{show_minutes(minutes)}, not foreseen by the estimate"
    return f"{show_minutes(minutes)} of {show_minutes(half_up_whole(planned * 60))} estimated"

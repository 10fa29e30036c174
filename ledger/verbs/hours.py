"""Hours as they are entered, and where the job stands after it. No result here has money in it."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from datetime import date, timedelta
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import Logged, WorkSum, time_entries, work_of_job
from ledger.book.questions.progress import fewer_minutes
from ledger.book.tables.ground import Job
from ledger.book.tables.labor import Work
from ledger.book.tables.operations import Operation
from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.jobs.jobs import find_job, last_job, state_of
from ledger.labor.clock import running
from ledger.labor.estimate import total_hours
from ledger.labor.log import (
    CONTENT_TASKS,
    IN_ANY_WORDS,
    Activity,
    Task,
    TimeEntry,
    log_several,
    name_of,
    read_activity,
)
from ledger.labor.people import OWNER, person_named
from ledger.labor.plan import (
    COUNTED,
    HoursStanding,
    hours_left,
    plan_of,
    save_plan,
    standing,
    worked_on_changes,
)
from ledger.labor.standards import Group, names_of, spoken_words, standards
from ledger.measures.duration import to_hours
from ledger.measures.money import Money
from ledger.measures.rounding import half_up_whole

SHOP = "shop"
"""In place of a job: work for the shop itself."""

CHANGES, CHANGES_NAME = "CO", "approved change orders"
"""The line of the hours of change orders that were approved; it is no operation."""

_CHANGE_ORDERS = {CHANGES.casefold(), "change order", "change orders", CHANGES_NAME}

type Waiting = Callable[[str], AbstractContextManager[object]]
"""Told in words what takes long, entered for as long as it lasts."""


class Target(Struct, frozen=True):
    """What hours or a clock are for: a job (or the shop), what is done, and of which class."""

    job: Job | None
    activity: Activity
    kind: str

    @property
    def words(self) -> str:
        """The target in a few words: `J-2507 SPR`."""
        return f"{self.job.number if self.job else SHOP} {name_of(self.activity)}"


def read_target(
    book: Book, words: Sequence[str], kind: str = "work", *, line: str = "{}"
) -> Target:
    """The job and what is done from `bed spray`, `spray` (on the last job) or `shop sweeping`.

    `line` is what is typed with the words in it, for a refusal that says what is missing.

    Raises:
        NotFound: no job or operation answers.
        Ambiguous: several answer.
        BadValue: no job answers, and what was done may be said in any words; or only a job is
            named.
    """
    first, rest = words[0], " ".join(words[1:])
    if first.casefold() == SHOP and rest:
        return Target(None, *read_activity(book, rest, "shop"))
    if not rest:
        return _on_job_at_hand(book, first, kind, line)
    try:
        return _on_job(book, find_job(book, first), rest, kind, line)
    except NotFound as unknown:
        task = " ".join(words)
        if kind in IN_ANY_WORDS and task.casefold() not in CONTENT_TASKS:
            raise BadValue(
                f"{unknown} If all of it is what was done on the job at hand, put it in quotes:"
                f' "{task}"'
            ) from None
        try:
            return _on_job(book, _job_at_hand(book), task, kind, line)
        except NotFound:
            raise unknown from None


def _on_job_at_hand(book: Book, word: str, kind: str, line: str) -> Target:
    """One word is what was done; where it is none and names a job, what was done is missing."""
    try:
        return _on_job(book, _job_at_hand(book), word, kind, line)
    except NotFound:
        try:
            job = find_job(book, word)
        except (NotFound, Ambiguous):
            job = None
        if job is None:
            raise
    raise BadValue(
        f"“{word}” is the job {job.number} {job.title}; say after it what was done, for example:"
        f" {line.format(f'{word} {_an_operation_of(book, job)}')}"
    )


def _an_operation_of(book: Book, job: Job) -> str:
    """A word for an operation that a job's kept estimate has most hours for, else for any."""
    planned = plan_of(book, job) or {}
    code = max(planned, key=lambda one: planned[one], default="ASM")
    operation = standards(book).get(code)
    return (spoken_words(operation) or [code])[0].casefold() if operation else code


def _on_job(book: Book, job: Job, words: str, kind: str, line: str) -> Target:
    def estimated() -> frozenset[str]:
        from ledger.jobs.estimated import estimated_operations  # most words fit one operation

        return estimated_operations(book, job)

    if kind in IN_ANY_WORDS or not _is_line_of_changes(book, words):
        return Target(job, *read_activity(book, words, kind, estimated))
    said = line.format(f"{job.number} {_an_operation_of(book, job)}")
    raise BadValue(
        f"“{words}” is the line of approved change orders, no operation: say what was done, and"
        f" --class change with it, for example: {said} --class change"
    )


def _is_line_of_changes(book: Book, words: str) -> bool:
    said, known = words.strip().casefold(), standards(book).values()
    return said in _CHANGE_ORDERS and not any(said in names_of(row) for row in known)


def _job_at_hand(book: Book) -> Job:
    """The job that the clock is on, else worked on last, if it is still open; else the newest."""
    clock = running(book)
    row = book.last(Work, kind="work")
    job = None if row is None or row.job is None else book.row(Job, row.job)
    if clock is not None and clock.job is not None:
        job = clock.job
    if job is not None and state_of(book, job) not in {"closed", "canceled"}:
        return job
    return last_job(book)


def read_people(book: Book, by: str, helpers: Sequence[str]) -> tuple[str, ...]:
    """Who worked: somebody alone, or the owner and those who helped."""
    names = [person_named(book, by or OWNER), *(person_named(book, name) for name in helpers)]
    return tuple(dict.fromkeys(names))


class JobPlan(Struct, frozen=True):
    """The hours a job is compared with; None where there is nothing to estimate them from."""

    job: Job | None = None
    hours: Mapping[str, Decimal] | None = None
    is_new: bool = False

    def keep(self, book: Book) -> None:
        """Post what was worked out, inside an entry; what others kept meanwhile stands."""
        if self.is_new and self.job and self.hours and plan_of(book, self.job) is None:
            save_plan(book, self.job, self.hours)


def plan_for(book: Book, job: Job | None, waiting: Waiting = nullcontext) -> JobPlan:
    """The hours kept for a job, else worked out: that may lay out sheets and take seconds."""
    if job is None:
        return JobPlan()
    if kept := plan_of(book, job):
        return JobPlan(job, kept)
    from ledger.jobs.lines import is_known  # with the tables of counts: most entries need none

    if not is_known(book, job):
        return JobPlan(job)
    from ledger.jobs.pricing import estimate_of

    try:
        with waiting(f"Working out the hours of {job.number}, this once …"):
            return JobPlan(job, estimate_of(book, job, with_guess=True), is_new=True)
    except NotAllowed:  # a material of the design is not in the price list, or has no price
        return JobPlan(job)


class PostedHours(Struct, frozen=True):
    """Hours as they stand in the book: one of each entry, whatever its people and its split.

    `beside` has the job's figures beside `plan`; None for a task, which no estimate foresees.
    `guessed` are the minutes guessed for a job sold in one sum, where no operation is estimated.
    `unpaid` are the helpers whose hour costs nothing here.
    """

    entry: int
    job: Job | None
    what: str
    kind: str
    day: date
    minutes: int
    people: tuple[str, ...]
    is_split: bool
    plan: JobPlan
    beside: HoursStanding | None
    guessed: int
    unpaid: tuple[str, ...]
    lacks_cause: bool


def enter(
    book: Book, time_entry: TimeEntry, plan: JobPlan, *, again: bool = False, sure: bool = False
) -> PostedHours:
    """Post hours after the fact; `again` says that they are meant to repeat what stands.

    Raises:
        Question: something looks like a slip, and nobody said that it is right.
        NotAllowed: the job is over or a past one, the day lies ahead or in a closed month.
    """
    return enter_several(book, [(time_entry, plan)], again=again, sure=sure)[0]


def enter_several(
    book: Book,
    entries: Sequence[tuple[TimeEntry, JobPlan]],
    *,
    again: bool = False,
    sure: bool = False,
) -> list[PostedHours]:
    """Post hours that were said together as one entry: all of them, or none where one is refused.

    Raises:
        Question: some look like slips, and nobody said that they are right.
        NotAllowed: as one alone.
    """
    planned = [(time_entry, plan.hours) for time_entry, plan in entries]
    with book.entry("hours add", ", ".join(time_entry.words for time_entry, _ in entries)):
        logged = log_several(book, planned, sure=sure, again=again)
        for _, plan in entries:
            plan.keep(book)
    return [
        posted(book, rows, time_entry, plan)
        for rows, (time_entry, plan) in zip(logged, entries, strict=True)
    ]


def posted(book: Book, rows: Sequence[Work], time_entry: TimeEntry, plan: JobPlan) -> PostedHours:
    """The result of an entry of hours, with where its job stands now."""
    first, activity, job = rows[0], time_entry.activity, time_entry.job
    beside = None
    if job is not None and not isinstance(activity, Task):
        code = activity.code if isinstance(activity, Operation) else ""
        group = activity.name if isinstance(activity, Group) else ""
        fewer = fewer_minutes(book, job.key)
        beside = standing(
            work_of_job(book, job.key), plan.hours, operation=code, group=group, fewer=fewer
        )
    return PostedHours(
        entry=first.entry,
        job=job,
        what=activity.name if isinstance(activity, Operation) else name_of(activity),
        kind=time_entry.kind,
        day=first.day,
        minutes=time_entry.minutes,
        people=time_entry.people,
        is_split=first.split,
        plan=plan,
        beside=beside,
        guessed=0 if job is None or plan.hours else _guessed(book, job),
        unpaid=tuple(dict.fromkeys(row.person for row in rows if row.rate == Money(0))),
        lacks_cause=time_entry.kind == "rework" and not time_entry.cause,
    )


def _guessed(book: Book, job: Job) -> int:
    from ledger.jobs.lines import total_of  # with the tables of counts: most entries need none

    agreed = total_of(book, job)
    return 0 if agreed is None else agreed.minutes


class LoggedDays(Struct, frozen=True):
    """Entries of hours, the latest last, the jobs they name, and working days without any.

    Of one job, `elsewhere` are its minutes on other days.
    """

    rows: tuple[Logged, ...]
    jobs: Mapping[int, Job]
    gaps: tuple[date, ...]
    elsewhere: int = 0

    def number(self, row: Logged) -> str | None:
        """The number of an entry's job; None for the shop."""
        return None if row.job is None else self.jobs[row.job].number


def logged(book: Book, job: Job | None = None, *, first: date, last: date) -> LoggedDays:
    """The entries from day to day, of a job or of all; of all, days without any are named too.

    Raises:
        BadValue: the last day lies before the first.
    """
    if last < first:
        raise BadValue(f"{last} is before {first}; write the earlier day as --from.")
    rows = time_entries(book, job=job.key if job else None, first=first, last=last)
    jobs = book.rows_of(Job, {row.job for row in rows if row.job is not None})
    begins = max(first, book.settings.opened or first)
    days = [begins + timedelta(days=number) for number in range((last - begins).days + 1)]
    done = {row.day for row in rows}
    gaps = [day for day in days if day.weekday() < 5 and day not in done]
    named = {row.key: row for row in jobs}
    if job is None:
        return LoggedDays(tuple(rows), named, tuple(gaps))
    in_all = sum(row.minutes for row in work_of_job(book, job.key))
    return LoggedDays(tuple(rows), named, (), in_all - sum(row.minutes for row in rows))


class HoursLine(Struct, frozen=True):
    """An operation of a job (or a group that was not split), estimated and worked so far."""

    key: str
    name: str
    planned: Decimal | None
    minutes: int

    @property
    def left(self) -> int | None:
        """Minutes left of the estimate, below zero where it ran over; None without an estimate."""
        return half_up_whole(self.planned * 60) - self.minutes if self.planned else None


class JobHours(Struct, frozen=True):
    """A job's hours, line by line; `others` are minutes that the estimate did not foresee.

    `left` is a sum of lines: one that ran over finishes no other. `fewer` are minutes that approved
    changes took off the whole job, which no line has.
    """

    job: Job
    lines: tuple[HoursLine, ...]
    others: Mapping[str, int]
    left: int
    fewer: int = 0

    @property
    def planned(self) -> Decimal:
        """The hours estimated in all; zero where nothing is."""
        return total_hours(line.planned for line in self.lines if line.planned is not None)

    @property
    def minutes(self) -> int:
        """The minutes worked in all lines."""
        return sum(line.minutes for line in self.lines)


def of_job(book: Book, job: Job, plan: JobPlan) -> JobHours:
    """A job's hours so far, operation by operation, beside their estimate."""
    from ledger.jobs.changes import approved_minutes  # what an entry of hours need not load

    rows, hours = work_of_job(book, job.key), dict(plan.hours or {})
    foreseen = [row for row in rows if row.kind in COUNTED and row.group is not None]
    minutes = dict.fromkeys([*hours, *map(_key, foreseen)], 0)
    for row in foreseen:
        minutes[_key(row)] += row.minutes
    changed, worked = approved_minutes(book, job), worked_on_changes(rows)
    others: dict[str, int] = {}
    for row in rows:
        if row not in foreseen and not (changed and row.kind == "change_order"):
            what = row.task or row.kind.replace("_", " ")
            others[what] = others.get(what, 0) + row.minutes
    known = standards(book).values()
    ahead = hours_left(hours, {row.code: row.group for row in known}, rows)
    fewer = fewer_minutes(book, job.key)
    left = max(half_up_whole(ahead * 60) - fewer, 0)
    left += max(changed - worked, 0)
    if changed:
        hours[CHANGES], minutes[CHANGES] = to_hours(changed), worked
    names = {row.code: row.name for row in known} | {CHANGES: CHANGES_NAME}
    lines = [
        HoursLine(key, names.get(key, "the whole group"), hours.get(key), done)
        for key, done in minutes.items()
    ]
    return JobHours(job, tuple(lines), others, left, fewer)


def _key(row: WorkSum) -> str:
    return row.operation or row.group or ""

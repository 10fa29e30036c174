"""Hours as they were worked: an entry, what is asked about it, and its rows in the book.

An entry says what took how long on a day: an operation, a whole group ("cutting"), or a task that
is no operation (filming, sweeping the shop). Its minutes are elapsed time; everybody who worked has
a row of that many. Minutes on a group are split by the shares of the estimate and marked as split.
What looks like a slip (a day of 15 hours, two entries at one time, the same entry twice) raises a
`Question`; asked again with `sure=True`, the entry is posted. Nothing is ever changed: a wrong
entry is taken back by undoing its entry. A day without entries is *not logged*, never zero.
"""

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book, require_open_day, require_open_job
from ledger.book.questions.labor import (
    SameWork,
    minutes_of_day,
    minutes_stand_already,
    running_since,
    timed_work_of_day,
)
from ledger.book.tables.ground import Job
from ledger.book.tables.labor import Work
from ledger.book.tables.operations import Operation
from ledger.errors import BadValue, NotAllowed, NotFound, Question
from ledger.labor.people import OWNER, helper_named
from ledger.labor.standards import GROUPS, Group, find_operation_or_group, standards
from ledger.measures.duration import show_minutes, split_minutes
from ledger.measures.fields import made_of

CLASSES = ("work", "rework", "change_order", "first_time", "content", "shop")
"""The classes of hours: only "work" teaches the standards."""

CONTENT_TASKS = ("filming", "editing", "voice-over", "plan drawing", "upload", "comments")
"""Tasks that are content without being told so."""

IN_ANY_WORDS = frozenset({"content", "shop"})
"""Classes whose work is said in any words, and not by an operation."""


class Task(Struct, frozen=True):
    """What was done where it is no operation of a job: content, or work for the shop."""

    name: str


type Activity = Operation | Group | Task


class TimeEntry(Struct, frozen=True):
    """What took how long, when, by whom. `minutes` is elapsed; each of `people` worked them."""

    job: Job | None
    activity: Activity
    minutes: int
    day: date
    kind: str = "work"
    people: tuple[str, ...] = (OWNER,)
    began: datetime | None = None
    ended: datetime | None = None
    part: str = ""
    cause: str = ""
    prevention: str = ""
    note: str = ""

    @property
    def words(self) -> str:
        """The entry in a few words, as the entry keeps it."""
        job = self.job.number if self.job else "shop"
        return f"{job} {name_of(self.activity)} {show_minutes(self.minutes)}"


def name_of(activity: Activity) -> str:
    """The short name of what is done: a code, a group's words, a task."""
    if isinstance(activity, Operation):
        return activity.code
    return activity.words if isinstance(activity, Group) else activity.name


def read_class(text: str) -> str:
    """A class of hours as it is said: "rework", "change order", "first time", "co".

    Raises:
        BadValue: there is no such class.
    """
    word = text.strip().casefold().replace(" ", "_").replace("-", "_")
    matches = [kind for kind in CLASSES if kind == word] or [
        kind for kind in CLASSES if word and kind.startswith(word)
    ]
    if word == "co":
        return "change_order"
    if len(matches) != 1:
        names = ", ".join(kind.replace("_", " ") for kind in CLASSES)
        raise BadValue(f"“{text}” is not a class of hours; there is: {names}.")
    return matches[0]


def read_activity(
    book: Book, text: str, kind: str = "work", estimated: Callable[[], Container[str]] = frozenset
) -> tuple[Activity, str]:
    """What was done, and its class: a content task need not be told to be one.

    A word that fits several operations means the one of them that the job has `estimated`.

    Raises:
        NotFound: no operation, group or known task answers.
        Ambiguous: several operations answer.
        BadValue: nothing is written there.
    """
    words = text.strip()
    if kind in IN_ANY_WORDS:
        if not words:
            raise BadValue(f"Say what was done, for example: {CONTENT_TASKS[0]}")
        return Task(words), kind
    task = next((task for task in CONTENT_TASKS if task == words.casefold()), None)
    if task is not None and kind == "work":
        return Task(task), "content"
    try:
        return find_operation_or_group(book, words, estimated), kind
    except NotFound as unknown:
        raise NotFound("operation", words, [*unknown.names, *CONTENT_TASKS]) from unknown


def log_hours(
    book: Book,
    time_entry: TimeEntry,
    *,
    plan: Mapping[str, Decimal] | None = None,
    sure: bool = False,
    again: bool = False,
) -> list[Work]:
    """Post an entry of hours; `plan` has the planned hours by which a group is split.

    `again` says that it is meant to repeat one that stands already.

    Raises:
        Question: something looks like a slip, and nobody said that it is right.
        NotAllowed: the job is over or a past one, the day lies ahead or in a closed month.
    """
    return log_several(book, [(time_entry, plan)], sure=sure, again=again)[0]


def log_several(
    book: Book,
    entries: Sequence[tuple[TimeEntry, Mapping[str, Decimal] | None]],
    *,
    sure: bool = False,
    again: bool = False,
) -> list[list[Work]]:
    """Post hours that were said together, each with its plan, all of them or none; one entry.

    Each is asked about beside those before it.

    Raises:
        Question: some look like slips, and nobody said that they are right; nothing was posted.
        NotAllowed: as one alone; nothing was posted.
    """
    questions: list[str] = []
    posted: list[list[Work]] = []
    with book.entry("hours add", ", ".join(time_entry.words for time_entry, _ in entries)):
        for number, (time_entry, plan) in enumerate(entries, start=1):
            require_loggable(book, time_entry)
            if not sure:
                questions += doubts(book, time_entry, again=again)
            posted.append(post_hours(book, time_entry, plan or {}, number))
        if questions:
            raise Question(questions)
    return posted


def post_hours(
    book: Book, time_entry: TimeEntry, plan: Mapping[str, Decimal], number: int = 1
) -> list[Work]:
    """Post the rows of an entry that was looked at already, inside an entry."""
    return [book.post(row) for row in _rows(book, time_entry, plan, number)]


def require_loggable(book: Book, time_entry: TimeEntry) -> None:
    """Check an entry of hours before it is posted.

    Raises:
        NotAllowed: the job is over or a past one, the day lies ahead or in a closed month.
        BadValue: a cause without rework, or no minutes.
    """
    require_open_day(book, time_entry.day)
    if time_entry.minutes < 1:
        raise BadValue("An entry takes at least a minute.")
    if (time_entry.cause or time_entry.prevention) and time_entry.kind != "rework":
        raise BadValue("Cause and prevention belong to rework: --class rework")
    if time_entry.job is None:
        return
    if time_entry.job.kind == "past":
        raise NotAllowed(f"{time_entry.job.number} is a past job; its hours were loaded with it.")
    if time_entry.kind != "content":
        require_open_job(book, time_entry.job.key)


def doubts(book: Book, time_entry: TimeEntry, *, again: bool = False) -> Iterator[str]:
    """What looks like a slip: a long day, two entries at one time, the same entry twice."""
    longest = 60 * book.settings.long_day
    for person in time_entry.people:
        before = minutes_of_day(book, person, time_entry.day)
        if before + time_entry.minutes > longest:
            yield (
                f"With this, {time_entry.day} has {show_minutes(before + time_entry.minutes)}"
                f" of work for the {person}; a day of more than {show_minutes(longest)} is asked"
                " about."
            )
        yield from _overlaps(book, time_entry, person)
        if not again and _stands_already(book, time_entry, person):
            words = f"{time_entry.words} ({person})"
            alone = _helpers_alone(book, time_entry) if person == OWNER else ""
            yield f"The same entry stands on {time_entry.day} already: {words}.{alone}"


def _helpers_alone(book: Book, time_entry: TimeEntry) -> str:
    """How those are entered who worked beside the owner, where only the owner stands already."""
    beside = [person for person in time_entry.people if person != OWNER]
    if not beside or any(_stands_already(book, time_entry, person) for person in beside):
        return ""
    by = " and ".join(f'--by "{name}"' if " " in name else f"--by {name}" for name in beside)
    several = ", an entry each" if len(beside) > 1 else ""
    return f" --with enters the owner again; without the owner it is {by}{several}."


def _overlaps(book: Book, time_entry: TimeEntry, person: str) -> Iterator[str]:
    if time_entry.began is None or time_entry.ended is None:
        return
    began, ended = clock_text(time_entry.began), clock_text(time_entry.ended)
    for other in timed_work_of_day(book, person, time_entry.day):
        if other.began < ended and began < other.ended:
            times = f"{other.began[11:]}–{other.ended[11:]}"
            yield f"{began[11:]}–{ended[11:]} overlaps {times}, {other.operation or other.task}."
    running = running_since(book)
    if running is not None and began != running and running < ended:
        yield f"{began[11:]}–{ended[11:]} overlaps the clock, running since {running[11:]}."


def _stands_already(book: Book, time_entry: TimeEntry, person: str) -> bool:
    if time_entry.began is not None:
        return False  # an entry with times is told apart by them
    activity = time_entry.activity
    return minutes_stand_already(
        book,
        SameWork(
            time_entry.day.isoformat(),
            person,
            time_entry.kind,
            time_entry.job.key if time_entry.job else None,
            time_entry.part,
            activity.code if isinstance(activity, Operation) else None,
            activity.name if isinstance(activity, Group) else None,
            activity.name if isinstance(activity, Task) else "",
        ),
        time_entry.minutes,
    )


def _rows(
    book: Book, time_entry: TimeEntry, plan: Mapping[str, Decimal], number: int
) -> Iterator[Work]:
    for person in time_entry.people:
        rate = None if person == OWNER else helper_named(book, person).cost
        for operation, group, minutes, is_split in _parts(book, time_entry, plan):
            yield made_of(
                Work,
                time_entry,
                time_entry=number,
                job=time_entry.job.key if time_entry.job else None,
                operation=operation,
                group=group,
                task=time_entry.activity.name if isinstance(time_entry.activity, Task) else "",
                person=person,
                minutes=minutes,
                began=clock_text(time_entry.began) if time_entry.began else None,
                ended=clock_text(time_entry.ended) if time_entry.ended else None,
                rate=rate,
                split=is_split,
            )


def _parts(
    book: Book, time_entry: TimeEntry, plan: Mapping[str, Decimal]
) -> list[tuple[str | None, str | None, int, bool]]:
    """Operation, group, minutes and whether split: one part, or a group's operations."""
    activity = time_entry.activity
    if isinstance(activity, Task):
        return [(None, None, time_entry.minutes, False)]
    if isinstance(activity, Operation):
        return [(activity.code, activity.group, time_entry.minutes, False)]
    shares = group_shares(book, activity, plan)
    if not shares:
        return [(None, activity.name, time_entry.minutes, False)]
    parts = split_minutes(time_entry.minutes, shares)
    return [(code, activity.name, minutes, True) for code, minutes in parts.items()]


def group_shares(book: Book, group: Group, plan: Mapping[str, Decimal]) -> dict[str, Fraction]:
    """Weights by which minutes of a whole group are split: its operations' planned hours."""
    members = {row.code for row in standards(book).values() if row.group == group.name}
    return {code: Fraction(plan[code]) for code in plan if code in members and plan[code]}


def activity_of(book: Book, row: Work) -> Activity:
    """What a row of work was about, as it was entered."""
    if row.task or row.group is None:
        return Task(row.task)
    if row.split or row.operation is None:
        return GROUPS[row.group]
    return standards(book)[row.operation]


def last_entry(book: Book) -> TimeEntry:
    """The entry posted last, as it was entered.

    Raises:
        NotAllowed: there is none yet.
    """
    last = book.last(Work)
    if last is None:
        raise NotAllowed("No hours are logged yet: benchledger hours add JOB OPERATION DURATION")
    rows = book.rows(Work, entry=last.entry, time_entry=last.time_entry)
    own = [row for row in rows if row.person == last.person]
    return made_of(
        TimeEntry,
        last,
        job=None if last.job is None else book.row(Job, last.job),
        activity=activity_of(book, last),
        minutes=sum(row.minutes for row in own),
        people=tuple(dict.fromkeys(row.person for row in rows)),
        began=None,
        ended=None,
    )


def clock_text(moment: datetime) -> str:
    """A moment of the shop's clock to the minute, as it is kept."""
    return moment.strftime("%Y-%m-%dT%H:%M")

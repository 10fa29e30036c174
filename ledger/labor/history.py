"""The lessons that stand in the book: past jobs that were loaded, and own jobs that are closed.

A lesson sets the count as built, at the standard in force, beside what the operation took. Hours of
own jobs are those of class "work"; rework is a share of its own, change orders never come in. A
line that is no ratio of its operation says why.
"""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.labor import (
    Built,
    WorkSum,
    built_counts,
    loaded_jobs,
    loaded_lines,
    marked_days,
    unlogged_answers,
    work_of_job,
)
from ledger.book.tables.counts import JobLine
from ledger.book.tables.ground import Job
from ledger.book.tables.operations import Operation
from ledger.labor.estimate import standard_hours
from ledger.labor.learning import History
from ledger.labor.observations import (
    BEFORE_MARK,
    FIRST_TIME,
    NOT_COUNTED,
    NOT_LOGGED,
    TOTAL_ALONE,
    TYPED_HOURS,
    Lesson,
)
from ledger.labor.people import OWNER
from ledger.labor.plan import COUNTED
from ledger.labor.standards import standards
from ledger.measures.duration import split_minutes
from ledger.measures.grouped import grouped
from ledger.measures.values import replace

CUT_DRIVERS = frozenset({"sheets", "strips", "wide_crosscuts", "narrow_crosscuts"})
OLD_WORDS = "as planned"
"""The words of a count before it said where it is from. Cuts were then counted another way: each
rip at the table saw, and the cuts of whole sheets as wide crosscuts. Such lessons stand as before
a mark, so that what was learned of the old counts does not meet the new ones."""


def history(book: Book, without: Job | None = None, taught: Iterable[Built] = ()) -> History:
    """All that the book can teach about hours, with the marks of a new start.

    `without` is a job that is estimated itself: its own hours tell nothing of what was to expect.
    `taught` are the counts of an open job that would teach, were it closed now.
    """
    operations = standards(book)
    rework: dict[str, float] = {}
    lessons = [
        *_past_lessons(book, operations, rework),
        *_own_lessons(book, operations, rework, without, taught),
    ]
    return History(sorted(lessons, key=lambda one: (one.day, one.job)), marked_days(book), rework)


def _past_lessons(
    book: Book, operations: Mapping[str, Operation], rework: dict[str, float]
) -> Iterator[Lesson]:
    """The lines of past jobs; one known by its total alone has a line more, of all its minutes."""
    past = {job.key: job for job in loaded_jobs(book)}
    by_line = [job for job in past.values() if not job.is_total]
    if any(job.rework_minutes for job in by_line):  # else it was perhaps never noted
        rework.update((job.number, job.rework_minutes / 60) for job in by_line)
    for number, code, driver, minutes in loaded_lines(book):
        operation, job = operations[code], past[number]
        helper = min(job.helper_minutes, job.worked)
        yield Lesson(
            job=job.number,
            day=job.done,
            operation=operation.code,
            group=operation.group,
            estimate=_standard_hours(operation, Fraction(driver, 1_000_000)),
            minutes=minutes,
            left_out=TOTAL_ALONE if job.is_total else "",
            helper=Fraction(helper, job.worked) if job.worked else Fraction(0),
        )
    for job in past.values():
        if job.is_total:
            if job.rework_minutes:
                rework[job.number] = job.rework_minutes / 60
            nothing = Decimal("0.00")
            yield Lesson(job.number, job.done, "", "", nothing, job.minutes, left_out=TOTAL_ALONE)


def _own_lessons(
    book: Book, operations: Mapping[str, Operation], rework: dict[str, float], without: Job | None,
    taught: Iterable[Built],
) -> Iterator[Lesson]:  # fmt: skip
    own = without.key if without is not None else None
    built = [*built_counts(book), *taught]
    counts = grouped((one for one in built if one.job != own), lambda one: one.job)
    answers = unlogged_answers(book) if counts else {}
    timed = {(row.job, row.name) for row in book.rows(JobLine) if row.minutes}
    for job, drivers in counts.items():
        estimates = {
            one.operation: _standard_hours(
                operations[one.operation], Fraction(one.driver, 1_000_000)
            )
            for one in drivers
        }
        otherwise = {
            one.operation
            for one in drivers
            if one.words == OLD_WORDS and operations[one.operation].driver in CUT_DRIVERS
        }
        work = work_of_job(book, job)
        rework[drivers[0].number] = sum(row.minutes for row in work if row.kind == "rework") / 60
        for lesson in _lessons_of(drivers[0].number, estimates, work, operations):
            if lesson.operation in otherwise:
                lesson = replace(lesson, left_out=f"{BEFORE_MARK}: cuts were counted another way")
            if (job, lesson.operation) in timed and not lesson.estimate:
                lesson = replace(lesson, left_out=TYPED_HOURS)
            yield _answered(lesson, answers.get((job, lesson.operation)))


def _answered(lesson: Lesson, answer: tuple[str, str] | None) -> Lesson:
    """A line without hours as the owner explained it when the job was closed."""
    if answer is None or lesson.left_out != NOT_LOGGED:
        return lesson
    return replace(lesson, left_out=answer[0], onto=answer[1])


def _standard_hours(operation: Operation, driver: Fraction) -> Decimal:
    return standard_hours(operation, driver, entered=True).estimate


def _lessons_of(
    number: str,
    estimates: Mapping[str, Decimal],
    work: Iterable[WorkSum],
    operations: Mapping[str, Operation],
) -> Iterator[Lesson]:
    """The lessons of one own job: what each operation took beside its count as built.

    Hours of a group none of whose operations has a count are a lesson of the group's own name.
    """
    logged = [row for row in work if row.group is not None and row.kind in COUNTED]
    minutes: dict[str, int] = {}
    helped: dict[str, int] = {}
    for row in logged:
        for code, part in _by_operation(row, estimates, operations).items():
            minutes[code] = minutes.get(code, 0) + part
            helped[code] = helped.get(code, 0) + (part if row.person != OWNER else 0)
    first = {row.operation or row.group for row in logged if row.kind == "first_time"}
    whole = {row.group for row in logged if row.split or row.operation is None}
    days = {row.operation or row.group: row.first for row in reversed(logged)}
    last = max((row.last for row in logged), default=None)
    for code in dict.fromkeys([*estimates, *minutes]):
        group = operations[code].group if code in operations else code
        day = days.get(code) or days.get(group) or last
        if day is None:
            continue  # nothing at all was logged on this job
        estimate, taken = estimates.get(code, Decimal("0.00")), minutes.get(code, 0)
        yield Lesson(
            job=number,
            day=day,
            operation=code,
            group=group,
            estimate=estimate,
            minutes=taken,
            split=group in whole,
            left_out=_reason(estimate, taken, is_first=bool({code, group} & first)),
            helper=Fraction(helped.get(code, 0), taken) if taken else Fraction(0),
        )


def _reason(estimate: Decimal, minutes: int, *, is_first: bool) -> str:
    """Why a lesson is no ratio of its own operation; nothing where it is."""
    if not minutes:
        return NOT_LOGGED
    if not estimate:
        return NOT_COUNTED
    return FIRST_TIME if is_first else ""


def _by_operation(
    row: WorkSum, estimates: Mapping[str, Decimal], operations: Mapping[str, Operation]
) -> Mapping[str, int]:
    """A row's minutes on its operation, or a group's by the shares of the counts as built."""
    if row.operation is not None:
        return {row.operation: row.minutes}
    shares = {
        code: Fraction(hours)
        for code, hours in estimates.items()
        if operations[code].group == row.group and hours
    }
    return split_minutes(row.minutes, shares) if shares else {row.group or "": row.minutes}

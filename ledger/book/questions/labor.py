"""Questions about hours: sums by operation, by day, and what stands beside an entry."""

from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import EVER, IN_FORCE
from ledger.measures.money import Money


class WorkSum(NamedTuple):
    """Minutes of one person on one operation (or group, or task) of a job, in one class."""

    operation: str | None
    group: str | None
    task: str
    kind: str
    person: str
    split: bool
    minutes: int
    rows: int
    first: date
    last: date


_WORK_OF_JOB = f"""SELECT operation, family, task, class, person, split, sum(minutes), count(*),
min(day), max(day) FROM work WHERE job = :job AND {IN_FORCE}
GROUP BY operation, family, task, class, person, split ORDER BY min(id)"""


def work_of_job(book: Book, job: int) -> list[WorkSum]:
    """All that was worked on a job, added up."""
    return book.query_as(WorkSum, _WORK_OF_JOB, job=job)


class WorkOfMonth(NamedTuple):
    """Minutes of one person on one operation (or group) of a job in a month (YYYY-MM)."""

    job: int
    month: str
    operation: str | None
    group: str | None
    kind: str
    person: str
    minutes: int


_WORK_BY_MONTH = f"""SELECT job, substr(day, 1, 7) AS month, operation, family, class, person,
sum(minutes) FROM work WHERE job IS NOT NULL AND day <= :last AND {IN_FORCE}
GROUP BY job, month, operation, family, class, person ORDER BY min(id)"""


def work_by_month(book: Book, last: date) -> list[WorkOfMonth]:
    """All that was worked on jobs up to a day, added up by month."""
    return book.query_as(WorkOfMonth, _WORK_BY_MONTH, last=last)


_MINUTES_OF_DAY = f"""SELECT coalesce(sum(minutes), 0) FROM work
WHERE day = :day AND person = :person AND {IN_FORCE}"""


def minutes_of_day(book: Book, person: str, day: date) -> int:
    """How much a person worked on a day, on whatever."""
    (minutes,) = book.column(_MINUTES_OF_DAY, day=day, person=person)
    return int(minutes)


class WorkedOn(NamedTuple):
    """What was worked on: the job, its operation (or group, or task), and the class of hours."""

    number: str | None
    title: str | None
    activity: str
    kind: str


_WORKED_ON_LAST = f"""SELECT j.number, j.title,
  coalesce(w.operation, w.family, w.task) AS activity, w.class, max(w.id) AS latest
FROM (SELECT * FROM work WHERE {IN_FORCE} ORDER BY id DESC LIMIT 400) w
LEFT JOIN job j ON j.id = w.job
WHERE w.job IS NULL OR coalesce((SELECT s.state FROM job_state s
  WHERE s.job = w.job AND s.{IN_FORCE} ORDER BY s.id DESC LIMIT 1), 'open')
  NOT IN ('closed', 'canceled')
GROUP BY w.job, activity, w.class ORDER BY latest DESC LIMIT :count"""


def worked_on_last(book: Book, count: int) -> list[WorkedOn]:
    """What was worked on last, each once, the latest first; of closed jobs nothing.

    Only the last 400 rows are looked at, so that it is known at once in a book of many years.
    """
    rows = book.query(_WORKED_ON_LAST, count=count)
    return [WorkedOn(*row[:4]) for row in rows]


class NamedOperation(NamedTuple):
    """How an operation is called, and in which group it stands."""

    code: str
    name: str
    group: str


def named_operations(book: Book) -> list[NamedOperation]:
    """The operations in force as they are called, in the order they were first posted.

    It is for lists to choose from, which are read whenever a screen is opened: no times.
    """
    rows = book.query_as(
        NamedOperation, f"SELECT code, name, family FROM operation WHERE {IN_FORCE} ORDER BY id"
    )
    return list({row.code: row for row in rows}.values())


class TimedWork(NamedTuple):
    """An entry that says from when to when."""

    began: str
    ended: str
    job: int | None
    operation: str | None
    task: str


_TIMED_WORK_OF_DAY = f"""SELECT DISTINCT began, ended, job, coalesce(operation, family), task
FROM work WHERE day = :day AND person = :person AND began IS NOT NULL AND {IN_FORCE}
ORDER BY began"""


def timed_work_of_day(book: Book, person: str, day: date) -> list[TimedWork]:
    """The entries of a person on a day that say from when to when, in the order of time."""
    return book.query_as(TimedWork, _TIMED_WORK_OF_DAY, day=day, person=person)


class SameWork(NamedTuple):
    """What tells entries of hours without times apart: an operation, a group or a task is done."""

    day: str
    person: str
    kind: str
    job: int | None
    part: str
    operation: str | None
    group: str | None
    task: str


_MINUTES_STAND_ALREADY = f"""SELECT 1 FROM work WHERE day = :day AND person = :person
AND class = :kind AND job IS :job AND part = :part AND CASE
WHEN :operation IS NOT NULL THEN operation = :operation AND NOT split
WHEN :group IS NOT NULL THEN family = :group AND (split OR operation IS NULL) ELSE task = :task END
AND {IN_FORCE} GROUP BY deed, entry HAVING sum(minutes) = :minutes LIMIT 1"""


def minutes_stand_already(book: Book, work: SameWork, minutes: int) -> bool:
    """Whether an entry of the same work took just as long; a group that was split is added up."""
    return bool(book.query(_MINUTES_STAND_ALREADY, minutes=minutes, **work._asdict()))


class Built(NamedTuple):
    """A closed job with the count of one operation as built, in millionths, and its words."""

    job: int
    number: str
    operation: str
    driver: int
    words: str


_BUILT_COUNTS = f"""SELECT job, number, operation, driver, words
FROM (SELECT c.job, j.number, c.operation, c.driver, c.words, c.id,
  max(c.id) OVER (PARTITION BY c.job, c.operation) AS newest
  FROM job_count c JOIN job j ON j.id = c.job WHERE c.occasion = 'built' AND c.{IN_FORCE}
    AND (SELECT s.state FROM job_state s WHERE s.job = c.job AND s.{IN_FORCE}
      ORDER BY s.id DESC LIMIT 1) = 'closed')
WHERE id = newest ORDER BY job, id"""


def built_counts(book: Book) -> list[Built]:
    """The counts as built of the jobs that are closed now, the last of each operation."""
    return book.query_as(Built, _BUILT_COUNTS)


class LoadedJob(NamedTuple):
    """A past job as it stands in the book; its minutes are work, rework apart where it is known.

    `is_total` says that its hours are known in all alone.
    """

    key: int
    number: str
    title: str
    done: date
    price: Money | None
    material: Money | None
    other: Money
    minutes: int
    rework_minutes: int
    helper_minutes: int
    guessed: int
    is_total: bool

    @property
    def worked(self) -> int:
        """All its minutes, rework in them."""
        return self.minutes + self.rework_minutes


def loaded_jobs(book: Book, before: int = EVER) -> list[LoadedJob]:
    """The past jobs in the order they were loaded, of the entries before one."""
    return book.query_as(
        LoadedJob,
        "SELECT p.job, j.number, j.title, p.done, iif(p.price_known, p.price, NULL),"
        " iif(p.material_known, p.material, NULL), p.other,"
        " CASE WHEN p.minutes THEN p.minutes - p.rework_minutes ELSE coalesce("
        f"  (SELECT sum(l.minutes) FROM past_line l WHERE l.job = p.job AND l.{IN_FORCE}), 0) END,"
        " p.rework_minutes, p.helper_minutes, p.guessed, p.minutes > 0"
        f" FROM past_job p JOIN job j ON j.id = p.job WHERE p.{IN_FORCE} AND p.deed < :before"
        " ORDER BY p.id",
        before=before,
    )


def loaded_lines(book: Book) -> list[tuple[int, str, int, int]]:
    """The lines of past jobs as loaded: job, operation, count in millionths, minutes."""
    return book.query(
        f"SELECT job, operation, driver, minutes FROM past_line WHERE {IN_FORCE} ORDER BY id"
    )


def unlogged_answers(book: Book) -> dict[tuple[int, str], tuple[str, str]]:
    """Why lines of jobs have no hours, and on which operation they were logged; by job and line."""
    sql = f"SELECT job, operation, answer, onto FROM unlogged WHERE {IN_FORCE} ORDER BY id"
    return {(job, line): (answer, onto) for job, line, answer, onto in book.query(sql)}


def marked_days(book: Book) -> dict[str, date]:
    """The day from which each marked operation is learned afresh."""
    rows = book.query(f"SELECT operation, day FROM operation_mark WHERE {IN_FORCE} ORDER BY id")
    return {row.operation: date.fromisoformat(row.day) for row in rows}


class PlannedHours(NamedTuple):
    """The hours of one operation that a job's own are compared with."""

    operation: str
    hours: str
    basis: str
    entry: int


_PLANNED_HOURS = f"""SELECT operation, hours, basis, deed FROM hours_plan
WHERE job = :job AND deed = (SELECT deed FROM hours_plan WHERE job = :job AND {IN_FORCE}
ORDER BY basis = 'quote' DESC, deed DESC LIMIT 1) ORDER BY id"""


def planned_hours(book: Book, job: int) -> list[PlannedHours]:
    """The hours a job was planned at: those of its quote, else those posted last."""
    return book.query_as(PlannedHours, _PLANNED_HOURS, job=job)


_CHANGED_SINCE = """SELECT 1 FROM job_basis WHERE job = :job AND deed > :entry
UNION ALL SELECT 1 FROM job_line WHERE job = :job AND deed > :entry
UNION ALL SELECT 1 FROM job_total WHERE job = :job AND minutes > 0 AND deed > :entry
UNION ALL SELECT 1 FROM job_count
WHERE job = :job AND occasion = 'planned' AND deed > :entry LIMIT 1"""


def changed_since(book: Book, job: int, entry: int) -> bool:
    """Whether a job's design, lines, guess or counts by hand were changed after an entry."""
    return bool(book.query(_CHANGED_SINCE, job=job, entry=entry))


_RUNNING = f"""FROM clock
WHERE {IN_FORCE} AND id NOT IN (SELECT clock FROM clock_stop WHERE {IN_FORCE})"""


def clocks_that_run(book: Book) -> list[int]:
    """The numbers of the clocks that were started and not stopped."""
    return book.column(f"SELECT id {_RUNNING} ORDER BY id")


def running_since(book: Book) -> str | None:
    """The moment from which the clock runs, or None."""
    moment: str | None
    (moment,) = book.column(f"SELECT max(began) {_RUNNING}")
    return moment


class Logged(NamedTuple):
    """One entry of hours, its rows added up: a group that was split is one entry."""

    entry: int
    time_entry: int
    day: date
    job: int | None
    activity: str
    split: bool
    kind: str
    people: str
    minutes: int
    began: str | None
    ended: str | None
    part: str
    cause: str
    note: str


_TIME_ENTRIES = f"""SELECT deed, entry, min(day), job,
CASE WHEN task <> '' THEN task WHEN split OR operation IS NULL THEN family ELSE operation END
AS activity, max(split), class, group_concat(DISTINCT person), sum(minutes), min(began), max(ended),
part, cause, note FROM work
WHERE day BETWEEN :first AND :last AND {IN_FORCE} AND (:job IS NULL OR job = :job)
GROUP BY deed, entry, activity ORDER BY min(day) DESC, deed DESC, entry DESC LIMIT :limit"""


def time_entries(
    book: Book, *, job: int | None = None, first: date, last: date, limit: int = 1000
) -> list[Logged]:
    """The entries of hours from day to day, of one job or of all, the latest last."""
    rows = book.query_as(Logged, _TIME_ENTRIES, job=job, first=first, last=last, limit=limit)
    return [row._replace(people=_owner_first(row.people)) for row in reversed(rows)]


def _owner_first(people: str) -> str:
    return ", ".join(sorted(people.split(","), key=lambda person: (person != "owner", person)))


_JOBS_OF_WORK = """SELECT DISTINCT job FROM work WHERE deed = :entry AND job IS NOT NULL
AND class <> 'content'"""


def jobs_of_work(book: Book, entry: int) -> list[int]:
    """The jobs on which an entry, in force or not, logged hours other than content."""
    return book.column(_JOBS_OF_WORK, entry=entry)

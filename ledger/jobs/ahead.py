"""What is booked ahead of the owner: agreed jobs with hours left, in the order they were agreed.

When work is done at the hours that are really free: days of work, weeks off. Pure.

The billable hours of a week lie on Monday to Friday alike (*common practice, no source*); days off
have none. So much is an assumption, and a date that follows from it is said as “about”.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct, field

from ledger.book import Book
from ledger.book.questions.labor import WorkOfMonth, WorkSum, work_of_job
from ledger.book.questions.progress import agreed_jobs, fewer_minutes, open_jobs
from ledger.book.tables.ground import Job
from ledger.book.tables.operations import Operation
from ledger.jobs.agreement import agreement_of
from ledger.jobs.changes import approved_minutes
from ledger.jobs.lines import guessed_minutes
from ledger.labor.plan import COUNTED, hours_left, plan_of, worked_on_changes
from ledger.labor.standards import staffed
from ledger.measures.days_off import DaysOff
from ledger.measures.rounding import half_up

WORKDAYS = 5
FARTHEST = 3 * 366
"""Days after which no date is told: the book can't mean it."""


class FreeTime(Struct, frozen=True):
    """The owner's billable hours a week, and days off."""

    hours_a_week: Fraction
    off: DaysOff = field(default_factory=DaysOff)

    def on(self, day: date) -> Fraction:
        """The hours of a day."""
        is_off = day.weekday() >= WORKDAYS or self.off.has(day)
        return Fraction(0) if is_off else self.hours_a_week / WORKDAYS

    def between(self, first: date, last: date) -> Fraction:
        """The hours from one day to another, both in it."""
        days = (last - first).days + 1
        return sum((self.on(first + timedelta(days=n)) for n in range(days)), Fraction(0))

    def done_by(self, start: date, hours: Fraction) -> date | None:
        """The day on which so many hours are done if work begins on a day; None if too far off.

        >>> FreeTime(Fraction(25)).done_by(date(2026, 3, 2), Fraction(26))
        datetime.date(2026, 3, 9)
        """
        left, day = hours, start
        for _ in range(FARTHEST):
            left -= self.on(day)
            if left <= 0:
                return day
            day += timedelta(days=1)
        return None


WEEKS_A_YEAR = 48
"""Weeks of work in a year, of which days off are no part twice (*common practice, no source*)."""

BUILT = frozenset({"ready", "installed"})
"""States in which nothing is left to build; what is closed or canceled is not open at all."""


class BookedWork(Struct, frozen=True):
    """An agreed job with the owner's hours still to do; None where nothing foretells them."""

    job: Job
    agreed: date
    left: Decimal | None


class Earliest(Struct, frozen=True):
    """When a further job would be done after all that is booked, and how many hours that is."""

    day: date | None
    booked: Decimal


def free_time(book: Book) -> FreeTime:
    """The owner's billable hours a week and days off, as the settings say."""
    shop = book.settings
    return FreeTime(shop.billable * shop.hours_year / WEEKS_A_YEAR, shop.days_off or DaysOff())


def owner_left(
    work: Iterable[WorkSum | WorkOfMonth],
    plan: Mapping[str, Decimal],
    operations: Mapping[str, Operation],
) -> Decimal:
    """The owner's part of what is left, each line rounded as the estimate rounds it.

    What helpers worked on a line beyond their share of it is done, and the owner need not do it.
    """
    shares = {
        code: half_up(Fraction(hours) * operations[code].helper_share, 2)
        for code, hours in plan.items()
    }
    own = {code: hours - shares[code] for code, hours in plan.items()}
    groups = {code: row.group for code, row in operations.items()}
    return half_up(hours_left(own, groups, work, shares), 2)


def to_do(
    work: Sequence[WorkSum | WorkOfMonth], plan: Mapping[str, Decimal] | None,
    guessed: int, changed: int, fewer: int, operations: Mapping[str, Operation],
) -> Decimal | None:  # fmt: skip
    """The owner's hours still to do on a job, `changed` minutes of approved changes in them.

    `fewer` are minutes that such changes took off. A job that was sold in one sum has its
    `guessed` minutes, less what was worked; None where nothing foretells them.
    """
    ahead = Fraction(max(changed - worked_on_changes(work), 0), 60)
    if plan:
        own = Fraction(owner_left(work, plan, operations)) - Fraction(fewer, 60)
        return half_up(max(own, Fraction(0)) + ahead, 2)
    if not guessed:
        return None
    minutes = sum(row.minutes for row in work if row.kind in COUNTED)
    return half_up(Fraction(max(guessed - fewer - minutes, 0), 60) + ahead, 2)


def booked_ahead(book: Book) -> list[BookedWork]:
    """The open jobs that are agreed and not built yet, first agreed first."""
    operations, agreed = staffed(book), agreed_jobs(book)
    booked = []
    for row in open_jobs(book, book.today):
        job = book.row(Job, row.job) if row.job in agreed else None
        agreement = agreement_of(book, job) if job is not None else None
        if job is not None and agreement is not None and row.state not in BUILT:
            worked, changed = work_of_job(book, job.key), approved_minutes(book, job)
            plan, fewer = plan_of(book, job), fewer_minutes(book, job.key)
            left = to_do(worked, plan, guessed_minutes(book, job), changed, fewer, operations)
            booked.append(BookedWork(job, agreement.day, left))
    return sorted(booked, key=lambda one: (one.agreed, one.job.key))


def earliest(book: Book, job: Job, hours: Decimal, lead_days: int) -> Earliest:
    """When a job of so many owner hours would be done, after all other jobs that are agreed.

    Its own work waits for what must be bought (`buying_days`); the others, who need `lead_days`,
    begin when it has done its part.
    """
    others = [one.left for one in booked_ahead(book) if one.job.key != job.key and one.left]
    booked, free = sum(others, Decimal("0.00")), free_time(book)
    before = free.done_by(book.today, Fraction(booked)) if booked else book.today
    if before is None:
        return Earliest(None, booked)
    bought = book.today + timedelta(days=book.settings.buying_days)
    if bought > before:  # the rest of the last day before it is left out: a day's part at most
        done = free.done_by(bought, Fraction(hours))
    else:
        done = free.done_by(book.today, Fraction(booked) + Fraction(hours))
    return Earliest(None if done is None else done + timedelta(days=lead_days), booked)

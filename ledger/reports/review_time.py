"""Where the owner's hours of a period went, what was booked ahead, promises, standards. Pure."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book.questions.labor import WorkOfMonth
from ledger.book.questions.review import SpentTime, StateDay
from ledger.book.tables.operations import Operation
from ledger.jobs.ahead import to_do
from ledger.jobs.changes import Change
from ledger.measures.duration import to_hours
from ledger.measures.grouped import grouped
from ledger.measures.money import Money
from ledger.measures.rounding import half_up

SAVING = Fraction(1, 10)
"""The saving that a tool or jig is reckoned with: 10 % of the hours of its operation."""

OVER = frozenset({"ready", "installed", "closed", "canceled"})
"""States in which nothing is booked on a job."""

LEAST_TIMED = 2
"""An operation has a ratio to its standard where so many closed jobs timed it by itself."""


class ShareOfTime(Struct, frozen=True):
    """The owner's logged time beside what the rates assume, which is a part of the open hours.

    Rework is paid by nobody: it stands apart from what is billable.
    """

    billable: int
    rework: int
    logged: int
    open_hours: Fraction
    assumed: Fraction

    @property
    def on_jobs(self) -> int:
        """All minutes on jobs, rework in them."""
        return self.billable + self.rework

    @property
    def of_logged(self) -> Fraction | None:
        """The billable share of what was logged."""
        return Fraction(self.billable, self.logged) if self.logged else None

    @property
    def is_thin(self) -> bool:
        """Whether less than half of the open hours is logged at all, billable or not."""
        return Fraction(self.logged, 60) * 2 < self.open_hours

    @property
    def of_open(self) -> Fraction | None:
        """The billable share of the hours that the shop is open by its settings."""
        return Fraction(self.billable, 60) / self.open_hours if self.open_hours else None


def share_of_time(
    spent: Iterable[SpentTime], open_hours: Fraction, assumed: Fraction
) -> ShareOfTime:
    """The owner's billable and logged minutes: those on commissions, rework apart."""
    own = [one for one in spent if one.is_owner]
    rework = sum(one.minutes for one in own if one.kind == "rework")
    on_jobs = sum(one.minutes for one in own if one.is_billable)
    logged = sum(one.minutes for one in own)
    return ShareOfTime(on_jobs - rework, rework, logged, open_hours, assumed)


def by_class(spent: Iterable[SpentTime]) -> dict[str, Counter[str]]:
    """The owner's minutes by class, each with its activities; the class with most first."""
    classes: dict[str, Counter[str]] = {}
    for one in spent:
        if one.is_owner:
            classes.setdefault(one.kind, Counter())[one.activity] += one.minutes
    return dict(sorted(classes.items(), key=lambda row: (-row[1].total(), row[0])))


class Activity(Struct, frozen=True):
    """What the owner did in a period: minutes by job and by class, and what 10 % are worth.

    On jobs all classes stand together; content and the shop's own tasks stand apart, and a saving
    of theirs has no worth, for none of them is sold.
    """

    name: str
    is_on_jobs: bool
    by_job: Mapping[str, int]
    classes: Mapping[str, int]
    worth: Money | None

    @property
    def minutes(self) -> int:
        """All of its minutes."""
        return sum(self.by_job.values())

    @property
    def saved(self) -> Decimal | None:
        """The hours that a saving of 10 % would leave."""
        return half_up(Fraction(self.minutes, 60) * SAVING, 2) if self.is_on_jobs else None


def activities_of(spent: Iterable[SpentTime], break_even: Money) -> list[Activity]:
    """What the owner's hours went into, most first."""
    jobs: dict[tuple[str, bool], Counter[str]] = {}
    classes: dict[tuple[str, bool], Counter[str]] = {}
    for one in spent:
        if one.is_owner:
            key = one.activity, one.is_billable
            jobs.setdefault(key, Counter())[one.job] += one.minutes
            classes.setdefault(key, Counter())[one.kind] += one.minutes
    rows = []
    for (name, is_on_jobs), by_job in jobs.items():
        worth = break_even.times(Fraction(by_job.total(), 60) * SAVING) if is_on_jobs else None
        rows.append(Activity(name, is_on_jobs, by_job, classes[name, is_on_jobs], worth))
    return sorted(rows, key=lambda row: (-row.minutes, row.name))


class BookedJob(Struct, frozen=True):
    """A job that was agreed: its days, what was planned, and what was worked on it by month.

    `planned` is the day since which its plan stands: a quote may follow a price in one sum with
    `guessed` minutes. `changes` are those approved, with their days; `operations` tell the owner's
    part of the plan.
    """

    number: str
    agreed: date
    planned: date
    plan: Mapping[str, Decimal] | None
    guessed: int
    changes: Sequence[Change]
    operations: Mapping[str, Operation]
    work: Sequence[WorkOfMonth]
    states: Sequence[StateDay]

    def is_over(self, day: date) -> bool:
        """Whether nothing was left to do at the end of a day, by the state in which it stood."""
        entered = [row.state for row in self.states if row.day <= day]
        return bool(entered) and entered[-1] in OVER

    def left(self, day: date) -> Decimal | None:
        """The owner's hours left at the end of a month, by what was agreed and worked till then."""
        orders = [change.order for change in self.changes if change.since <= day]
        return to_do(
            [row for row in self.work if row.month <= f"{day:%Y-%m}"],
            self.plan if self.planned <= day or not self.guessed else None,
            self.guessed,
            sum(order.minutes for order in orders),
            sum(order.fewer_minutes for order in orders),
            self.operations,
        )


def hours_ahead(jobs: Iterable[BookedJob], day: date) -> list[tuple[str, Decimal]]:
    """What was booked at the end of a month: what each agreed job then had left of its plan."""
    agreed = [job for job in jobs if job.agreed <= day and not job.is_over(day)]
    return [(job.number, left) for job in agreed if (left := job.left(day))]


class KeptPromise(Struct, frozen=True):
    """A job with the day its quote promised and the day it was installed (or closed)."""

    job: str
    paid: date
    weeks: int
    changed_days: int
    done: date

    @property
    def promised(self) -> date:
        """The weeks of the quote from the first payment on, and the days of its changes."""
        return self.paid + timedelta(weeks=self.weeks, days=self.changed_days)

    @property
    def days_late(self) -> int:
        """Days after the promised one; negative where it came before."""
        return (self.done - self.promised).days


class TimedLine(Struct, frozen=True):
    """An operation of a closed job: hours by the standards at the counts as built, and taken."""

    job: str
    operation: str
    standard: Decimal
    minutes: int


class TimedOperation(Struct, frozen=True):
    """An operation that closed jobs timed by itself, beside its standard at the counts as built."""

    name: str
    lines: tuple[TimedLine, ...]

    @property
    def jobs(self) -> int:
        """How many jobs timed it."""
        return len({line.job for line in self.lines})

    @property
    def standard(self) -> Decimal:
        """Its hours by the standard."""
        return sum((line.standard for line in self.lines), Decimal(0))

    @property
    def took(self) -> Decimal:
        """The hours it took, everybody's, without rework and change orders."""
        return to_hours(sum(line.minutes for line in self.lines))

    @property
    def ratio(self) -> Decimal | None:
        """Its hours ÷ those of the standard; None where fewer than two jobs timed it."""
        took = Fraction(sum(line.minutes for line in self.lines), 60)
        return half_up(took / Fraction(self.standard), 2) if self.jobs >= LEAST_TIMED else None


class UntimedHours(Struct, frozen=True):
    """Minutes of closed jobs that time no operation by itself: of a whole group, and others.

    Others have no count as built, were the first of their kind, or lie before a new start.
    """

    group: int = 0
    other: int = 0


def operations_of(lines: Iterable[TimedLine]) -> list[TimedOperation]:
    """The operations that were timed by themselves, those with most hours over standard first."""
    timed = grouped((line for line in lines if line.standard > 0), lambda line: line.operation)
    rows = [TimedOperation(name, tuple(own)) for name, own in timed.items()]
    return sorted(rows, key=lambda row: (row.standard - row.took, row.name))


def weeks(hours: Fraction, hours_a_week: Fraction) -> Decimal:
    """Hours in weeks, to a tenth."""
    return half_up(hours / hours_a_week, 1) if hours_a_week else Decimal(0)

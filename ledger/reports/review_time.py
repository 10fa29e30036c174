"""Where the owner's hours of a period went, what was booked ahead, promises kept, drift. Pure."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from ledger.measures.money import Money
from ledger.measures.rounding import half_up

SAVING = Fraction(1, 10)
"""The saving that a tool or jig is reckoned with: 10 % of the hours of its operation."""

LEAST_DRIFT = 2
"""An operation drifts where it was timed on at least so many closed jobs."""


@dataclass(frozen=True, slots=True)
class SpentTime:
    """Minutes of the period of one person on one activity, in one class, for one job or none."""

    job: str
    activity: str
    kind: str
    is_owner: bool
    minutes: int
    is_billable: bool


@dataclass(frozen=True, slots=True)
class ShareOfTime:
    """The owner's logged time beside what the rates assume, which is a part of the open hours.

    Rework is paid by nobody: it stands apart from what is billable.
    """

    billable: int
    rework: int
    logged: int
    open_hours: Fraction
    assumed: Fraction

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


def by_activity(spent: Iterable[SpentTime]) -> list[tuple[tuple[str, str], int, Counter[str]]]:
    """The owner's minutes by class and activity, most first, each with its jobs."""
    jobs: dict[tuple[str, str], Counter[str]] = {}
    for one in spent:
        if one.is_owner:
            jobs.setdefault((one.kind, one.activity), Counter())[one.job] += one.minutes
    rows = [(key, by_job.total(), by_job) for key, by_job in jobs.items()]
    return sorted(rows, key=lambda row: (-row[1], row[0]))


@dataclass(frozen=True, slots=True)
class BookedJob:
    """A job that was agreed: its planned owner hours, its days, its minutes by month (YYYY-MM).

    `over` is the day on which nothing was left to do, or None.
    """

    number: str
    agreed: date
    over: date | None
    planned: Decimal
    worked: Mapping[str, int]


def hours_ahead(jobs: Iterable[BookedJob], day: date) -> list[tuple[str, Fraction]]:
    """What was booked at the end of a month: for each agreed job its planned hours less worked."""
    ahead = []
    month = f"{day:%Y-%m}"
    for job in jobs:
        if job.agreed <= day and (job.over is None or job.over > day):
            done = sum(minutes for name, minutes in job.worked.items() if name <= month)
            left = Fraction(job.planned) - Fraction(done, 60)
            if left > 0:
                ahead.append((job.number, left))
    return ahead


@dataclass(frozen=True, slots=True)
class KeptPromise:
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


@dataclass(frozen=True, slots=True)
class TimedLine:
    """An operation of a closed job: hours by the standards at the counts as built, and taken."""

    job: str
    operation: str
    standard: Decimal
    minutes: int


@dataclass(frozen=True, slots=True)
class OperationYear:
    """An operation in a period: its ratio to the standard, its hours, what 10 % of them are worth.

    `ratio` is None where fewer than two closed jobs timed it by itself.
    """

    name: str
    lines: tuple[TimedLine, ...]
    ratio: Decimal | None
    by_job: Mapping[str, int]
    worth: Money

    @property
    def minutes(self) -> int:
        """The minutes of the period, on all jobs."""
        return sum(self.by_job.values())

    @property
    def saved(self) -> Decimal:
        """The hours that a saving of 10 % would leave."""
        return half_up(Fraction(self.minutes, 60) * SAVING, 2)


def operations_of(
    lines: Sequence[TimedLine], spent: Iterable[SpentTime], break_even: Money
) -> list[OperationYear]:
    """Each operation on which the owner worked in the period, most hours first."""
    minutes: dict[str, Counter[str]] = {}
    for one in spent:
        if one.is_owner and one.is_billable:
            minutes.setdefault(one.activity, Counter())[one.job] += one.minutes
    rows = []
    for name, by_job in minutes.items():
        own = tuple(line for line in lines if line.operation == name and line.standard > 0)
        standard = sum((Fraction(line.standard) for line in own), Fraction(0))
        took = Fraction(sum(line.minutes for line in own), 60)
        is_timed = len({line.job for line in own}) >= LEAST_DRIFT
        ratio = half_up(took / standard, 2) if is_timed else None
        worth = break_even.times(Fraction(by_job.total(), 60) * SAVING)
        rows.append(OperationYear(name, own, ratio, by_job, worth))
    return sorted(rows, key=lambda row: (-row.minutes, row.name))


def weeks(hours: Fraction, hours_a_week: Fraction) -> Decimal:
    """Hours in weeks, to a tenth."""
    return half_up(hours / hours_a_week, 1) if hours_a_week else Decimal(0)

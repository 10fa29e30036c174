"""The weeks ahead: when each agreed job is done at the hours that are free, beside its promise."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import work_of_job
from ledger.book.questions.progress import fewer_minutes, material_of_jobs
from ledger.book.tables.ground import Job
from ledger.jobs.ahead import booked_ahead, free_time
from ledger.jobs.answers import bills_of_others, to_give_out
from ledger.jobs.changes import agreed_hours, changes
from ledger.jobs.cost_differences import with_goods_of_others
from ledger.jobs.jobs import SHUT, state_of
from ledger.labor.plan import COUNTED
from ledger.measures.duration import to_hours
from ledger.measures.frozen import read_json
from ledger.measures.money import Currency, Money, total
from ledger.measures.plain import plain_fields, plain_rows
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many
from ledger.stock.worth import job_material

WEEKS_SHOWN = 8
NOTHING = Money(0)


class Promise(Struct, frozen=True):
    """What a quote promised: so many weeks from the first payment, and the days of changes."""

    paid: date
    weeks: int
    changed_days: int

    @property
    def day(self) -> date:
        """The promised day."""
        return self.paid + timedelta(weeks=self.weeks, days=self.changed_days)


class JobAhead(Struct, frozen=True):
    """An agreed job: owner hours left, about when it is done, what was promised.

    `left` is None where nothing foretells its hours, and then so is `done`; `before` are the hours
    of the jobs that were agreed earlier; `others_days` is the longest work of others to come.
    """

    number: str
    left: Decimal | None
    before: Decimal
    done: date | None
    promised: date | None
    others_days: int = 0

    @property
    def days_late(self) -> int:
        """Days after the promised one; 0 where it can be kept or nothing was promised."""
        if self.done is None or self.promised is None:
            return 0
        return max(0, (self.done - self.promised).days)

    @property
    def words(self) -> str:
        """When it is done and whether that is late, as a sentence."""
        if self.done is None:
            return f"{self.number}: no hours are planned, so no day follows."
        after = f" after {self.before} h agreed before it" if self.before else ""
        sentence = f"{self.number}: {self.left} h of yours left, done about {self.done}{after}"
        if self.others_days:
            days = how_many(self.others_days, "day")
            sentence += f", without the {days} that others need"
        if self.promised is None:
            return f"{sentence}."
        late = f", {how_many(self.days_late, 'day')} late" if self.days_late else ""
        return f"{sentence}; promised for {self.promised}{late}."


class WeekAhead(Struct, frozen=True):
    """A week from a day on: hours that are free in it, and how many of them are booked."""

    start: date
    free: Decimal
    booked: Decimal


class WorkAhead(Struct, frozen=True):
    """The agreed jobs in the order they were agreed, and the weeks that they fill."""

    jobs: tuple[JobAhead, ...] = ()
    weeks: tuple[WeekAhead, ...] = ()


def promise_of(book: Book, job: Job) -> Promise | None:
    """What the accepted quote of a job promised; None before a payment came, or without a quote."""
    from ledger.book.tables.jobs import Payment
    from ledger.book.tables.quotes import QuotePage
    from ledger.quotes.revisions import accepted

    quote = accepted(book, job)
    page = book.last(QuotePage, quote=quote.key) if quote else None
    came = [one.day for one in book.rows(Payment, job=job.key) if one.amount > NOTHING]
    if page is None or not came:
        return None
    days = sum(one.order.days for one in changes(book, job) if one.state == "approved")
    return Promise(min(came), read_json(page.page)["lead_weeks"], days)


def work_ahead(book: Book) -> WorkAhead:
    """The agreed jobs one after another, at the billable hours of the days that are not off."""
    free, before, rows = free_time(book), Fraction(0), []
    for work in booked_ahead(book):
        promise = promise_of(book, work.job)
        until = before + Fraction(work.left or 0)
        done = None if work.left is None else free.done_by(book.today, until)
        promised = promise.day if promise else None
        days = max((line.lead_days for line in to_give_out(book, work.job)), default=0)
        rows.append(JobAhead(work.job.number, work.left, half_up(before, 2), done, promised, days))
        before = until
    weeks: list[WeekAhead] = []
    left, start = before, book.today
    while left > 0 and len(weeks) < WEEKS_SHOWN:
        last = start + timedelta(days=6 - start.weekday())
        hours = free.between(start, last)
        weeks.append(WeekAhead(start, half_up(hours, 1), half_up(min(left, hours), 1)))
        left, start = left - hours, last + timedelta(days=1)
    return WorkAhead(tuple(rows), tuple(weeks))


class JobLeft(Struct, frozen=True):
    """A running job against what was priced: hours of all people, material at full value.

    `ahead` is None before a price is agreed and once the job is built. `agreed` are the hours that
    changes left of what was planned; None where they took none off.
    """

    ahead: JobAhead | None
    worked: Decimal
    priced: Decimal | None
    agreed: Decimal | None
    material: Money
    material_priced: Money | None

    def sentences(self, currency: Currency) -> list[str]:
        """Hours, material and the day, a sentence each."""
        hours = f"{self.priced} h priced" if self.priced is not None else ""
        if self.agreed is not None:
            hours = f"{self.agreed} h agreed now" + (f" ({hours})" if hours else "")
        hours = f" of {hours}" if hours else ""
        material = (
            f" of {currency.show(self.material_priced)} priced" if self.material_priced else ""
        )
        return [
            f"Worked {self.worked} h{hours}; material {currency.show(self.material)}"
            f"{material} is taken.",
            *([self.ahead.words] if self.ahead else ()),
        ]

    def as_json(self, currency: Currency) -> dict[str, Any]:
        """The hours, the material and the day as JSON."""
        hours = "hours_worked=worked hours_priced=priced hours_agreed=agreed"
        ahead = self.ahead or JobAhead("", None, Decimal(0), None, None)
        return plain_fields(self, f"{hours} material material_priced", currency) | plain_fields(
            ahead, _AHEAD
        )


def left_of(book: Book, job: Job) -> JobLeft | None:
    """What was done and is left of a job till it is over; None where it is, or nothing began."""
    mine = next((one for one in work_ahead(book).jobs if one.number == job.number), None)
    taken = material_of_jobs(book, book.today, [job.key]).get(job.key)
    minutes = sum(row.minutes for row in work_of_job(book, job.key) if row.kind in COUNTED)
    if mine is None and (state_of(book, job) in SHUT or not (minutes or (taken and taken.full))):
        return None
    from ledger.quotes.revisions import accepted
    from ledger.reports.review_frozen import read_plan, read_points, read_sheet
    from ledger.reports.review_read import frozen_sheet

    frozen = frozen_sheet(book, accepted(book, job))
    points, plan = read_sheet(frozen, read_points), read_sheet(frozen, read_plan)
    used = job_material(book, job.key)
    costs = with_goods_of_others(plan.costs, used) if plan else None
    priced = points.hours if points and points.hours else None
    return JobLeft(
        ahead=mine,
        worked=to_hours(minutes),
        priced=priced,
        agreed=agreed_hours(book, job) if fewer_minutes(book, job.key) else None,
        material=(taken.full if taken else NOTHING) - total(bills_of_others(used)),
        material_priced=costs.goods if costs else None,
    )


_AHEAD = "owner_hours_left=left done_about=done promised days_late"
"""A job ahead as facts."""


def work_json(ahead: WorkAhead) -> dict[str, Any]:
    """The agreed jobs and the weeks ahead as facts."""
    return {
        "ahead": plain_rows(ahead.jobs, f"job=number {_AHEAD}"),
        "weeks": plain_rows(ahead.weeks, "from=start free booked"),
    }

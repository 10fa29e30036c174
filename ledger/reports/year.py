"""The year's end: spend by month, closing stock, goods in kind, miles, jobs, other income."""

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.month import issued_by_job
from ledger.book.questions.month_rows import InKindRow, received_in_kind
from ledger.book.questions.progress import OWNER, reopened_jobs, work_on_jobs
from ledger.book.questions.stock import OnHand
from ledger.book.questions.year import IncomeRow, Trip, other_income, trips
from ledger.jobs.going_back import all_goods_to_return
from ledger.jobs.jobs import jobs
from ledger.jobs.late import late_costs
from ledger.jobs.payments import refunds
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.reports.called_for import credits_needed
from ledger.reports.month_data import MonthOfSpend, spend_by_month
from ledger.reports.roll import MaterialRoll, Roll, roll_between, roll_by_material
from ledger.reports.settled import OverAccount
from ledger.reports.spend import Spend, spend_between
from ledger.reports.wip import (
    JobInProgress,
    canceled_jobs,
    money_in,
    states_on,
    work_in_progress,
)
from ledger.stock import value_on
from ledger.stock.use_tax import use_tax_by_job

NOTHING = Money(0)


class JobOfYear(Struct, frozen=True):
    """What the year brought to a job: material, hours, payments, and where it stands.

    `use_tax` is what it owes on material bought for resale, beside what that cost.
    """

    number: str
    title: str
    state: str
    material: Money
    material_cash: Money
    use_tax: Money
    received: Money
    tax: Money
    held: Money
    owner_minutes: int


class YearReport(OverAccount, frozen=True):
    """A year's account; one that is running goes up to today."""

    year: int
    units: str
    shop: str
    as_of: date
    is_over: bool
    spend: Spend
    months: Sequence[tuple[Month, Spend]]
    by_category: Sequence[MonthOfSpend]
    full: Roll[Money]
    cash: Roll[Money]
    rolls: Sequence[MaterialRoll]
    closing_stock: Sequence[OnHand]
    in_kind: Sequence[InKindRow]
    trips: Sequence[Trip]
    jobs: Sequence[JobOfYear]
    progress: Sequence[JobInProgress]
    income: Sequence[IncomeRow]

    @property
    def streams(self) -> dict[str, tuple[Money, Money]]:
        """Income beside the commissions by its kind, in their order: gross, and the fees of it."""
        sums: dict[str, tuple[Money, Money]] = {}
        for one in sorted(self.income, key=lambda row: row.stream):
            gross, fee = sums.get(one.stream, (Money(0), Money(0)))
            sums[one.stream] = gross + one.gross, fee + one.fee
        return sums

    @property
    def driven(self) -> Quantity:
        """The distance driven for jobs, in the unit of the book."""
        return sum((trip.distance for trip in self.trips), Quantity(0))


def year_report(book: Book, year: int) -> YearReport:
    """Take the account of a year."""
    months = [Month(year, number) for number in range(1, 13)]
    first, end = months[0].first, months[-1].last
    last = min(end, book.today)
    full, cash = roll_between(book, first, end)
    return YearReport(
        year=year,
        currency=book.currency,
        units=book.units,
        shop=book.setting_text("shop"),
        as_of=last,
        is_over=end < book.today,
        spend=spend_between(book, first, end),
        months=[(month, spend_between(book, month.first, month.last)) for month in months],
        by_category=spend_by_month(book, months),
        full=full,
        cash=cash,
        rolls=roll_by_material(book, first, end),
        closing_stock=value_on(book, end),
        in_kind=received_in_kind(book, first, end),
        trips=trips(book, first, end),
        jobs=_jobs(book, first, end),
        progress=work_in_progress(book, last),
        canceled=canceled_jobs(book, first, last),
        late=late_costs(book, first, last),
        reopened=reopened_jobs(book, last),
        to_refund=refunds(book, last),
        to_send_back=all_goods_to_return(book, last),
        to_credit=credits_needed(book, last),
        income=other_income(book, first, end),
    )


def _jobs(book: Book, first: date, last: date) -> list[JobOfYear]:
    """The commissions that took material or hours, or were paid for, in the time."""
    material = {row.job: row for row in issued_by_job(book, first, last)}
    paid = {row.job: row for row in money_in(book, first, last)}
    minutes = _minutes(book, first, last)
    states, owed = states_on(book, last), use_tax_by_job(book, first, last)
    rows = []
    for job in jobs(book):
        got, money = material.get(job.number), paid.get(job.number)
        row = JobOfYear(
            number=job.number,
            title=job.title,
            state=states.get(job.number, "done"),
            material=got.full if got else NOTHING,
            material_cash=got.cash if got else NOTHING,
            use_tax=owed.get(job.key, NOTHING),
            received=money.received if money else NOTHING,
            tax=money.tax if money else NOTHING,
            held=money.held if money else NOTHING,
            owner_minutes=minutes.get(job.key, 0),
        )
        if row.material or row.use_tax or row.received or row.held or row.owner_minutes:
            rows.append(row)
    return rows


def _minutes(book: Book, first: date, last: date) -> dict[int, int]:
    """The owner's minutes on each job from the first day to the last."""
    before = date.fromordinal(first.toordinal() - 1)
    sums: dict[int, int] = {}
    for day, sign in ((last, 1), (before, -1)):
        for row in work_on_jobs(book, day):
            if row.person == OWNER:
                sums[row.job] = sums.get(row.job, 0) + sign * row.minutes
    return sums

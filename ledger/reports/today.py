"""What is open in the shop today: the clock, jobs, quotes, payments, promises, buying, prices.

Nothing here lays out sheets or works out a price, so that the answer comes at once: hours planned
are those that were kept, and what to buy follows the costs frozen with the accepted quote. Rows
only; the command line says them. What only some shops have (sponsors, quotes, designs) is loaded
where the book has any, for the answer is asked for every morning.

    weeks booked = owner hours still planned ÷ (hours a year × billable share ÷ 48 weeks)

A year of 48 weeks of work is common practice, no source.
"""

from collections.abc import Container, Iterable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.book import Book
from ledger.book.days import open_months
from ledger.book.questions.labor import clocks_that_run, work_of_job
from ledger.book.questions.prices import days_of_prices
from ledger.book.questions.progress import (
    agreed_jobs,
    designs_in_use,
    fewer_minutes,
    has_lines,
    has_sponsors,
    open_jobs,
    paid_or_quoted,
    reopened_jobs,
)
from ledger.book.questions.returns import sent_not_credited
from ledger.book.series import OffSite, off_site
from ledger.book.tables.counts import JobTotal
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import SentInvoice
from ledger.book.tables.operations import Operation
from ledger.jobs.agreement import agreement_of
from ledger.jobs.ahead import BUILT, WEEKS_A_YEAR, to_do
from ledger.jobs.changes import approved_minutes
from ledger.jobs.going_back import GoodsToReturn, all_goods_to_return
from ledger.jobs.jobs import state_words
from ledger.jobs.lines import USE, guessed_minutes, lines_of, total_of
from ledger.jobs.payments import (
    Outstanding,
    Refund,
    Settlement,
    balance,
    payments_due,
    received_on,
    refunds,
    settlements,
)
from ledger.labor.plan import plan_of, standing, worked_on_changes
from ledger.labor.standards import staffed
from ledger.measures.day import Month
from ledger.measures.duration import to_hours
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.reports.ahead import WorkAhead, work_ahead
from ledger.reports.called_for import papers_called_for
from ledger.reports.still_to_buy import ToBuy, still_to_buy
from ledger.stock.materials import materials

if TYPE_CHECKING:
    from ledger.labor.clock import Running
    from ledger.quotes.revisions import RevisionStanding
    from ledger.quotes.to_be_paid import OpenPaper
    from ledger.reports.others import OthersWork
    from ledger.sponsors.agreements import Progress
    from ledger.stock.credited import PaidFor

SOON = 7
"""Days before its end from which a sent quote is about to expire."""

LATELY = 14
"""Days for which a quote that expired without an answer is still shown."""


class UnderWay(Struct, frozen=True):
    """A job that is open, its state, and whether a quote or money ever was about it."""

    job: Job
    state: str
    is_paid_or_quoted: bool

    @property
    def is_built(self) -> bool:
        """Whether nothing is left to build."""
        return self.state in BUILT


class JobNow(Struct, frozen=True):
    """An open job: its state, minutes so far, hours planned; None where no estimate is kept.

    A job sold in one sum (`has_sum`) has its guessed hours. Approved change orders are in both
    hours; `owner_left` are the owner's hours still to come. `is_paid` says that all that is asked
    for has come.
    """

    number: str
    title: str
    state: str
    minutes: int
    planned: Decimal | None
    owner_left: Decimal | None
    is_paid: bool
    has_sum: bool = False
    is_reopened: bool = False

    @property
    def state_words(self) -> str:
        """The state; a deposit that was all there is to pay is no deposit."""
        paid = self.is_paid and self.state == "deposit paid"
        return "paid in full" if paid else state_words(self.state, is_reopened=self.is_reopened)


class PaidAhead(Struct, frozen=True):
    """An open job whose client paid while nothing is agreed; `quote` waits, where one was sent."""

    number: str
    held: Money
    quote: str


class OldPrice(Struct, frozen=True):
    """A material that an open job needs and whose price is older than the shop trusts."""

    material: str
    name: str
    day: date
    jobs: tuple[str, ...]


class AwaitedCredit(Struct, frozen=True):
    """Goods sent back without a credit note yet: what they had cost, and what was paid for them."""

    supplier: str
    item: str
    quantity: Quantity
    unit: str
    since: date
    cost: Money
    paid: "PaidFor"


class Today(Struct, frozen=True):
    """Everything that is open; a part without rows has nothing to say."""

    day: date
    shop: str
    currency: Currency
    is_new: bool
    stale_days: int
    hours_a_week: Fraction
    clock: "Running | None"
    jobs: tuple[JobNow, ...]
    quotes: "tuple[RevisionStanding, ...]"
    payments: tuple[tuple[Job, Outstanding], ...]
    invoices: "tuple[OpenPaper, ...]"
    paid_ahead: tuple[PaidAhead, ...]
    to_settle: tuple[Settlement, ...]
    to_refund: tuple[Refund, ...]
    to_send_back: tuple[GoodsToReturn, ...]
    to_invoice: tuple[str, ...]
    deliverables: "tuple[Progress, ...]"
    to_buy: tuple[ToBuy, ...]
    awaited_credits: tuple[AwaitedCredit, ...]
    old_prices: tuple[OldPrice, ...]
    others: "tuple[OthersWork, ...]"
    open_months: tuple[Month, ...]
    off_site: OffSite | None
    ahead: WorkAhead

    @property
    def owner_left(self) -> Decimal:
        """The owner's hours still planned for all open jobs."""
        return sum((job.owner_left or Decimal(0) for job in self.jobs), Decimal("0.00"))

    @property
    def weeks_booked(self) -> Decimal:
        """How many weeks those hours fill, to a tenth."""
        return self.weeks_of(self.owner_left)

    def weeks_of(self, hours: Decimal) -> Decimal:
        """How many weeks some of the owner's hours fill, to a tenth."""
        return half_up(Fraction(hours) / self.hours_a_week, 1)

    @property
    def is_quiet(self) -> bool:
        """Whether nothing at all is open."""
        return self.clock is None and not any((
            self.jobs, self.quotes, self.payments, self.invoices, self.paid_ahead, self.to_settle,
            self.to_refund, self.to_send_back, self.to_invoice, self.deliverables, self.to_buy,
            self.awaited_credits, self.old_prices, self.others, self.open_months,
        ))  # fmt: skip


def today_report(book: Book) -> Today:
    """Gather what is open; nothing is posted and nothing is laid out."""
    with book.read_ahead(JobTotal):
        return _gathered(book)


def _gathered(book: Book) -> Today:
    under_way = _open_jobs(book)
    return Today(
        day=book.today,
        shop=book.setting_text("shop"),
        currency=book.currency,
        is_new=not under_way and not materials(book) and book.last(Job) is None,
        stale_days=book.settings.stale_days,
        hours_a_week=book.settings.billable * book.settings.hours_year / WEEKS_A_YEAR,
        clock=_clock(book),
        jobs=_jobs_now(book, under_way),
        quotes=_quotes_waiting(book, under_way),
        payments=tuple(payments_due(book)),
        invoices=_invoices(book),
        paid_ahead=_paid_ahead(book, under_way),
        to_settle=tuple(one for one in settlements(book) if not one.is_settled),
        to_refund=tuple(refunds(book)),
        to_send_back=tuple(all_goods_to_return(book)),
        to_invoice=tuple(papers_called_for(book)),
        deliverables=_deliverables(book),
        to_buy=tuple(
            still_to_buy(book, [o.job for o in under_way if o.is_paid_or_quoted and not o.is_built])
        ),
        awaited_credits=tuple(_awaited_credits(book)),
        old_prices=_old_prices(book, under_way),
        others=_others(book, under_way),
        open_months=open_months(book),
        off_site=off_site(book),
        ahead=work_ahead(book),
    )


def _clock(book: Book) -> "Running | None":
    if not clocks_that_run(book):
        return None
    from ledger.labor.clock import running

    return running(book)


def _invoices(book: Book) -> "tuple[OpenPaper, ...]":
    if book.last(SentInvoice) is None:
        return ()
    from ledger.quotes.to_be_paid import open_papers

    return tuple(open_papers(book))


def _others(book: Book, under_way: Iterable[UnderWay]) -> "tuple[OthersWork, ...]":
    if not has_lines(book):
        return ()
    from ledger.reports.others import others_work

    return others_work(book, [one.job for one in under_way if not one.is_built])


def _deliverables(book: Book) -> "tuple[Progress, ...]":
    if not has_sponsors(book):
        return ()
    from ledger.sponsors import deliverables_due

    return tuple(deliverables_due(book))


def _open_jobs(book: Book) -> list[UnderWay]:
    states = {row.job: row.state for row in open_jobs(book, book.today)}
    dealt = paid_or_quoted(book)
    return [UnderWay(job, states[job.key], job.key in dealt) for job in book.rows_of(Job, states)]


def _jobs_now(book: Book, under_way: Iterable[UnderWay]) -> tuple[JobNow, ...]:
    operations, agreed = staffed(book), agreed_jobs(book)
    reopened = reopened_jobs(book, book.today)
    return tuple(_job_now(book, one, operations, agreed, reopened) for one in under_way)


def _job_now(
    book: Book,
    one: UnderWay,
    operations: Mapping[str, Operation],
    agreed: Container[int],
    reopened: Container[str],
) -> JobNow:
    job, state = one.job, one.state
    plan, guess, work = plan_of(book, job), total_of(book, job), work_of_job(book, job.key)
    # only what is agreed has change orders
    changed = approved_minutes(book, job) if job.key in agreed else 0
    fewer = fewer_minutes(book, job.key) if job.key in agreed else 0
    now, guessed = standing(work, plan, fewer=fewer), guessed_minutes(book, job)
    left = to_do(work, plan, guessed, changed, fewer, operations)
    minutes, planned = now.job_minutes + worked_on_changes(work), now.job_planned
    if plan is None and guess is not None and guess.minutes:
        planned = to_hours(guess.minutes)
    if planned is not None:
        planned += to_hours(changed)
    if left is not None and state in BUILT:
        left = Decimal("0.00")
    money = balance(book, job) if one.is_paid_or_quoted else None
    is_paid = money is not None and money.asked > Money(0) and money.due <= Money(0)
    return JobNow(
        job.number,
        job.title,
        state,
        minutes,
        planned,
        left,
        is_paid,
        guess is not None,
        job.number in reopened,
    )


def _quotes_waiting(book: Book, under_way: Iterable[UnderWay]) -> "tuple[RevisionStanding, ...]":
    """The last revision of each open job that expires soon, did so lately, or has money ahead."""
    waiting: list[RevisionStanding] = []
    for job in (one.job for one in under_way if one.is_paid_or_quoted):
        from ledger.quotes.revisions import revisions
        from ledger.quotes.revisions import standing as quote_standing

        for quote in revisions(book, job)[-1:]:
            now = quote_standing(book, quote)
            days = (now.offer.valid_until - book.today).days
            is_near = -LATELY <= days <= SOON
            is_paid = now.state == "sent" and received_on(book, job) > Money(0)
            if now.state in {"sent", "expired"} and (is_near or is_paid):
                waiting.append(now)
    return tuple(sorted(waiting, key=lambda now: now.offer.valid_until))


def _paid_ahead(book: Book, under_way: Iterable[UnderWay]) -> tuple[PaidAhead, ...]:
    payments = []
    for job in (one.job for one in under_way if one.is_paid_or_quoted):
        held = received_on(book, job)
        if held > Money(0) and agreement_of(book, job) is None:
            from ledger.quotes.revisions import sent_revision

            quote = sent_revision(book, job)
            payments.append(PaidAhead(job.number, held, quote.name if quote else ""))
    return tuple(payments)


def _awaited_credits(book: Book) -> list[AwaitedCredit]:
    """What suppliers still owe a credit note for, oldest first."""
    credits = []
    for gone in sent_not_credited(book, book.today):
        from ledger.book.tables.stock import Lot
        from ledger.stock.credited import paid_for, sold_by

        lot = book.row(Lot, gone.lot)
        if lot is not None:
            credits.append(
                AwaitedCredit(
                    sold_by(book, lot), lot.material or lot.words, gone.open, lot.unit, gone.day,
                    gone.cost_of(gone.open), paid_for(book, lot, gone.open),
                )
            )  # fmt: skip
    return credits


def _old_prices(book: Book, under_way: Iterable[UnderWay]) -> tuple[OldPrice, ...]:
    """The old prices among what the designs and typed lines of jobs still to be built name."""
    users: dict[str, list[str]] = {}
    with_lines, designs = has_lines(book), designs_in_use(book)
    for job in (one.job for one in under_way if not one.is_built):
        codes = {line.name for line in lines_of(book, job, USE)} if with_lines else set()
        if job.key in designs:
            from ledger.designs.store import load_version

            codes |= load_version(book, designs[job.key])[1].materials
        for code in codes:
            users.setdefault(code, []).append(job.number)
    known, limit = materials(book), book.settings.stale_days
    days = days_of_prices(book, users.keys() & known.keys(), book.today)
    return tuple(
        OldPrice(code, known[code].name, days[code], tuple(users[code]))
        for code in sorted(days)
        if (book.today - days[code]).days > limit
    )

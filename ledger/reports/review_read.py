"""What a review needs to know of closed jobs and sent quotes, read from the book."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.book import Book
from ledger.book.questions.income import Closed, Rework, closed_jobs, rework_of
from ledger.book.questions.labor import loaded_jobs, unlogged_answers, work_of_job
from ledger.book.questions.progress import open_jobs
from ledger.book.tables import answers, counts, ground, income, jobs, tax
from ledger.book.tables.ground import Job, JobBasis
from ledger.book.tables.quotes import Quote, QuoteBasis, QuotePage, QuoteState
from ledger.errors import LedgerError
from ledger.jobs.agreement import agreement_of
from ledger.jobs.answers import costs_of
from ledger.jobs.changes import changes
from ledger.jobs.closing_plan import plan_at_closing
from ledger.jobs.cost_differences import (
    cost_differences,
    planned_costs,
    with_consumables,
    with_goods_of_others,
    with_planned_tax,
)
from ledger.jobs.done import done_with
from ledger.jobs.lines import OUTSIDE, WORK, has_design, is_work_order, lines_of, total_of
from ledger.jobs.near import family_of
from ledger.jobs.other_costs import costs_not_noted
from ledger.jobs.pricing import price_job
from ledger.jobs.unlogged import not_logged
from ledger.labor.observations import FORGOTTEN
from ledger.measures.duration import to_hours
from ledger.measures.frozen import read_json
from ledger.measures.money import Money, total
from ledger.measures.values import replace
from ledger.reports.review_frozen import (
    FrozenPlan,
    cost_beside_hours,
    owner_hours,
    read_plan,
    read_points,
    read_sheet,
    rework_hours,
)
from ledger.reports.review_jobs import ClosedWork, HoursOfJob
from ledger.reports.review_quotes import (
    DECLINED,
    EXPIRED,
    WAITING,
    WON,
    FrozenPoints,
    SentQuote,
)
from ledger.stock.worth import job_material

OTHER_KIND = "other pieces"
ORDER, IN_ONE_SUM = "repairs and other orders", "jobs in one sum"


def rows_of_jobs(book: Book) -> AbstractContextManager[None]:
    """Read the rows at once that a review asks of one job after another."""
    return book.read_ahead(
        Job, JobBasis, ground.JobState, Quote, QuoteState, answers.JobCost,
        counts.JobLine, counts.JobTotal, income.Income, income.Spoiled, jobs.Agreement,
        jobs.Cancellation, jobs.ChangeOrder, jobs.ChangeState, jobs.Due, jobs.Payment,
        tax.JobUseTax,
    )  # fmt: skip


def kind_of(book: Book, job: Job) -> str:
    """The kind of piece by the words of the job's title and of its design.

    What is typed as lines of work is an order, whatever piece it is done on. What was sold in one
    sum, its material typed or not, is the piece that its title names, else a job in one sum.
    """
    is_sum = total_of(book, job) is not None
    if not has_design(book, job) and lines_of(book, job, WORK if is_sum else ""):
        return ORDER
    if family := family_of(book, job):
        return family.replace("-", " ")
    if is_work_order(book, job):
        return IN_ONE_SUM if is_sum else ORDER
    return OTHER_KIND


def closed_work(book: Book, first: date, last: date, quotes: "QuotesOfBook") -> list[ClosedWork]:
    """The jobs that were closed on these days and are closed now, oldest first."""
    answers = {line: answer for line, (answer, _) in unlogged_answers(book).items()}
    work = []
    for row in closed_jobs(book):
        job = book.row(Job, row.job) if first <= row.day <= last else None
        if job is not None:
            work.append(_closed(book, job, row, quotes, answers))
    return work


def _closed(
    book: Book,
    job: Job,
    row: Closed,
    quotes: "QuotesOfBook",
    answers: Mapping[tuple[int, str], str],
) -> ClosedWork:
    approved = [one.order for one in changes(book, job) if one.state == "approved"]
    changed, agreed_price = total(order.price for order in approved), agreement_of(book, job)
    price = row.price - changed if agreed_price is None else agreed_price.price
    hours, used = work_of_job(book, job.key), job_material(book, job.key)
    noted = costs_of(book, job, "actual")
    done = done_with(book, job, hours, used, noted, price, changed)
    plan = quotes.plan_of(job)
    planned, is_guess = Decimal(row.planned), False
    if not planned:
        agreed = total_of(book, job)
        planned, is_guess = to_hours(agreed.minutes) if agreed else planned, True
    lines = not_logged(plan.hours, hours) if plan else []
    kept = None if plan or is_guess else read_sheet(plan_at_closing(book, job), rework_hours)
    reworked = plan.rework if plan else kept or Decimal(0)
    one = ClosedWork(
        number=row.number,
        title=row.title,
        kind=kind_of(book, job),
        day=row.day,
        done=done,
        hours=HoursOfJob(
            planned=planned + reworked or None,
            planned_rework=reworked,
            is_guess=is_guess,
            changes=sum(part.minutes for part in hours if part.kind == "change_order"),
            sold=sum(order.minutes for order in approved if order.price > Money(0)),
            rework=_by_cause(rework_of(book, job.key)) if done.rework_minutes else (),
            not_logged=tuple((line.name, line.estimate) for line in lines
                             if answers.get((job.key, line.operation), "") in {"", FORGOTTEN}),
        ),
    )  # fmt: skip
    if plan is None:
        if not is_work_order(book, job):
            return one
        cost, planned_hours = _typed_plan(book, job)
        return replace(one, typed_earned=price - cost, planned_owner_hours=planned_hours)
    taxed = with_planned_tax(used, plan.costs.others)
    counted = with_consumables(with_goods_of_others(plan.costs, used), used, noted)
    is_reworked = bool(done.rework_minutes or done.rework_material)
    missing = costs_not_noted(
        counted.others, book.units, book.currency, noted, used, is_reworked=is_reworked
    )
    return replace(
        one,
        costs=cost_differences(counted, done, taxed, noted, missing, book.units),
        planned_earned=done.price - plan.costs.amount,
        planned_owner_hours=plan.owner_hours,
    )


def _typed_plan(book: Book, job: Job) -> tuple[Money, Decimal | None]:
    """What a job without a quote was to cost beside the owner's hours, and these, as it was closed.

    The hours are None where its closing kept none.
    """
    kept = read_sheet(
        plan_at_closing(book, job), lambda body: (cost_beside_hours(body), owner_hours(body))
    )
    if kept is not None:
        return kept
    try:
        return planned_costs(price_job(book, job)).amount, None
    except LedgerError:  # a material of it has no price any more
        return total(line.amount for line in lines_of(book, job, OUTSIDE)), None


def _by_cause(rework: Iterable[Rework]) -> tuple[tuple[str, int], ...]:
    causes: dict[str, int] = {}
    for one in rework:
        causes[one.cause] = causes.get(one.cause, 0) + one.minutes
    return tuple(sorted(causes.items(), key=lambda one: (-one[1], one[0])))


class QuotesOfBook:
    """All quotes with their states, and the cost sheets frozen behind them, each read once."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.states: dict[int, list[QuoteState]] = {}
        for state in book.rows(QuoteState):
            self.states.setdefault(state.quote, []).append(state)
        self.sent: dict[int, Quote] = {}
        """The last revision of each job that was sent, by the job's key."""
        self.accepted: dict[int, Quote] = {}
        for quote in book.rows(Quote):
            states = self.states.get(quote.key, [])
            if any(state.state == "sent" for state in states):
                self.sent[quote.job] = quote
            if states and states[-1].state == "accepted":
                self.accepted[quote.job] = quote
        self._sheets: dict[int, bytes] = {}

    def plan_of(self, job: Job) -> FrozenPlan | None:
        """What the accepted quote of a job counted on; None without one."""
        quote = self.accepted.get(job.key)
        return self._read(quote, read_plan) if quote else None

    def points_of(self, quote: Quote) -> FrozenPoints | None:
        """The points frozen behind a quote; None where they do not read."""
        return self._read(quote, read_points)

    def _read[T](self, quote: Quote, read: Callable[[Mapping[str, Any]], T]) -> T | None:
        if quote.key not in self._sheets:
            self._sheets[quote.key] = frozen_sheet(self.book, quote)
        return read_sheet(self._sheets[quote.key], read)


def frozen_sheet(book: Book, quote: Quote | None) -> bytes:
    """The cost sheet frozen behind a quote; nothing without one."""
    basis = book.last(QuoteBasis, quote=quote.key) if quote else None
    return basis.basis if basis else b""


def sent_quotes(
    book: Book, first: date, last: date, done: Iterable[ClosedWork], quotes: QuotesOfBook
) -> list[SentQuote]:
    """The last sent revision of each job, where it was sent on these days, as it stands today."""
    minutes = {one.number: one.minutes - one.hours.changes for one in done if one.is_timed}
    sent = []
    for quote in quotes.sent.values():
        of_quote = quotes.states[quote.key]
        day = next(state.day for state in of_quote if state.state == "sent")
        job, page = book.row(Job, quote.job), book.last(QuotePage, quote=quote.key)
        if job is None or page is None or not first <= day <= last:
            continue
        body = read_json(page.page)
        now = of_quote[-1]
        is_over = book.today > date.fromisoformat(body["valid_until"])
        outcome = {"accepted": WON, "declined": DECLINED}.get(
            now.state, EXPIRED if is_over else WAITING
        )
        worked = minutes.get(job.number)
        price = Money(sum(line["amount"] for line in body["deliverables"]))
        agreed = book.last(jobs.Agreement, job=job.key, source=quote.name)
        sent.append(
            SentQuote(
                name=quote.name,
                job=job.number,
                kind=kind_of(book, job),
                sent=day,
                outcome=outcome,
                answered=now.day if outcome in {WON, DECLINED} else None,
                price=price,
                why=now.how if outcome == DECLINED else "",
                points=quotes.points_of(quote),
                actual_hours=to_hours(worked) if worked is not None else None,
                is_canceled=book.last(jobs.Cancellation, job=job.key) is not None,
                options=agreed.price - price if agreed and outcome == WON else Money(0),
            )
        )
    return sent


def givers(book: Book) -> dict[str, tuple[str, ...]]:
    """The sponsors whose publications show a job, by the job's number."""
    from ledger.book.tables.sponsors import PublicationJob, PublicationSponsor

    sponsors: dict[int, list[str]] = {}
    for named in book.rows(PublicationSponsor):
        sponsors.setdefault(named.publication, []).append(named.sponsor)
    givers: dict[str, dict[str, None]] = {}
    for shown in book.rows(PublicationJob):
        job = book.row(Job, shown.job)
        if job is not None:
            for name in sponsors.get(shown.publication, ()):
                givers.setdefault(job.number, {})[name] = None
    return {job: tuple(names) for job, names in givers.items()}


def not_closed(book: Book, day: date) -> list[str]:
    """The jobs that were ready or installed on a day and not closed."""
    return [job.number for job in open_jobs(book, day) if job.state in {"ready", "installed"}]


def past(book: Book, first: date, last: date) -> list[str]:
    """The jobs of these days that were loaded as past jobs, in no sum for lack of their rows."""
    return sorted(row.number for row in loaded_jobs(book) if first <= row.done <= last)


def sells_as_it_is(book: Book, number: str) -> bool:
    """Whether a job sells goods as they are: it has a price and no work, planned or done."""
    job = book.last(Job, number=number)
    if job is None or has_design(book, job) or lines_of(book, job, WORK):
        return False
    agreed = total_of(book, job)
    has_price = is_work_order(book, job) or agreement_of(book, job) is not None
    return has_price and not (agreed and agreed.minutes) and not work_of_job(book, job.key)


def without_hours(book: Book, day: date, closed: Sequence[ClosedWork]) -> list[str]:
    """Jobs without any hours of work: closed ones, and open ones that are being built."""
    silent = [
        one.number for one in closed if not one.done.owner_minutes and not one.done.helper_minutes
    ]
    building = [
        job.number
        for job in open_jobs(book, day)
        if job.state in {"building", "finishing", "ready", "installed"}
        and not any(row.kind != "content" for row in work_of_job(book, job.job))
    ]
    return [*silent, *building]

"""What a review needs to know of closed jobs and sent quotes, read from the book."""

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ledger.book import Book
from ledger.book.questions.income import closed_jobs, rework_of
from ledger.book.tables.estimates import ForetoldRow
from ledger.book.tables.ground import Job, JobBasis
from ledger.book.tables.quotes import Quote, QuoteBasis, QuotePage, QuoteState
from ledger.designs.kinds import starter_for
from ledger.errors import BadValue
from ledger.jobs.changes import changes
from ledger.jobs.closeout import done_on
from ledger.jobs.lines import has_design, is_work_order, lines_of, total_of
from ledger.labor.nearest import read_piece
from ledger.measures.duration import to_hours
from ledger.measures.frozen import plain
from ledger.measures.money import Money, total
from ledger.quotes.revisions import accepted
from ledger.reports.review_jobs import ClosedWork
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
ORDER = "repairs and other orders"


def kind_of(book: Book, job: Job) -> str:
    """The kind of piece by the words of the job's title and of its design.

    What is typed as lines of work is an order, whatever piece it is done on; so is what was sold in
    one sum, where its title names no piece.
    """
    if not has_design(book, job) and lines_of(book, job):
        return ORDER
    titles = [job.title]
    basis = book.last(JobBasis, job=job.key)
    if basis is not None:
        from ledger.book.tables.designs import DesignVersion

        version = book.row(DesignVersion, basis.design)
        titles += [f"{version.title} {version.name}"] if version else []
    for title in titles:
        starter = starter_for(read_piece(title, book.units).words)
        if starter:
            return starter.replace("-", " ")
    return ORDER if is_work_order(book, job) else OTHER_KIND


def closed_work(book: Book, first: date, last: date) -> list[ClosedWork]:
    """The jobs that were closed on these days and are closed now, oldest first."""
    work = []
    for row in closed_jobs(book):
        job = book.row(Job, row.job)
        if job is None or not first <= row.day <= last:
            continue
        approved = [one.order for one in changes(book, job) if one.state == "approved"]
        changed = total(order.price for order in approved)
        done = done_on(book, job, row.price - changed, changed)
        foretold = book.last(ForetoldRow, job=job.key)
        has_points = foretold is not None and foretold.typical > 0
        points = points_of(book, accepted(book, job))
        paid = sum(order.minutes for order in approved if order.price > Money(0))
        changing, agreed = done_minutes(book, job), total_of(book, job)
        guessed = to_hours(agreed.minutes) if agreed is not None and agreed.minutes else None
        work.append(
            ClosedWork(
                number=row.number,
                title=row.title,
                kind=kind_of(book, job),
                day=row.day,
                done=done,
                priced=points.hours if points and points.material is not None else None,
                typical=foretold.typical if has_points and foretold else None,
                foretold_minutes=foretold.minutes if has_points and foretold else 0,
                planned_material=points.material if points else None,
                planned_freight=points.freight if points else Money(0),
                freight=total(use.freight for use in job_material(book, job.key)),
                guess=None if has_points else guessed,
                guessed_minutes=row.minutes,
                rework=_by_cause((one.cause, one.minutes) for one in rework_of(book, job.key)),
                unpriced_minutes=max(0, changing - paid),
            )
        )
    return work


def done_minutes(book: Book, job: Job) -> int:
    """The minutes logged on change orders of a job."""
    from ledger.book.questions.labor import work_of_job

    return sum(row.minutes for row in work_of_job(book, job.key) if row.kind == "change_order")


def _by_cause(rework: Iterable[tuple[str, int]]) -> tuple[tuple[str, int], ...]:
    causes: dict[str, int] = {}
    for cause, minutes in rework:
        causes[cause] = causes.get(cause, 0) + minutes
    return tuple(sorted(causes.items(), key=lambda one: (-one[1], one[0])))


def points_of(book: Book, quote: Quote | None) -> FrozenPoints | None:
    """The points frozen behind a quote; None without a quote or where they do not read."""
    basis = book.last(QuoteBasis, quote=quote.key) if quote else None
    if basis is None:
        return None
    try:
        return read_points(plain(basis.basis))
    except (BadValue, KeyError, TypeError, ValueError, ArithmeticError):
        return None


def read_points(body: Mapping[str, Any]) -> FrozenPoints:
    """The points of a frozen cost sheet, from its plain values.

    Only what is needed is read: to thaw whole sheets of a year would take seconds. Where all points
    are one, as of a price agreed in one sum, there is no range to speak of.
    """
    totals, spread, rates = body["totals"], body["range"], body["rates"]
    hours = Decimal(totals["estimate_hours"])
    material = None if body.get("is_agreed") else Money(totals["material_full"])
    freight = Money(totals.get("freight", 0))
    if not hours or Decimal(spread["p50"]) >= Decimal(spread["p95"]):
        return FrozenPoints(hours, None, None, None, None, material, freight)
    contingency = sum(row["amount"] for row in body["build_up"] if row["name"] == "contingency")
    billed = _labor(Fraction(totals["owner_hours"]), Fraction(totals["helper_hours"]), rates)
    rest = totals["build_up"] - contingency - billed
    share = Fraction(spread.get("helper", 0))
    prices = []
    for name in ("p50", "p80"):
        helper = Fraction(spread[name]) * share
        labor = _labor(Fraction(spread[name]) - helper, helper, rates)
        prices.append(Money(1).times(rest + labor))  # one rounding: neither part is whole cents
    typical, safe = Decimal(spread["p50"]), Decimal(spread["p80"])
    return FrozenPoints(hours, typical, safe, prices[0], prices[1], material, freight)


def _labor(owner: Fraction, helper: Fraction, rates: Mapping[str, int]) -> Fraction:
    """What so many hours are billed at, in minor units."""
    return owner * rates["selling"] + helper * rates["helper_billed"]


def sent_quotes(book: Book, first: date, last: date, done: Iterable[ClosedWork]) -> list[SentQuote]:
    """The last sent revision of each job, where it was sent on these days, as it stands today."""
    minutes = {one.number: one.done.owner_minutes + one.done.helper_minutes for one in done}
    states: dict[int, list[QuoteState]] = {}
    for state in book.rows(QuoteState):
        states.setdefault(state.quote, []).append(state)
    newest: dict[int, Quote] = {}
    for quote in book.rows(Quote):
        if any(state.state == "sent" for state in states.get(quote.key, ())):
            newest[quote.job] = quote
    sent = []
    for quote in newest.values():
        of_quote = states[quote.key]
        day = next(state.day for state in of_quote if state.state == "sent")
        job, page = book.row(Job, quote.job), book.last(QuotePage, quote=quote.key)
        if job is None or page is None or not first <= day <= last:
            continue
        body = plain(page.page)
        now = of_quote[-1]
        is_over = book.today > date.fromisoformat(body["valid_until"])
        outcome = {"accepted": WON, "declined": DECLINED}.get(
            now.state, EXPIRED if is_over else WAITING
        )
        worked = minutes.get(job.number)
        sent.append(
            SentQuote(
                name=quote.name,
                job=job.number,
                kind=kind_of(book, job),
                sent=day,
                outcome=outcome,
                answered=now.day if outcome in {WON, DECLINED} else None,
                price=Money(sum(line["amount"] for line in body["deliverables"])),
                why=now.how if outcome == DECLINED else "",
                points=points_of(book, quote),
                actual_hours=to_hours(worked) if worked is not None else None,
            )
        )
    return sent

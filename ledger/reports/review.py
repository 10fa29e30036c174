"""The owner's review of a year or of any days: streams, quotes, time, material, rates.

For the owner alone: nothing of it stands on a paper for anybody else. Values only; what is said of
them stands in `review_blocks`. A job counts on the day it was closed, a quote when it was sent,
other income, hours and purchases on their own day.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.month import (
    landed_by_month_and_category,
    landed_by_month_and_supplier,
)
from ledger.book.questions.month_rows import received_in_kind
from ledger.book.questions.review import (
    GivenGone,
    RackMove,
    Scrapped,
    SpentTime,
    SpoiledPart,
    bought_lines,
    given_gone,
    rack_moves,
    scrapped,
    spoiled_parts,
)
from ledger.book.questions.year import other_income
from ledger.costing.rates import Rates
from ledger.errors import BadValue
from ledger.jobs.ahead import WEEKS_A_YEAR
from ledger.jobs.shop_rates import rates_of
from ledger.measures.day import Month
from ledger.measures.money import Currency, Money, total
from ledger.measures.values import replace
from ledger.reports import review_read, review_read_time
from ledger.reports.review_jobs import (
    SPONSOR_FEE,
    ClosedWork,
    ContentTime,
    OtherIncome,
    Stream,
    streams,
)
from ledger.reports.review_material import (
    BACK,
    SOLD,
    TAKEN,
    UNSOLD,
    PriceChange,
    RackOfPeriod,
    RackPieceMoved,
    Spending,
    SponsorGoods,
    price_changes,
    rack_of_period,
    spending,
    sponsor_goods,
)
from ledger.reports.review_quotes import SentQuote
from ledger.reports.review_rates import RatesCheck, YearAsItWas, check_rates
from ledger.reports.review_read_result import held, moved_money, still_owed, to_go_back
from ledger.reports.review_result import Amounts, ResultLine, result_lines
from ledger.reports.review_time import (
    Activity,
    BookedJob,
    KeptPromise,
    ShareOfTime,
    TimedOperation,
    UntimedHours,
    activities_of,
    operations_of,
    share_of_time,
)
from ledger.reports.wip import CanceledJob, canceled_jobs
from ledger.stock.materials import materials


class TypedYear(Struct, frozen=True):
    """Overhead, pay and billable hours of the days of the review as typed; None is not typed."""

    overhead: Money | None = None
    pay: Money | None = None
    hours: Fraction | None = None


class MaterialReview(Struct, frozen=True):
    """What material cost and where it went."""

    by_supplier: Sequence[Spending]
    by_category: Sequence[Spending]
    prices: Sequence[PriceChange]
    scrapped: Sequence[Scrapped]
    spoiled: Sequence[SpoiledPart]
    rack: RackOfPeriod
    sponsors: Sequence[SponsorGoods]


class TimeReview(Struct, frozen=True):
    """Where time went, what was booked at each month's end, what was promised and kept."""

    share: ShareOfTime
    spent: Sequence[SpentTime]
    booked: Sequence[BookedJob]
    month_ends: Sequence[date]
    promises: Sequence[KeptPromise]
    activities: Sequence[Activity]
    operations: Sequence[TimedOperation]
    untimed: UntimedHours
    hours_a_week: Fraction


class Review(Struct, frozen=True):
    """Everything that a review tells; `rates` and the check are None while no rates are set.

    `end` is the last day that was asked for, `last` the last that has come.
    """

    shop: str
    currency: Currency
    units: str
    first: date
    last: date
    end: date
    is_over: bool
    opened: date | None
    result: Sequence[ResultLine]
    still_owed: Amounts
    held: Amounts
    to_go_back: Amounts
    given: Money
    given_gone: Sequence[GivenGone]
    is_overhead_typed: bool
    jobs: Sequence[ClosedWork]
    streams: Sequence[Stream]
    content: Sequence[ContentTime]
    quotes: Sequence[SentQuote]
    time: TimeReview
    material: MaterialReview
    rates: Rates | None
    check: RatesCheck | None
    not_closed: Sequence[str]
    without_hours: Sequence[str]
    past: Sequence[str]

    @property
    def timed(self) -> list[ClosedWork]:
        """The closed jobs whose hours say what an hour earned."""
        return [job for job in self.jobs if job.is_timed]


def part_of_year(first: date, last: date) -> Fraction:
    """These days as a part of a year of 365 days; a whole calendar year is just 1.

    >>> part_of_year(date(2024, 1, 1), date(2024, 12, 31)), part_of_year(*2 * [date(2025, 5, 1)])
    (Fraction(1, 1), Fraction(1, 365))
    """
    is_year = (first.month, first.day) == (1, 1) and last == date(first.year, 12, 31)
    return Fraction(1) if is_year else Fraction((last - first).days + 1, 365)


def review(book: Book, first: date, last: date, typed: TypedYear | None = None) -> Review:
    """Review some days; those that lie ahead are left out.

    Raises:
        BadValue: the days lie ahead, or their order is turned round.
    """
    if last < first:
        raise BadValue(f"{last} is before {first}; write the earlier day as --from.")
    if first > book.today:
        raise BadValue(f"{first} lies ahead; there is nothing to review yet.")
    with review_read.rows_of_jobs(book):
        return _review(book, first, last, typed or TypedYear())


def _review(book: Book, first: date, last: date, typed: TypedYear) -> Review:
    until = min(last, book.today)
    quotes = review_read.QuotesOfBook(book)
    jobs = review_read.closed_work(book, first, until, quotes)
    rates = _rates(book)
    break_even = rates.break_even if rates else Money(0)
    other = [
        OtherIncome(row.stream, row.job, row.gross, row.fee)
        for row in other_income(book, first, until)
    ]
    in_kind = _in_kind(book, first, until)
    canceled = _canceled(book, first, until)
    flows = streams(jobs, other, in_kind, [_kept(one) for one in canceled])
    moved = moved_money(book, first, until, canceled, _overhead(book, typed, first, until))
    spent = review_read_time.spent_time(book, first, until)
    result = Review(
        shop=book.setting_text("shop"),
        currency=book.currency,
        units=book.units,
        first=first,
        last=until,
        end=last,
        is_over=last < book.today,
        opened=book.settings.opened,
        result=result_lines(jobs, flows, moved),
        still_owed=still_owed(book, [job.number for job in jobs], until),
        held=held(book, until),
        to_go_back=to_go_back(book, until),
        given=total(fair for _, fair in in_kind),
        given_gone=given_gone(book, first, until) if in_kind else (),
        is_overhead_typed=bool(typed.overhead),
        jobs=jobs,
        streams=flows,
        content=_content(spent),
        quotes=review_read.sent_quotes(book, first, until, jobs, quotes),
        time=_time(book, first, until, spent, jobs, break_even),
        material=_material(book, first, until, _content(spent), other, dict(in_kind), break_even),
        rates=rates,
        check=None,
        not_closed=review_read.not_closed(book, until),
        without_hours=review_read.without_hours(book, until, jobs),
        past=review_read.past(book, first, until),
    )
    return _with_check(result, typed, book)


def _canceled(book: Book, first: date, last: date) -> list[CanceledJob]:
    """The jobs canceled on these days, whether or not they are settled."""
    rows = canceled_jobs(book, first, last)
    return [row for row in rows if first <= row.settlement.canceled.day <= last]


def _kept(one: CanceledJob) -> tuple[str, Money]:
    canceled = one.settlement.canceled
    return one.settlement.job.number, canceled.kept - canceled.tax


def _overhead(book: Book, typed: TypedYear, first: date, last: date) -> Money | None:
    """Overhead of these days as typed, else their part of the year's as set; None is not known."""
    year, part = book.settings.overhead_year, _kept_part(book, first, last)
    if typed.overhead or year is None or not part:
        return typed.overhead
    return year.times(part)


def _kept_part(book: Book, first: date, last: date) -> Fraction:
    """The part of a year on which the book was kept in these days; 0 where it was begun after them.

    Overhead and open hours before the book are not in question.
    """
    begun = max(first, book.settings.opened or first)
    return part_of_year(begun, last) if begun <= last else Fraction(0)


def _rates(book: Book) -> Rates | None:
    if book.settings.overhead_year is None or book.settings.pay_year is None:
        return None
    return rates_of(book)


def _in_kind(book: Book, first: date, last: date) -> list[tuple[str, Money]]:
    """Fair value of goods in kind by giver."""
    fair: dict[str, Money] = {}
    for row in received_in_kind(book, first, last):
        fair[row.giver] = fair.get(row.giver, Money(0)) + row.fair
    return [(giver, value) for giver, value in fair.items() if value]


def _content(spent: Sequence[SpentTime]) -> list[ContentTime]:
    """Minutes of content by job."""
    by_job: dict[str, tuple[int, int]] = {}
    for row in spent:
        if row.kind == "content":
            owner, helpers = by_job.get(row.job, (0, 0))
            own = row.minutes if row.is_owner else 0
            by_job[row.job] = owner + own, helpers + row.minutes - own
    return [ContentTime(job, *minutes) for job, minutes in by_job.items()]


def _time(
    book: Book,
    first: date,
    last: date,
    spent: Sequence[SpentTime],
    jobs: Sequence[ClosedWork],
    break_even: Money,
) -> TimeReview:
    shop = book.settings
    open_hours = shop.hours_year * _kept_part(book, first, last)
    timed, untimed = review_read_time.timed_lines(book, {job.number for job in jobs})
    return TimeReview(
        share=share_of_time(spent, open_hours, shop.billable),
        spent=spent,
        booked=review_read_time.booked_jobs(book, first, last),
        month_ends=_month_ends(first, last),
        promises=review_read_time.kept_promises(book, first, last),
        activities=activities_of(spent, break_even),
        operations=operations_of(timed),
        untimed=untimed,
        hours_a_week=shop.billable * shop.hours_year / WEEKS_A_YEAR,
    )


def _month_ends(first: date, last: date) -> list[date]:
    """The last day of each month of a period, that of the last one as far as it goes."""
    month, ends = Month.of(first), []
    while month.first <= last:
        ends.append(min(month.last, last))
        month = month.next()
    return ends


def _material(
    book: Book,
    first: date,
    last: date,
    content: Sequence[ContentTime],
    other: Sequence[OtherIncome],
    fair: dict[str, Money],
    break_even: Money,
) -> MaterialReview:
    known = materials(book)
    areas = {
        code: row.length.nm * row.width.nm
        for code, row in known.items()
        if row.kind == "sheet" and row.length and row.width
    }
    moves = [
        RackPieceMoved(_on_the_rack(book, m), m.material, m.length.nm * m.width.nm, m.full, m.job)
        for m in rack_moves(book, first, last)
    ]
    suppliers = landed_by_month_and_supplier(book, first, last)
    categories = landed_by_month_and_category(book, first, last)
    return MaterialReview(
        by_supplier=spending((month, part.name, part.amount) for month, part in suppliers),
        by_category=spending((month, part.name, part.amount) for month, part in categories),
        prices=price_changes(bought_lines(book, first, last)),
        scrapped=scrapped(book, first, last),
        spoiled=spoiled_parts(book, first, last),
        rack=rack_of_period(moves, areas),
        sponsors=sponsor_goods(
            fair,
            {one.job: one.owner for one in content},
            [(one.job, one.gross - one.fee) for one in other if one.stream == SPONSOR_FEE],
            review_read.givers(book),
            break_even,
        ),
    )


def _on_the_rack(book: Book, move: RackMove) -> str:
    """What happened to a piece: an issue to a job that only sells goods is a sale."""
    of_a_sale = {TAKEN: SOLD, BACK: UNSOLD}.get(move.kind)
    return of_a_sale if of_a_sale and review_read.sells_as_it_is(book, move.job) else move.kind


def _with_check(one: Review, typed: TypedYear, book: Book) -> Review:
    """The review with its check of the rates, where rates are set or the year is typed."""
    shop, part = book.settings, _kept_part(book, one.first, one.last)
    overhead, pay = _overhead(book, typed, one.first, one.last), shop.pay_year
    pay = typed.pay if pay is None or typed.pay or not part else pay.times(part)
    if overhead is None or pay is None:
        return one
    year = YearAsItWas(
        overhead=overhead,
        pay=pay,
        job_hours=typed.hours or Fraction(one.time.share.on_jobs, 60),
        break_even=one.rates.break_even if one.rates else Money(0),
        selling=one.rates.selling if one.rates else Money(0),
        profit=shop.profit,
        earned=total(job.full for job in one.timed),
        earned_minutes=sum(job.done.owner_minutes for job in one.timed),
        is_overhead_typed=bool(typed.overhead),
        is_pay_typed=bool(typed.pay),
        is_hours_typed=bool(typed.hours),
    )
    return replace(one, check=check_rates(year))

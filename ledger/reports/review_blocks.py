"""The review as blocks of tables and sentences: what earned how much, and the quotes."""

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.costing.rates import Rates
from ledger.measures.duration import to_hours
from ledger.measures.money import Currency, Money, total
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many
from ledger.reports.review import Review
from ledger.reports.review_figures import (
    FEW,
    HourlyRange,
    Part,
    Remark,
    ReviewBlock,
    ReviewRow,
    ReviewTable,
    an_hour,
    listed,
)
from ledger.reports.review_jobs import (
    ClosedWork,
    KindOfWork,
    Stream,
    beside_jobs,
    best_and_worst,
    by_kind,
)
from ledger.reports.review_quotes import (
    DECLINED,
    OUTCOMES,
    WON,
    QuoteGroup,
    SentQuote,
    by_kind_of_piece,
    by_size,
    middle_days,
    price_an_hour,
)
from ledger.reports.review_reasons import planned_hour, reason_parts, unbooked_of, why_words

WIDE = 100_000
"""Prices from here on leave no room for the price at planned hours on a screen of 80 columns."""

ALL_JOBS, ALL_QUOTES = "all jobs", "all quotes"
BY_PERIOD = "Commissions count when their job is closed; all else on its own day."


def earned_block(one: Review) -> ReviewBlock:
    """Income by stream, what each kind of piece earned, the best and the worst jobs."""
    tables = [_streams(one), _content(one), _kinds(one)]
    best, worst = best_and_worst(one.jobs)
    tables += [_ranked(one, "best", "Best jobs, by earned an hour before overhead", best)]
    tables += [_ranked(one, "worst", "Worst jobs, by earned an hour before overhead", worst)]
    remarks = []
    if one.jobs:
        remarks.append(Remark(BY_PERIOD))
    if 0 < len(one.jobs) < FEW:
        remarks.append(Remark(f"{how_many(len(one.jobs), 'closed job')}: too few for an average to"
                              " say much."))  # fmt: skip
    unbooked = unbooked_of(one.jobs)
    if unbooked:
        remarks.append(Remark(_unbooked_words(one, unbooked)))
    untimed = [job.number for job in one.jobs if not job.is_timed]
    planned = [job.number for job in one.jobs if not job.is_timed and job.hours.not_logged]
    if untimed:
        remarks.append(
            Remark(f"Too few hours are booked on {listed(untimed)} (under half of the planned ones,"
                   " or none of yours): left out of best and worst and of each figure an hour.",
                   f"job close {planned[0]} --unlogged LINE=ANSWER" if planned else "")
        )  # fmt: skip
    if one.jobs and one.rates is not None:
        remarks.append(Remark(_overhead_words(one, one.rates)))
    elif one.jobs:
        remarks.append(
            Remark("Nothing is said of overhead: the shop's yearly figures are not set.",
                   "shop set overhead_year=… pay_year=…")
        )  # fmt: skip
    return ReviewBlock("earned", "What earned how much", _filled(tables), tuple(remarks))


def _unbooked_words(one: Review, unbooked: Sequence[tuple[str, Money, Decimal]]) -> str:
    """What was planned and has nothing booked: that it reads as earned, and may be no saving."""
    cost = total(money for _, money, _ in unbooked)
    hours = sum((row for _, _, row in unbooked), Decimal(0))
    named = [f"costs of {one.currency.show(cost)}"] if cost else []
    named += [f"{hours} h"] if hours else []
    jobs = listed(number for number, _, _ in unbooked)
    return (
        f"Planned on {jobs}, and nothing booked: {' and '.join(named)}. It counts as not spent,"
        " saved or only not noted."
    )


def _overhead_words(one: Review, rates: Rates) -> str:
    """The overhead that no figure of this block bears: by the rates in use, and as it came."""
    show, check = one.currency.show, one.check
    words = (
        "Earned is before overhead everywhere here. The rates in use count"
        f" {show(rates.overhead)} of it on each hour sold"
    )
    if check is None or check.overhead_hour is None or not is_rate_known(one):
        return f"{words}; too few hours are logged to say what it really came to."
    hours = whole(one, check.year.job_hours)
    source = "typed" if check.year.is_hours_typed else "logged on jobs"
    return f"{words}; by the {hours} h {source} it came to {show(check.overhead_hour)} an hour."


def whole(one: Review, hours: Fraction) -> str:
    """Hours without decimals, as the book writes numbers."""
    return one.currency.number(half_up(hours, 0))


def is_rate_known(one: Review) -> bool:
    """Whether the billable hours say enough for a rate: typed, or most of the time is logged."""
    check = one.check
    return check is not None and (check.year.is_hours_typed or not one.time.share.is_thin)


def _filled(tables: Iterable[ReviewTable]) -> tuple[ReviewTable, ...]:
    return tuple(table for table in tables if table.rows)


def _streams(one: Review) -> ReviewTable:
    rows = [
        ReviewRow(
            stream.name,
            _stream_cells([stream]),
            tuple(Part(name, stream.name, amount) for name, amount in stream.parts),
        )
        for stream in one.streams
    ]
    if len(rows) > 1:
        parts = tuple(part for row in rows for part in row.parts)
        rows.append(ReviewRow("all income", _stream_cells(one.streams), parts, is_sum=True))
    heads = ("stream", "income", "kept by stores", "left", "in money", "in goods")
    return ReviewTable("streams", "Income by stream", heads, tuple(rows))


def _stream_cells(several: Sequence[Stream]) -> tuple[Money | None, ...]:
    return (
        total(stream.income for stream in several),
        total(stream.fee for stream in several) or None,
        total(stream.left for stream in several),
        total(stream.cash for stream in several),
        total(stream.in_goods for stream in several) or None,
    )


def _content(one: Review) -> ReviewTable:
    """The hours of content, and what the streams beside commissions brought an hour of them."""
    owner, helpers = (
        sum(row.owner for row in one.content), sum(row.helpers for row in one.content)
    )  # fmt: skip
    beside = beside_jobs(one.streams)
    if not owner and not helpers:
        return ReviewTable("content", "", (), ())
    left, cash = total(s.left for s in beside), total(s.cash for s in beside)
    parts = [
        Part(row.job or "no job", "hours of content", to_hours(row.owner + row.helpers))
        for row in one.content
    ]
    parts += [Part(of, stream.name, amount) for stream in beside for of, amount in stream.parts]
    cells = (to_hours(owner), to_hours(helpers) or None, cash, left, an_hour(cash, owner),
             an_hour(left, owner))  # fmt: skip
    heads = ("", "your h", "helper h", "in money", "with goods", "in money, an hour",
             "with goods, an hour")  # fmt: skip
    title = "Content: hours apart, and what the streams beside commissions brought for them"
    return ReviewTable("content", title, heads, (ReviewRow("content", cells, tuple(parts)),))


def _kinds(one: Review) -> ReviewTable:
    groups = by_kind(one.jobs)
    if len(groups) > 1:
        groups.append(KindOfWork(ALL_JOBS, tuple(one.jobs)))
    heads = ("kind", "jobs", "income", "your h", "helper h", "as if bought", "in cash",
             "an hour", "an hour in cash", "least to most an hour")  # fmt: skip
    rows = tuple(_kind(group, one.currency.show) for group in groups)
    title = "Closed jobs by kind: earned before overhead, given material as if bought and in cash"
    adds = ("jobs", "income", "your h", "helper h", "as if bought", "in cash")
    aside = ("helper h", "as if bought", "in cash")
    return ReviewTable("kinds", title, heads, rows, adds, aside=aside)


def _kind(group: KindOfWork, show: Callable[[Money], str]) -> ReviewRow:
    cells = (len(group.jobs), group.income, to_hours(group.owner_minutes),
             to_hours(group.helper_minutes), group.full, group.cash, group.full_range.hour,
             group.cash_hour, _range_words(group, show))  # fmt: skip
    parts = tuple(_job_part(job, show) for job in group.jobs)
    exact = {2: Fraction(group.owner_minutes, 60), 3: Fraction(group.helper_minutes, 60)}
    return ReviewRow(group.kind, cells, parts, is_sum=group.kind == ALL_JOBS, exact=exact)


def _range_words(group: KindOfWork, show: Callable[[Money], str]) -> str:
    """The range of an average, and how many jobs it leaves out for lack of hours."""
    left_out = len(group.jobs) - len(group.timed.jobs)
    words = range_words(group.full_range, show)
    if not left_out:
        return words
    return f"{words}, {left_out} left out" if words else "too few hours booked"


def range_words(several: HourlyRange, show: Callable[[Money], str]) -> str:
    """The least and the most of an average, and that it is of few jobs; nothing for one job."""
    if several.jobs < 2 or several.least is None or several.most is None:
        return "one job" if several.jobs == 1 else ""
    few = f", only {several.jobs} jobs" if several.is_few else ""
    return f"{show(several.least)} to {show(several.most)}{few}"


def _job_part(job: ClosedWork, show: Callable[[Money], str]) -> Part:
    done = job.done
    spent = [f"{show(job.income)} − material {show(job.material)}"]
    spent += [
        f"{name} {show(amount)}"
        for name, amount in (("helper", done.helper), ("other", done.other + done.use_tax))
        if amount
    ]
    words = f"{job.title}: {' − '.join(spent)} in {to_hours(done.owner_minutes)} owner h"
    return Part(job.number, words, job.full)


def _ranked(one: Review, key: str, title: str, jobs: Sequence[ClosedWork]) -> ReviewTable:
    show = one.currency.show
    rows = [
        ReviewRow(
            job.number,
            (job.full_hour, planned_hour(job), f"{job.title}. {why_words(job, show)}"),
            (_job_part(job, show), *reason_parts(job)),
        )
        for job in jobs
    ]
    heads = ("job", "an hour", "planned", "in figures")
    return ReviewTable(key, title, heads, tuple(rows))


def quotes_block(one: Review) -> ReviewBlock:
    """Quotes by outcome, kind and size; days, prices an hour, points, why they were declined."""
    quotes, show = one.quotes, one.currency.show
    tables = [
        _groups("quotes_by_kind", "Quotes by kind of piece", by_kind_of_piece(quotes), show),
        _groups("quotes_by_size", "Quotes by size of price", by_size(quotes), show)
        if len(quotes) >= FEW else ReviewTable("", "", (), ()),
        _prices(quotes, show),
        _points(quotes, one.currency),
        ReviewTable("declined", "Declined", ("quote", "price", "days", "why"), tuple(
            ReviewRow(q.name, (q.price, q.days, q.why or "no reason noted"), (_quote_part(q),))
            for q in quotes if q.outcome == DECLINED
        ), ("price",)),
    ]  # fmt: skip
    return ReviewBlock("quotes", "Quotes sent", _filled(tables), tuple(_quote_words(quotes, show)))


def _quote_words(quotes: Sequence[SentQuote], show: Callable[[Money], str]) -> Iterable[Remark]:
    if not quotes:
        yield Remark("No quote was sent in this time.")
        return
    days = middle_days(quotes)
    if days is not None:
        middle, least, most, count = days
        few = [f"only {count} answers"] if count < FEW else []
        ends = ", ".join([*([f"{least} to {most}"] if least < most else []), *few])
        if count == 1:
            when = f"after {how_many(least, 'day')}" if least else "on the day of the quote"
            yield Remark(f"The one answer came {when}.")
        else:
            half = "a day" if middle == 1 else f"{trimmed(middle):f} days"
            more = f" ({ends})" if ends else ""
            yield Remark(f"Half of the answers came within {half}{more}.")
    if any(quote.points and quote.points.typical and quote.actual_hours for quote in quotes):
        yield Remark(
            "Took: everybody's hours with rework, change orders left out, nothing where too few"
            " hours are booked; the plan has rework where the price counted it. Each asked price is"
            " before rounding and contingency."
        )
    off = [quote for quote in quotes if quote.outcome == WON and quote.is_canceled]
    if off:
        price = show(total(quote.accepted for quote in off))
        yield Remark(f"Won, and the job was canceled: {listed(q.name for q in off)}, {price}.")
    if any(quote.outcome == DECLINED and not quote.why for quote in quotes):
        yield Remark(
            "Some refusals have no reason noted.", 'quote decline QUOTE --why "over budget"'
        )


def _groups(
    key: str, title: str, groups: Sequence[QuoteGroup], show: Callable[[Money], str]
) -> ReviewTable:
    heads = ("", "sent", *OUTCOMES, "offered", "least to most")
    every = [quote for group in groups for quote in group.quotes]
    shown = [*groups, QuoteGroup(ALL_QUOTES, tuple(every))] if len(groups) > 1 else groups
    rows = []
    for group in shown:
        prices = sorted(quote.price for quote in group.quotes)
        ends = f"{show(prices[0])} to {show(prices[-1])}" if len(prices) > 1 else ""
        counts = (group.count(outcome) or None for outcome in OUTCOMES)
        cells = (len(group.quotes), *counts, group.price, ends)
        parts = tuple(map(_quote_part, group.quotes))
        rows.append(ReviewRow(group.name, cells, parts, is_sum=group.name == ALL_QUOTES))
    return ReviewTable(key, title, heads, tuple(rows), ("sent", *OUTCOMES, "offered"))


def _quote_part(quote: SentQuote) -> Part:
    return Part(quote.job, f"{quote.name} sent {quote.sent}, {quote.outcome}", quote.price)


def _prices(quotes: Sequence[SentQuote], show: Callable[[Money], str]) -> ReviewTable:
    rows = []
    for name, outcome in (("won", {WON}), ("lost", {DECLINED, "expired"})):
        one = price_an_hour(name, [quote for quote in quotes if quote.outcome in outcome])
        if one is None:
            continue
        few = f", only {len(one.quotes)} quotes" if len(one.quotes) < FEW else ""
        ends = f"{show(one.least)} to {show(one.most)}{few}" if one.least < one.most else ""
        ends = ends or how_many(len(one.quotes), "quote")
        parts = tuple(
            Part(quote.job, f"{quote.name} at {show(quote.price)}", quote.price_an_hour)
            for quote in one.quotes
        )
        cells = (len(one.quotes), one.middle, ends)
        rows.append(ReviewRow(name, cells, parts))
    heads = ("quotes", "of", "middle", "least to most")
    title = "Price of an estimated hour, material in it"
    return ReviewTable("price_an_hour", title, heads, tuple(rows))


def _points(quotes: Sequence[SentQuote], currency: Currency) -> ReviewTable:
    rows = []
    for quote in quotes:
        points = quote.points
        if points is None or points.typical is None:
            continue
        cells = (quote.price, points.hours, points.typical, points.safe, quote.actual_hours,
                 points.at_priced, points.at_typical, points.at_safe)  # fmt: skip
        rows.append(ReviewRow(f"{quote.name} {quote.outcome}", cells, (_quote_part(quote),)))
    heads = ("quote", "price", "plan h", "typical h", "safe h", "took h", "at plan", "typical",
             "safe")  # fmt: skip
    title = "Quotes at planned, typical and safe (8 in 10) hours, and what each would have asked"
    asked, wide = heads[-3:], Money(WIDE * 10**currency.digits)
    aside = asked[:1] if any(quote.price >= wide for quote in quotes) else ()
    return ReviewTable("points", title, heads, tuple(rows), aside=aside, whole=asked)


def show_datum(currency: Currency, datum: object) -> str:
    """A cell as it is read: money as the currency writes it, other decimals as they are."""
    if datum is None:
        return ""
    if isinstance(datum, Money):
        return currency.show(datum)
    return f"{datum:f}" if isinstance(datum, Decimal) else str(datum)

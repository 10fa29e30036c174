"""The review's beginning: what an hour of the owner's brought, wherever it went."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many
from ledger.reports.review import Review
from ledger.reports.review_blocks import whole
from ledger.reports.review_figures import (
    Part,
    Remark,
    ReviewBlock,
    ReviewRow,
    ReviewTable,
    listed,
    percent,
)
from ledger.reports.review_jobs import SPONSOR_FEE, KindOfWork, beside_jobs, by_kind
from ledger.reports.review_quotes import WON
from ledger.reports.review_reasons import unbooked_of


def short_block(one: Review) -> ReviewBlock:
    """Kinds of piece, content and sponsors on one scale, an hour; hours and prices beside plans."""
    rows = [*_built(one), *_published(one)]
    if rows and one.rates is not None:
        pay, overhead = one.currency.show(one.rates.pay), one.currency.show(one.rates.overhead)
        rows.append(ReviewRow("break-even in use, to meet", (
            one.rates.break_even, f"pay {pay} and overhead {overhead}"
        )))  # fmt: skip
    title = "What an hour of yours brought, before overhead"
    table = ReviewTable("short", title, ("", "an hour", "from"), tuple(rows))
    return ReviewBlock("short", "In short", (table,) if rows else (), tuple(_words(one)))


def _built(one: Review) -> Iterator[ReviewRow]:
    """The kinds of piece that earned most and least an hour."""
    kinds = [
        (hour, kind.timed)
        for kind in by_kind(one.jobs)
        if (hour := kind.full_range.hour) is not None
    ]
    ranked = sorted(kinds, key=lambda row: (-row[0].minor, row[1].kind))
    ends = ranked if len(ranked) < 2 else [ranked[0], ranked[-1]]
    names = ("built",) if len(ends) < 2 else ("built, most", "built, least")
    for name, (hour, kind) in zip(names, ends, strict=False):
        yield ReviewRow(name, (hour, _kind_words(kind)), tuple(
            Part(job.number, job.title, job.full_hour) for job in kind.jobs
        ))  # fmt: skip


def _kind_words(kind: KindOfWork) -> str:
    words = f"{kind.kind}, {how_many(len(kind.jobs), 'job')} in {to_hours(kind.owner_minutes)} h"
    return f"{words}; planned lines never booked" if unbooked_of(kind.jobs) else words


def _published(one: Review) -> Iterator[ReviewRow]:
    """Content in money, and each sponsor, beside the hours of publishing."""
    show, minutes = one.currency.show, sum(row.owner for row in one.content)
    beside = beside_jobs(one.streams)
    cash, left = total(s.cash for s in beside), total(s.left for s in beside)
    fees = ", sponsor fees in it" if any(s.name == SPONSOR_FEE for s in beside) else ""
    parts = tuple(Part(of, s.name, money) for s in beside for of, money in s.parts)
    if minutes:
        words = f"{show(cash)} for {to_hours(minutes)} h{fees}; with goods {show(left)}"
        yield ReviewRow("published, in money", (cash.times(Fraction(60, minutes)), words), parts)
    for row in one.material.sponsors:
        if row.giver and row.hour is not None:
            hours = half_up(row.minutes / 60, 2)
            words = f"{show(row.gave)} of goods and fees for {hours} h of content"
            if row.cost:
                side = "over" if row.gave >= row.cost else "short of"
                words += f", {show(abs(row.gave - row.cost))} {side} break-even"
            named = (("goods in kind", row.fair), ("sponsor fees", row.fee))
            yield ReviewRow(f"sponsored, {row.giver}", (row.hour, words), tuple(
                Part(row.giver, name, money) for name, money in named if money
            ))  # fmt: skip


def _words(one: Review) -> Iterator[Remark]:
    """How hours and prices held, and how much of what the rates count on was worked on jobs."""
    planned = [(job, job.hours.planned) for job in one.timed if job.hours.planned is not None]
    silent = sum((hours for _, _, hours in unbooked_of(job for job, _ in planned)), Decimal(0))
    foreseen = sum((hours for _, hours in planned), Decimal(0)) - silent
    if foreseen > 0:
        took = to_hours(sum(job.minutes - job.hours.changes for job, _ in planned))
        more = Fraction(took) / Fraction(foreseen) - 1
        side = "more" if more >= 0 else "less"
        without = ", changes left out," if any(job.hours.changes for job, _ in planned) else ""
        few = [job.number for job in one.jobs if not job.is_timed]
        untimed = f"; too few hours are booked on {listed(few)} to say" if few else ""
        left = f"; {silent} h planned and never booked are left out" if silent else ""
        yield Remark(
            f"{how_many(len(planned), 'closed job')} took {took} h{without} for"
            f" {foreseen} planned or guessed, {percent(abs(more))} {side}{left}{untimed}."
        )
    won = [(quote, quote.points.at_typical) for quote in one.quotes
           if quote.outcome == WON and quote.points and quote.points.at_typical]  # fmt: skip
    if won:
        show, agreed = one.currency.show, total(quote.accepted for quote, _ in won)
        options = total(quote.options for quote, _ in won)
        typical = total(money for _, money in won if money) + options
        gap = typical - agreed
        side = "more" if gap > Money(0) else "less"
        in_it = f" with {show(options)} of options" if options else ""
        yield Remark(
            f"{how_many(len(won), 'quote')} won at {show(agreed)}{in_it}; at their typical hours"
            f" they would have asked {show(typical)}, {show(abs(gap))} {side}."
        )
    share = one.time.share
    counted = share.open_hours * share.assumed
    if share.logged and counted:
        yield Remark(
            f"The rates count on {whole(one, counted)} billable h for these days;"
            f" {to_hours(share.billable)} are logged."
        )
    over = [row for row in one.time.operations if row.took > row.standard][:2]
    if over:
        named = (f"{row.name} {row.took - row.standard} h on {how_many(row.jobs, 'job')}"
                 for row in over)  # fmt: skip
        yield Remark(f"Longest over the standard: {'; '.join(named)}.")

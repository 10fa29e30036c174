"""What `benchledger today` says, part by part, and the same as facts."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.cli import voice
from ledger.cli.opened import local_now, open_shop
from ledger.jobs.ahead import BUILT
from ledger.measures.duration import show_minutes
from ledger.measures.rounding import half_up, half_up_whole, trimmed
from ledger.measures.units import show_count
from ledger.reports.settled import refund_words, return_words, settlement_words
from ledger.reports.today import JobNow, Today, today_report

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.labor.clock import Running
    from ledger.quotes.revisions import RevisionStanding
    from ledger.sponsors.agreements import Progress

BEGIN = (
    "The book is empty: begin with your price list, benchledger material load FILE, and a job,"
    ' benchledger job new "TITLE".'
)
"""What is said of a book with nothing in it."""

MOST = 6
"""How many materials of a job are named before the rest is only counted."""


def say_today(*, as_json: bool) -> None:
    """Say what is open, or give it as facts."""
    with open_shop() as book:
        report = today_report(book)
        minutes = _minutes(book, report.clock) if report.clock else 0
    if as_json:
        from ledger.reports.today_json import today_json

        voice.print_json(today_json(report, minutes))
        return
    if report.is_new:
        voice.say(BEGIN)
        _say_off_site(report)
        return
    voice.heading(f"{report.shop}, {report.day}")
    if report.is_quiet:
        voice.say("Nothing is open.")
    _say_clock(report.clock, minutes)
    _say_jobs(report)
    _say_ahead(report)
    _say_quotes(report)
    _say_payments(report)
    _say_canceled(report)
    _say_promises(report)
    _say_buying(report)
    _say_credits(report)
    _say_prices(report)
    for one in report.others:
        voice.say(one.words)
    _say_months(report)
    _say_off_site(report)


def write_calendar(file: Path) -> None:
    """Write what is due as a calendar, in place of what stands there."""
    from ledger.book.parts import put_whole
    from ledger.pages.calendar import due_calendar

    with open_shop() as book:
        content = due_calendar(book)
    put_whole(file, lambda _: content, private=True)
    if b"BEGIN:VEVENT" not in content:
        voice.say(f"Nothing is due; {file} is written, a calendar without a day in it.")
        return
    voice.say(f"What is due stands in {file}; send it to the phone and open it there.")


def _minutes(book: "Book", clock: "Running") -> int:
    from ledger.labor.clock import shop_zone

    zone = shop_zone(book)
    return clock.minutes(zone, local_now(zone))


def _say_clock(clock: "Running | None", minutes: int) -> None:
    if clock is None:
        return
    since = f"since {clock.began:%H:%M} of {clock.began:%Y-%m-%d}"
    lasted = show_minutes(minutes)
    voice.say(f"The clock is on {clock.words} {since}: {lasted}.")


def _say_jobs(report: Today) -> None:
    if not report.jobs:
        return
    voice.table(
        ["job", "", "state", ">so far", ">planned"],
        [
            [job.number, job.title, job.state_words,
             show_minutes(job.minutes) if job.minutes else "",
             show_minutes(half_up_whole(job.planned * 60)) if job.planned is not None else ""]
            for job in report.jobs
        ],
    )  # fmt: skip
    agreed = {one.number for one in report.ahead.jobs}
    planned = [job for job in report.jobs if job.planned is not None]
    begun = [job for job in planned if job.owner_left and job.number not in agreed]
    if len(planned) > len(begun):
        _say_booked(report, "Booked", [job for job in planned if job not in begun])
    if begun:
        _say_booked(report, "Planned, and nothing agreed, billed or paid yet", begun, is_named=True)
    unknown, priced = _without_plan(report), {job.number for job in report.jobs if job.has_sum}
    priced |= agreed
    for reason, numbers in (
        ("no hours are planned yet", [one for one in unknown if one in priced]),
        ("no price is agreed yet", [one for one in unknown if one not in priced]),
    ):
        if numbers:
            voice.note(f"Not counted, for {reason}: {', '.join(numbers)}.")


def _say_booked(
    report: Today, words: str, jobs: Sequence[JobNow], *, is_named: bool = False
) -> None:
    """The owner's hours still to come on some jobs, and the weeks that they fill."""
    left = sum((job.owner_left or Decimal(0) for job in jobs), Decimal("0.00"))
    week = f"{trimmed(half_up(report.hours_a_week, 1)):f}"
    names = f": {', '.join(job.number for job in jobs)}" if is_named else ""
    voice.say(
        f"{words}: {left} hours of yours, {report.weeks_of(left)} weeks at {week} billable hours a"
        f" week{names}."
    )


def _say_ahead(report: Today) -> None:
    ahead = report.ahead
    most = max((week.free for week in ahead.weeks), default=0)
    if most and any(week.booked for week in ahead.weeks):
        voice.table(
            ["from", ">booked", ">free", ""],
            [
                [str(week.start), f"{week.booked} h", f"{week.free} h",
                 voice.bar(float(week.booked / most)) or ("" if week.free else "off")]
                for week in ahead.weeks
            ],
        )  # fmt: skip
    for job in ahead.jobs:
        voice.say(job.words)


def _without_plan(report: Today) -> list[str]:
    """The jobs still to build that neither a plan nor a guess has hours for."""
    guessed = {one.number for one in report.ahead.jobs if one.left is not None}
    return [
        job.number
        for job in report.jobs
        if job.planned is None and job.number not in guessed and job.state not in BUILT
    ]


def _say_quotes(report: Today) -> None:
    if report.quotes:
        voice.table(
            ["quote waiting", "", ">to pay", "valid until"],
            [
                [now.quote.name, now.job.title, now.offer.currency.show(now.to_pay),
                 f"{now.offer.valid_until}, {_left_words(now, report.day)}"]
                for now in report.quotes
            ],
        )  # fmt: skip


def _say_payments(report: Today) -> None:
    if report.payments:
        show = report.currency.show
        voice.table(
            ["next payment", "of", ">open"],
            [[job.number, one.name, show(one.open)] for job, one in report.payments],
        )
    if report.invoices:
        voice.table(
            ["to be paid", "of", ">open", "by"],
            [[one.name, one.job, report.currency.show(one.open), one.due_words]
             for one in report.invoices],
        )  # fmt: skip
    for one in report.paid_ahead:
        sent = f"; {one.quote} is sent: benchledger quote accept {one.quote}" if one.quote else ""
        held = report.currency.show(one.held)
        voice.say(f"{one.number}: {held} of its client held, and nothing agreed yet{sent}")


def _say_canceled(report: Today) -> None:
    for one in report.to_settle:
        voice.say(settlement_words(report.currency, one))
    for goods in report.to_send_back:
        voice.say(return_words(report.currency, goods))
    for refund in report.to_refund:
        voice.say(refund_words(report.currency, refund))
    for words in report.to_invoice:
        voice.say(words)


def _say_promises(report: Today) -> None:
    if report.deliverables:
        voice.table(
            ["promised to", "", "due"],
            [[one.sponsor, f"{one.left} {one.kind}", _due_words(one, report.day)]
             for one in report.deliverables],
        )  # fmt: skip


def _say_buying(report: Today) -> None:
    numbers = list(dict.fromkeys(row.job for row in report.to_buy))
    for number in numbers:
        mine = [row for row in report.to_buy if row.job == number]
        named = [f"{row.material} {show_count(row.quantity, row.unit)}" for row in mine[:MOST]]
        rest = f" and {len(mine) - MOST} more" if len(mine) > MOST else ""
        voice.say(f"To buy for {number}: {', '.join(named)}{rest}.")
    if numbers:  # what is promised to others, or shared, is only on the list of all that are won
        is_one = numbers == [job.number for job in report.jobs]
        which = numbers[0] if is_one else "--won"
        voice.note(f"In packs, by supplier: benchledger job buying-list {which}")


def _say_credits(report: Today) -> None:
    for one in report.awaited_credits:
        voice.say(
            f"No credit note yet: {one.item} {show_count(one.quantity, one.unit)}, sent back to"
            f" {one.supplier} on {one.since}; {one.paid.words(report.currency)}."
        )


def _say_prices(report: Today) -> None:
    if report.old_prices:
        named = ", ".join(f"{row.material} ({row.day})" for row in report.old_prices)
        voice.say(f"Prices older than {report.stale_days} days: {named}.")


def _say_months(report: Today) -> None:
    if report.open_months:
        months = report.open_months
        has_gap = any(one.next() != after for one, after in pairwise(months))
        is_span = len(months) > 1 and not has_gap  # a closed month between is not in it
        shown = f"{months[0]} to {months[-1]}" if is_span else ", ".join(map(str, months))
        voice.say(f"Not closed yet: {shown} (benchledger month {months[0]} --close).")


def _say_off_site(report: Today) -> None:
    """Say where no copy leaves the shop; that one does is not worth a line."""
    copies = report.off_site
    if copies is None or (copies.is_there and copies.last is not None):
        return
    if copies.last is None:
        age = "none was made yet"
    else:
        days = (report.day - copies.last).days
        age = f"the last is of {copies.last}, {days} day{'' if days == 1 else 's'} old"
    missing = "" if copies.is_there else f"the folder {copies.folder} is not there; "
    voice.say(f"Off-site copy: {missing}{age}.")


def _left_words(now: "RevisionStanding", today: date) -> str:
    """How long a quote may still be accepted."""
    left = now.days_left(today)
    if left is None:
        return "expired"
    return f"{left} day{'' if left == 1 else 's'} left"


def _due_words(one: "Progress", today: date) -> str:
    """When a deliverable is due, and whether it is late."""
    return f"{one.due}, late" if one.due < today else str(one.due)

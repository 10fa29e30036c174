"""The review as blocks of tables and sentences: time, the check of the rates."""

from collections.abc import Callable, Iterator
from datetime import date
from fractions import Fraction
from math import ceil

from ledger.measures.duration import to_hours
from ledger.measures.money import Money
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.share import show_share
from ledger.measures.spoken import how_many, large
from ledger.reports.review import Review
from ledger.reports.review_blocks import earned_block, is_rate_known, quotes_block, whole
from ledger.reports.review_blocks_material import material_block
from ledger.reports.review_blocks_result import result_block
from ledger.reports.review_blocks_short import short_block
from ledger.reports.review_figures import (
    FEW,
    Part,
    Remark,
    ReviewBlock,
    ReviewRow,
    ReviewTable,
    listed,
    percent,
)
from ledger.reports.review_rates import RatesCheck
from ledger.reports.review_reasons import timed_words
from ledger.reports.review_time import (
    SAVING,
    Activity,
    UntimedHours,
    by_class,
    hours_ahead,
    weeks,
)

MOST_ACTIVITIES = 12
MOST_OPERATIONS = 9
CLASSES = {
    "work": "on jobs", "first_time": "on jobs, first of its kind", "rework": "rework",
    "change_order": "change orders", "content": "content", "shop": "the shop itself",
}  # fmt: skip


def blocks_of(one: Review) -> list[ReviewBlock]:
    """All blocks of a review, in the order in which they are read."""
    return [
        short_block(one), result_block(one), earned_block(one), quotes_block(one), time_block(one),
        material_block(one), rates_block(one),
    ]  # fmt: skip


def time_block(one: Review) -> ReviewBlock:
    """The billable share, where hours went, weeks booked, promises, operations."""
    tables = [_classes(one), _activities(one), _booked(one), _promises(one), _operations(one)]
    filled = tuple(table for table in tables if table.rows)
    return ReviewBlock("time", "Your time", filled, tuple(_time_words(one)))


def _time_words(one: Review) -> Iterator[Remark]:
    share = one.time.share
    if not share.logged:
        yield Remark("No hours were logged in this time.")
        return
    hours, of_logged, of_open = to_hours(share.billable), share.of_logged, share.of_open
    if of_logged is not None and of_open is not None:
        rework = f" {to_hours(share.rework)} h of rework are not in it." if share.rework else ""
        yield Remark(
            f"{hours} billable h of {to_hours(share.logged)} h logged, {percent(of_logged)}; of"
            f" the {whole(one, share.open_hours)} h that the settings say the shop was open,"
            f" {percent(of_open)}. The rates assume {show_share(share.assumed)}.{rework}"
        )
    if untimed := _untimed_words(one.time.untimed):
        yield Remark(untimed)
    late = [kept for kept in one.time.promises if kept.days_late > 0]
    if one.time.promises:
        of = how_many(len(one.time.promises), "delivered job")
        yield Remark(
            f"Later than the weeks of the quote, from the first payment on: {len(late)} of {of}."
        )
    if any(row.worth for row in one.time.activities):
        yield Remark(
            "Worth is arithmetic, no advice: 10 % of your hours on an operation × the break-even"
            " rate, as if each hour saved were sold."
        )


def _untimed_words(untimed: UntimedHours) -> str:
    """How many hours of closed jobs are in no line of the operations; nothing where all are."""
    parts = [
        f"{to_hours(minutes)} h {words}"
        for minutes, words in (
            (untimed.group, "booked on a whole group"),
            (untimed.other, "without a count, of a first time or before a new start"),
        )
        if minutes
    ]
    return f"In no line of the operations: {', '.join(parts)}." if parts else ""


def _classes(one: Review) -> ReviewTable:
    logged = one.time.share.logged
    rows = [
        ReviewRow(
            CLASSES[kind],
            (to_hours(own.total()), percent(Fraction(own.total(), logged))),
            tuple(Part(name, "hours", to_hours(minutes)) for name, minutes in own.most_common()),
        )
        for kind, own in by_class(one.time.spent).items()
    ]
    return ReviewTable("classes", "Your hours by class", ("class", "h", "share"), tuple(rows))


def _activities(one: Review) -> ReviewTable:
    rows = [
        ReviewRow(
            row.name if row.is_on_jobs else f"{row.name} ({CLASSES[next(iter(row.classes))]})",
            (to_hours(row.minutes), _on_words(row), row.saved, row.worth),
            tuple(Part(job or "no job", row.name, to_hours(m)) for job, m in row.by_job.items()),
            exact=_hours_and_saved(row),
        )
        for row in one.time.activities
    ]
    title = "Where your hours went, all classes, and what 10 % saved would be worth"
    heads = ("work", "h", "on", "10 % h", "worth")
    adds = ("h", "10 % h", "worth")
    return ReviewTable("activities", title, heads, tuple(rows), adds, MOST_ACTIVITIES)


def _hours_and_saved(row: Activity) -> dict[int, Fraction]:
    hours = Fraction(row.minutes, 60)
    return {0: hours, 2: hours * SAVING} if row.is_on_jobs else {0: hours}


def _on_words(row: Activity) -> str:
    """How many jobs an activity was on, and what of its hours was rework or of changes."""
    jobs = len([job for job in row.by_job if job])
    beyond = (
        f"{to_hours(row.classes[kind])} {CLASSES[kind]}"
        for kind in ("rework", "change_order") if row.classes.get(kind)
    )  # fmt: skip
    return ", ".join([*([how_many(jobs, "job")] if jobs else []), *beyond])


def _booked(one: Review) -> ReviewTable:
    rows = []
    for day in one.time.month_ends:
        ahead = hours_ahead(one.time.booked, day)
        hours = sum((Fraction(left) for _, left in ahead), Fraction(0))
        parts = tuple(Part(job, "owner hours still planned", h) for job, h in ahead)
        cells = (half_up(hours, 1), weeks(hours, one.time.hours_a_week), len(ahead) or None)
        rows.append(ReviewRow(day.isoformat(), cells, parts))
    while rows and not rows[0].parts:  # before the first job was agreed
        rows.pop(0)
    heads = ("at the end of", "owner h booked", "weeks", "jobs")
    week = half_up(one.time.hours_a_week, 1)
    title = f"Booked ahead, at {week} billable h a week"
    return ReviewTable("booked", title, heads, tuple(rows))


def _promises(one: Review) -> ReviewTable:
    rows = []
    for kept in sorted(one.time.promises, key=lambda promise: -promise.days_late):
        how = "on the day" if not kept.days_late else (
            f"{how_many(abs(kept.days_late), 'day')} {'late' if kept.days_late > 0 else 'early'}"
        )  # fmt: skip
        words = (
            f"{how_many(kept.weeks, 'week')} from the first payment on {kept.paid}"
            + (f", {how_many(kept.changed_days, 'day')} for changes" if kept.changed_days else "")
        )  # fmt: skip
        rows.append(ReviewRow(kept.job, (kept.promised, kept.done, how),
                              (Part(kept.job, words, kept.promised),)))  # fmt: skip
    heads = ("job", "promised", "delivered", "")
    return ReviewTable("promises", "Promises of the quotes and their keeping", heads, tuple(rows))


def _operations(one: Review) -> ReviewTable:
    rows = []
    for row in one.time.operations:
        times = f"{row.ratio} × standard" if row.ratio is not None else ""
        few = f"only {how_many(row.jobs, 'job')}" if row.jobs < FEW else how_many(row.jobs, "job")
        parts = tuple(
            Part(line.job, f"standard {line.standard} h", to_hours(line.minutes))
            for line in row.lines
        )
        cells = (row.standard, row.took, row.took - row.standard, times, few)
        took = Fraction(sum(line.minutes for line in row.lines), 60)
        exact = {1: took, 2: took - Fraction(row.standard)}
        rows.append(ReviewRow(row.name, cells, parts, exact=exact))
    title = (
        "Operations against the standard, closed jobs, everybody's hours without rework and changes"
    )
    heads = ("operation", "standard h", "took h", "longer h", "", "on")
    return ReviewTable("operations", title, heads, tuple(rows), heads[1:4], MOST_OPERATIONS)


def rates_block(one: Review) -> ReviewBlock:
    """The rates that this time would have needed, in words and as a calculation; none is set."""
    check, show = one.check, one.currency.show
    title = "Rates check"
    if check is None:
        missing = Remark(
            "Overhead and pay of these days are not known, so no rate follows.",
            "review … --overhead 22000 --pay 56000",
        )
        return ReviewBlock("rates", title, (), (missing,))
    year, rows = check.year, []
    hours = half_up(year.job_hours, 2)
    if check.needed is not None and is_rate_known(one):
        for name, amount, hour, typed in (
            ("overhead", year.overhead, check.overhead_hour, year.is_overhead_typed),
            ("pay", year.pay, check.pay_hour, year.is_pay_typed),
        ):
            source = "typed" if typed else "as set, for these days"
            rows.append(ReviewRow(name, (amount, hours, hour, source)))
        rows.append(ReviewRow("needed break-even", (None, None, check.needed, "")))
    if one.rates is not None:
        rows.append(ReviewRow("break-even in use", (None, None, year.break_even, "as set")))
    if check.earned_hour is not None:
        parts = tuple(Part(job.number, job.title, job.full) for job in one.timed)
        cells = (year.earned, to_hours(year.earned_minutes), check.earned_hour, "")
        rows.append(ReviewRow(f"earned an hour on {timed_words(one.jobs)}", cells, parts))
    heads = ("", "amount", "÷ hours", "an hour", "from")
    named = "Rates that these days needed" if is_rate_known(one) else "The rate in use, and earned"
    table = ReviewTable("rates", named, heads, tuple(rows))
    words = tuple(_rate_words(one, check, show))
    return ReviewBlock("rates", title, (table,) if rows else (), words)


def _rate_words(one: Review, check: RatesCheck, show: Callable[[Money], str]) -> Iterator[Remark]:
    year, number = check.year, one.currency.number
    hours = number(trimmed(half_up(year.job_hours, 1)))
    target = f"overhead {show(year.overhead)} and pay {show(year.pay)}"
    if check.needed is None or check.selling is None:
        yield Remark("No hours on jobs are logged in this time, so no rate follows from it.",
                     "review … --hours HOURS")  # fmt: skip
    elif not is_rate_known(one):
        yield Remark(
            f"Only {to_hours(one.time.share.logged)} h are logged of the"
            f" {whole(one, one.time.share.open_hours)} h that the shop was open by its settings:"
            " too few for the rate that these days needed.", "review … --hours HOURS",
        )  # fmt: skip
    else:
        source = "typed" if year.is_hours_typed else "logged on jobs"
        yield Remark(
            f"At {show(check.needed)} an hour the {hours} hours {source} would have met the"
            f" target: {target}."
        )
    needs = [
        f"{number(ceil(Fraction((year.overhead + year.pay).minor, hour.minor)))} hours on jobs at"
        f" {show(hour)}, {words}"
        for hour, words in ((year.selling, "the selling rate in use"),
                            (check.earned_hour, f"what {timed_words(one.jobs)} left an hour"))
        if hour is not None and hour > Money(0)
    ]  # fmt: skip
    if needs:
        source = "typed" if year.is_hours_typed else "logged"
        yield Remark(f"To bring in {target} it takes {', or '.join(needs)}; {hours} are {source}.")
    yield from _base_words(one)
    if not is_rate_known(one):
        return
    gap = check.missing
    if check.earned_hour is not None and gap is not None:
        side = f"{show(abs(gap))} {'short of' if gap > Money(0) else 'over'} that" if gap else (
            "just that"
        )  # fmt: skip
        few = f" Only {how_many(len(one.timed), 'job')}." if len(one.timed) < FEW else ""
        yield Remark(
            f"{large(timed_words(one.jobs))} left {show(check.earned_hour)} an hour"
            f" before overhead, {side}.{few}"
        )
    if one.rates is not None and check.selling is not None:
        yield Remark(
            f"With {show_share(year.profit)} profit that is {show(check.selling)} an hour to sell"
            f" at; in use is {show(year.selling)}. Nothing is set by this."
        )


def _base_words(one: Review) -> Iterator[Remark]:
    """What hours on jobs are: with rework; and how those of the closed jobs differ from them."""
    share, closed = one.time.share, {job.number for job in one.jobs}
    if one.check is None or not share.on_jobs:
        return
    mine = [row for row in one.time.spent if row.is_owner and row.is_billable]
    here = sum(row.minutes for row in mine if row.job in closed)
    before = sum(job.done.owner_minutes for job in one.jobs) - here
    other = share.on_jobs - here
    words = [f"{to_hours(share.billable)} billable"]
    words += [f"{to_hours(share.rework)} of rework"] if share.rework else []
    others = [f"{to_hours(other)} are on jobs not closed in these days"] if other else []
    others += [f"{to_hours(before)} more of the closed jobs fell on other days"] if before else []
    same = "all on the jobs closed here" if closed and not others else "; ".join(others)
    yield Remark(
        f"Hours on jobs are yours: {to_hours(share.on_jobs)}, {' and '.join(words)}"
        + (f"; {same}." if same else ".")
    )


def missing_words(one: Review) -> list[Remark]:
    """What is missing for a fuller review: no closed job, jobs not closed, hours not logged."""
    remarks = []
    if not one.jobs:
        remarks.append(Remark(f"No job was closed from {one.first} to {one.last}."))
    if one.not_closed:
        remarks.append(
            Remark(f"Ready, handed over or open again, and not closed: {listed(one.not_closed)}.",
                   f"job close {one.not_closed[0]}")
        )  # fmt: skip
    if one.opened is not None and one.opened > one.last:
        remarks.append(
            Remark(f"The book was begun on {one.opened}, after these days: their overhead, pay and"
                   " open hours are not in it.")
        )  # fmt: skip
    elif one.opened is not None and one.opened > one.first:
        remarks.append(
            Remark(f"The book was begun on {one.opened}; overhead and open hours count from then.")
        )
    if one.past:
        remarks.append(
            Remark("Loaded as past jobs, so their price, cost and hours are in no sum here:"
                   f" {listed(one.past)}.")
        )  # fmt: skip
    if one.without_hours:
        remarks.append(
            Remark(f"No hours are logged on: {listed(one.without_hours)}.",
                   f"hours add {one.without_hours[0]} …")
        )  # fmt: skip
    return remarks


def standing_words(one: Review) -> str:
    """As of which day a review stands whose days are not over; nothing where they are."""
    if one.is_over:
        return ""
    if one.last == one.end:
        return f"As of {one.last}, the last of these days, which is still running."
    return f"As of {one.last}; these days run on to {one.end}."


def period_words(first: date, last: date) -> str:
    """The days of a review: a whole year by its number."""
    whole = (first.month, first.day) == (1, 1) and last == date(first.year, 12, 31)
    return str(first.year) if whole else f"{first} to {last}"

"""The review as blocks of tables and sentences: time, material, the check of the rates."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from math import ceil

from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.measures.quantity import show_quantity
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.share import show_share
from ledger.measures.spoken import how_many
from ledger.reports.review import Review
from ledger.reports.review_blocks import earned_block, is_rate_known, quotes_block, result_block
from ledger.reports.review_figures import FEW, Part, Remark, ReviewBlock, ReviewRow, ReviewTable
from ledger.reports.review_material import PriceChange, RackOfPeriod, Spending, SponsorGoods
from ledger.reports.review_rates import RatesCheck
from ledger.reports.review_time import by_activity, hours_ahead, weeks

MOST_ACTIVITIES = 12
MOST_OPERATIONS = 10
MOST_PRICES = 10
CLASSES = {
    "work": "on jobs", "first_time": "on jobs, first of its kind", "rework": "rework",
    "change_order": "change orders", "content": "content", "shop": "the shop itself",
}  # fmt: skip


def blocks_of(one: Review) -> list[ReviewBlock]:
    """All blocks of a review, in the order in which they are read."""
    return [
        result_block(one), earned_block(one), quotes_block(one), time_block(one),
        material_block(one), rates_block(one),
    ]  # fmt: skip


def _percent(share: Fraction) -> str:
    return f"{half_up(share * 100, 0):f} %"


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
            f"{hours} billable h of {to_hours(share.logged)} h logged, {_percent(of_logged)}; of"
            f" the {half_up(share.open_hours, 0):f} h that the settings say the shop was open,"
            f" {_percent(of_open)}. The rates assume {show_share(share.assumed)}.{rework}"
        )
    late = [kept for kept in one.time.promises if kept.days_late > 0]
    if one.time.promises:
        of = how_many(len(one.time.promises), "delivered job")
        yield Remark(f"Later than the weeks of the quote: {len(late)} of {of}.")
    if one.time.operations:
        yield Remark(
            "Worth is arithmetic, no advice: 10 % of the hours on an operation × the break-even"
            " rate, as if each hour saved were sold."
        )


def _classes(one: Review) -> ReviewTable:
    sums: dict[str, list[Part]] = {}
    minutes: dict[str, int] = {}
    for (kind, activity), worked, _ in by_activity(one.time.spent):
        sums.setdefault(kind, []).append(Part(activity, "hours", to_hours(worked)))
        minutes[kind] = minutes.get(kind, 0) + worked
    logged = one.time.share.logged
    rows = [
        ReviewRow(CLASSES[kind], (to_hours(worked), _percent(Fraction(worked, logged))),
                  tuple(sums[kind]))
        for kind, worked in sorted(minutes.items(), key=lambda item: (-item[1], item[0]))
    ]  # fmt: skip
    return ReviewTable("classes", "Your hours by class", ("class", "h", "share"), tuple(rows))


def _activities(one: Review) -> ReviewTable:
    rows = [
        ReviewRow(
            f"{activity} ({CLASSES[kind]})" if kind not in {"work", "shop"} else activity,
            (to_hours(worked), how_many(len([job for job in jobs if job]), "job")
             if any(jobs) else ""),
            tuple(Part(job or "no job", activity, to_hours(m)) for job, m in jobs.most_common()),
        )
        for (kind, activity), worked, jobs in by_activity(one.time.spent)
    ]  # fmt: skip
    title = "Where your hours went"
    return ReviewTable(
        "activities", title, ("work", "h", "on"), tuple(rows), ("h",), MOST_ACTIVITIES
    )


def _booked(one: Review) -> ReviewTable:
    rows = []
    for day in one.time.month_ends:
        ahead = hours_ahead(one.time.booked, day)
        hours = sum((left for _, left in ahead), Fraction(0))
        parts = tuple(Part(job, "owner hours still planned", half_up(h, 2)) for job, h in ahead)
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
        jobs = len({line.job for line in row.lines})
        drift = f"{row.ratio} × standard" if row.ratio is not None else ""
        few = f"only {how_many(jobs, 'job')}" if 0 < jobs < FEW else ""
        standard = {line.job: line.standard for line in row.lines}
        parts = tuple(
            Part(job, f"standard {standard[job]} h, all hours" if job in standard else "hours",
                 to_hours(minutes))
            for job, minutes in row.by_job.items()
        )  # fmt: skip
        cells = (to_hours(row.minutes), drift, few, row.saved, row.worth)
        rows.append(ReviewRow(row.name, cells, parts))
    title = "Operations: drift on closed jobs, and what a saving of 10 % would be worth"
    heads = ("operation", "h", "drift", "", "10 % h", "worth")
    adds = ("h", "10 % h", "worth")
    return ReviewTable("operations", title, heads, tuple(rows), adds, MOST_OPERATIONS)


def material_block(one: Review) -> ReviewBlock:
    """Spend, price changes, waste, the rack, sponsors' goods."""
    material, show = one.material, one.currency.show
    changed = [(row, change) for row in material.prices if (change := row.change) is not None]
    tables = [
        _spent("suppliers", "Spend by supplier, landed", material.by_supplier),
        _spent("categories", "Spend by category, landed", material.by_category),
        _months(material.by_category),
        ReviewTable("prices", "Prices of what most was spent on, a unit before tax and freight",
                    ("material", "spent", "bought", "first", "last", "change"),
                    tuple(_price(one, *row) for row in changed), ("spent",), MOST_PRICES),
        ReviewTable("scrapped", "Thrown away or damaged", ("what", "kind", "full value"), tuple(
            ReviewRow(row.words or row.category, (row.kind, row.full),
                      (Part(row.job or "no job", row.category, row.full),))
            for row in material.scrapped
        ), ("full value",)),
        _rack(material.rack),
        _sponsors(material.sponsors),
    ]  # fmt: skip
    remarks = []
    if not material.by_supplier:
        remarks.append(Remark("Nothing was bought in this time."))
    once = [row.landed for row in material.prices if row.change is None]
    if once:
        remarks.append(
            Remark(f"Bought once in these days, so without a change of price:"
                   f" {how_many(len(once), 'material')}, {show(total(once))}.")
        )  # fmt: skip
    rack = material.rack
    if rack.used:
        unknown = (
            f" {how_many(rack.unknown, 'piece')} of materials without a sheet size not counted."
        )
        remarks.append(
            Remark(f"The rack stood in for {rack.sheets} whole sheets by area,"
                   f" {show(rack.used_value)} at the value it carried."
                   + (unknown if rack.unknown else ""))
        )  # fmt: skip
    filled = tuple(table for table in tables if table.rows)
    return ReviewBlock("material", "Material", filled, tuple(remarks))


def _sponsors(sponsors: Sequence[SponsorGoods]) -> ReviewTable:
    """What each sponsor's builds brought beside commissions; one row of builds without any."""
    rows = []
    for one in sponsors if any(one.giver for one in sponsors) else ():
        hours, of = half_up(one.minutes / 60, 2), one.giver or "no sponsor"
        named = (("goods in kind", one.fair), ("sponsor fees", one.fee),
                 ("other income of these builds", one.other), ("content hours", hours))  # fmt: skip
        parts = tuple(Part(of, words, value) for words, value in named if value)
        cells = (one.fair, one.fee, one.other, hours, one.cost)
        rows.append(ReviewRow(one.giver or "builds of no sponsor", cells, parts))
    heads = ("sponsor", "goods, fair value", "fee", "other income", "content h",
             "at break-even")  # fmt: skip
    title = "Sponsors' goods, fees and other income beside the content hours on the same builds"
    return ReviewTable("sponsors", title, heads, tuple(rows), heads[1:])


def _spent(key: str, title: str, spending: Sequence[Spending]) -> ReviewTable:
    whole = total(one.amount for one in spending)
    rows = [
        ReviewRow(one.name, (one.amount, _percent(Fraction(one.amount.minor, whole.minor))
                             if whole else ""),
                  tuple(Part(month, one.name, amount) for month, amount in one.by_month))
        for one in spending
    ]  # fmt: skip
    if len(rows) > 1:
        parts = tuple(part for row in rows for part in row.parts)
        rows.append(ReviewRow(f"all {key}", (whole, ""), parts, is_sum=True))
    return ReviewTable(key, title, ("", "landed", "share"), tuple(rows), ("landed",))


def _months(spending: Sequence[Spending]) -> ReviewTable:
    months: dict[str, list[Part]] = {}
    for one in spending:
        for month, amount in one.by_month:
            months.setdefault(month, []).append(Part(one.name, "landed", amount))
    rows = []
    for month, parts in sorted(months.items()):
        summed = total(part.value for part in parts if isinstance(part.value, Money))
        rows.append(ReviewRow(month, (summed, ", ".join(part.of for part in parts)), tuple(parts)))
    return ReviewTable("months", "Spend by month", ("month", "landed", "on"), tuple(rows))


def _price(one: Review, change: PriceChange, rise: Fraction) -> ReviewRow:
    unit = change.last.unit

    def shown(price: Fraction) -> str:
        return f"{half_up(price / 10**one.currency.digits, max(2, one.currency.digits)):f}/{unit}"

    parts = tuple(
        Part(line.day.isoformat(), f"{line.supplier}, {show_quantity(line.quantity)} {line.unit}",
             line.net)
        for line in dict.fromkeys((change.first, change.last))
    )  # fmt: skip
    words = f"{half_up(rise * 100, 1):+f} %"
    cells = (change.landed, f"{change.purchases} ×", shown(change.first.unit_net),
             shown(change.last.unit_net), words)  # fmt: skip
    return ReviewRow(change.material, cells, parts)


def _rack(rack: RackOfPeriod) -> ReviewTable:
    rows = []
    for name, pieces in (("put on the rack", rack.kept), ("used from it", rack.used),
                         ("thrown away", rack.thrown)):  # fmt: skip
        if pieces:
            parts = tuple(Part(p.job or "no job", p.material, p.full) for p in pieces)
            rows.append(ReviewRow(name, (len(pieces), total(p.full for p in pieces)), parts))
    return ReviewTable("rack", "Offcuts", ("", "pieces", "value they carried"), tuple(rows))


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
    hours = half_up(year.billable_hours, 2)
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
        parts = tuple(Part(job.number, job.title, job.full) for job in one.jobs)
        cells = (year.earned, to_hours(year.earned_minutes), check.earned_hour, "")
        rows.append(ReviewRow("earned an hour on closed jobs", cells, parts))
    heads = ("", "amount", "÷ hours", "an hour", "from")
    named = "Rates that these days needed" if is_rate_known(one) else "The rate in use, and earned"
    table = ReviewTable("rates", named, heads, tuple(rows))
    words = tuple(_rate_words(one, check, show))
    return ReviewBlock("rates", title, (table,) if rows else (), words)


def _rate_words(one: Review, check: RatesCheck, show: Callable[[Money], str]) -> Iterator[Remark]:
    year, hours = check.year, trimmed(half_up(check.year.billable_hours, 1))
    target = f"overhead {show(year.overhead)} and pay {show(year.pay)}"
    if check.needed is None or check.selling is None:
        yield Remark("No billable hours are logged in this time, so no rate follows from it.",
                     "review … --hours HOURS")  # fmt: skip
    elif not is_rate_known(one):
        yield Remark(
            f"Only {to_hours(one.time.share.logged)} h are logged of the"
            f" {half_up(one.time.share.open_hours, 0):f} h that the shop was open by its settings:"
            " too few for the rate that these days needed.", "review … --hours HOURS",
        )  # fmt: skip
    else:
        source = "typed" if year.is_hours_typed else "logged"
        yield Remark(
            f"At {show(check.needed)} an hour the {hours:f} billable hours {source} would have met"
            f" the target: {target}."
        )
    for hour, words in (
        (year.selling, "the selling rate in use"), (check.earned_hour, "what closed jobs left"),
    ):  # fmt: skip
        if hour is not None and hour > Money(0):
            need = ceil(Fraction((year.overhead + year.pay).minor, hour.minor))
            yield Remark(
                f"At {show(hour)} an hour, {words}, {need} billable hours bring in {target};"
                f" {hours:f} are {'typed' if year.is_hours_typed else 'logged'}."
            )
    if not is_rate_known(one):
        return
    gap = check.missing
    if check.earned_hour is not None and gap is not None:
        side = f"{show(abs(gap))} {'short of' if gap > Money(0) else 'over'} that" if gap else (
            "just that"
        )  # fmt: skip
        few = f" Only {how_many(len(one.jobs), 'job')}." if len(one.jobs) < FEW else ""
        yield Remark(
            f"Closed jobs left {show(check.earned_hour)} an hour before overhead, {side}.{few}"
        )
    if one.rates is not None and check.selling is not None:
        yield Remark(
            f"With {show_share(year.profit)} profit that is {show(check.selling)} an hour to sell"
            f" at; in use is {show(year.selling)}. Nothing is set by this."
        )


def missing_words(one: Review) -> list[Remark]:
    """What is missing for a fuller review: no closed job, jobs not closed, hours not logged."""
    remarks = []
    if not one.jobs:
        remarks.append(Remark(f"No job was closed from {one.first} to {one.last}."))
    if one.not_closed:
        remarks.append(
            Remark(f"Ready or handed over and not closed: {', '.join(one.not_closed)}.",
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
                   f" {', '.join(one.past)}.")
        )  # fmt: skip
    if one.without_hours:
        remarks.append(
            Remark(f"No hours are logged on: {', '.join(one.without_hours)}.",
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

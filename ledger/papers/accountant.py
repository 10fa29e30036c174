"""The month's and the year's summary on paper, for the accountant; the rows are in workbooks."""

from collections.abc import Sequence

from ledger.jobs.payments import HELD_WORDS
from ledger.measures.driving import driving
from ledger.measures.duration import to_hours
from ledger.measures.money import Currency, Money, total, totals
from ledger.measures.quantity import show_quantity
from ledger.measures.rounding import half_up
from ledger.measures.spoken import large
from ledger.papers.blocks import Account, heading, moneys, notes, sentences, table
from ledger.papers.engine import Paper
from ledger.papers.words import Words, amount, day_words, row
from ledger.quotes.offer import Maker
from ledger.reports.month import MonthReport
from ledger.reports.roll import COLUMNS, LEAVES, Roll
from ledger.reports.settled import credit_words, unsettled_words
from ledger.reports.spend import OTHER_COSTS, Spend
from ledger.reports.year import YearReport

_STANDING = {
    "closed": "The month is closed.", "open": "The month is over and not closed yet.",
    "running": "The month is still running.", "ahead": "The month has not begun.",
    "before the book": "The book begins after this month.",
}  # fmt: skip


def month_paper(report: MonthReport, maker: Maker, units: str, size: str) -> Paper:
    """A month's account; `units` say in which order days are written."""
    currency = report.currency
    day = day_words(report.as_of, currency, units)
    received = total(paid.received for paid in report.money_in)
    blocks = [
        *_spend(report.spend, currency), *_parts(report),
        *_roll(report.full, report.cash, currency), *_jobs(report), *_over(report),
        *_prices(report, units), *_notes(report),
    ]  # fmt: skip
    above = f"As of {day} · {_STANDING[report.standing]}"
    return _summary(report, "Month", str(report.month), above, received, blocks, maker, size)


def _summary(
    report: MonthReport | YearReport, kind: str, number: str, above: str, received: Money,
    blocks: Sequence[Words], maker: Maker, size: str,
) -> Paper:  # fmt: skip
    """The account of a month or a year, with the figures that a reader in a hurry takes along."""
    currency = report.currency
    figures = {
        "material landed": report.spend.landed,
        "stock at full value": report.full.closing,
        "received from clients": received,
    }
    account = Account(
        kind=kind,
        number=number,
        title="Material, stock and jobs",
        day=report.as_of,
        maker=maker,
        currency=currency,
        foot=f"{kind.casefold()}'s summary",
        above=f"{above} Amounts in {currency.code}.",
        big=[(amount(currency, money, sign=True), words) for words, money in figures.items()],
        blocks=blocks,
    )
    return account.paper(size)


def _spend(spend: Spend, currency: Currency) -> list[Words]:
    """Net, taxes and what the material landed at; what came in kind beside it."""
    lines = [("Net, goods and freight", spend.net), ("Tax paid to suppliers", spend.tax_paid)]
    lines += [("Recoverable tax, no cost", -spend.recoverable)] if spend.recoverable else []
    lines += [("Use tax due", spend.use_tax)] if spend.has_use_tax else []
    rows = [row(name, *moneys(currency, money)) for name, money in lines]
    rows.insert(2, row("Paid", *moneys(currency, spend.paid), look="sum"))
    rows.append(row("Landed", *moneys(currency, spend.landed), look="sum"))
    rows.append(row("In kind, at fair value, no cash", *moneys(currency, spend.in_kind)))
    lost = ((name, money) for name, money, _ in spend.not_credited)
    beside = ((OTHER_COSTS, spend.other_costs), *lost)
    rows += [row(name, *moneys(currency, money)) for name, money in beside if money]
    return [heading("Material bought"), table(("", f">{currency.code}"), rows)]


def _parts(report: MonthReport) -> list[Words]:
    spend, currency = report.spend, report.currency
    blocks: list[Words] = []
    for name, parts in (
        ("By supplier", spend.by_supplier),
        ("By category", spend.by_category),
        ("By job", spend.by_job),
    ):
        rows = [row(part.name, *moneys(currency, part.amount)) for part in parts]
        rows += [row("Landed", *moneys(currency, spend.landed), look="sum")] if rows else []
        blocks.append(table((name, ">landed"), rows))
    return blocks


def _roll(full: Roll[Money], cash: Roll[Money], currency: Currency) -> list[Words]:
    """Stock from the first day to the last, what did not move left out."""
    of_full, of_cash = full.columns(), cash.columns()
    still = ("opening", "received", "issued")
    rows = []
    for name in COLUMNS[:-1]:
        if name in still or of_full[name] or of_cash[name]:
            amounts = of_full[name], of_cash[name]
            shown = (-money if name in LEAVES else money for money in amounts)
            rows.append(row(large(name.replace("_", " ")), *moneys(currency, *shown)))
    rows.append(row("Closing", *moneys(currency, full.closing, cash.closing), look="sum"))
    columns = ("", ">full value", ">cash")
    return [heading("Stock rolled forward"), table(columns, rows)]


def _jobs(report: MonthReport) -> list[Words]:
    """Each job on a row: material issued, what stands in it, what its client paid."""
    issued = {line.job: line for line in report.issued}
    progress = {job.number: job for job in report.progress}
    clients = {paid.job: paid for paid in report.money_in}
    rows = []
    for number in sorted({*issued, *progress, *clients}):
        got, job, paid = issued.get(number), progress.get(number), clients.get(number)
        amounts = (
            got.full if got else None, job.cost if job else None,
            *((paid.received, paid.tax, paid.held) if paid else (None, None, None)),
        )  # fmt: skip
        stands = report.state_words(number, report.states.get(number, "done"))
        rows.append(row(number, stands, *moneys(report.currency, *amounts)))
    if rows:
        sums = (
            total(line.full for line in report.issued),
            total(job.cost for job in report.progress),
            *totals(report.money_in, "received tax held"),
        )
        rows.append(row("All", "", *moneys(report.currency, *sums), look="sum"))
    columns = ("|Job", "stands", ">issued", ">in progress", ">received", ">tax in it", ">held")
    return [heading("Jobs"), table(columns, rows)]


def _over(report: MonthReport | YearReport) -> list[Words]:
    """What is still to settle of jobs that are over, and what came after closing."""
    listed = notes(unsettled_words(report, with_commands=False))
    over = [heading("Jobs that are over"), *listed] if listed else []
    credits = notes(credit_words(report, with_commands=False))
    return [*over, *([heading("Credit notes still to be written"), *credits] if credits else [])]


def _prices(report: MonthReport, units: str) -> list[Words]:
    if not report.price_changes:
        return []
    rows = [
        row(change.code, change.name, f"{change.before} → {change.after}",
            f"{half_up(change.share * 100, 1):+} %".replace("-", "−"),
            day_words(change.day, report.currency, units))
        for change in report.price_changes
    ]  # fmt: skip
    columns = ("|Material", "", ">price", ">change", ">from")
    return [heading("Prices that changed most"), table(columns, rows)]


def _notes(report: MonthReport) -> list[Words]:
    notes = []
    if report.billable is not None:
        share = half_up(report.billable * 100, 1)
        assumed = half_up(report.assumed_billable * 100, 1)
        notes.append(
            f"Owner's logged time on commissions: {share} % (the rates assume {assumed} %)."
        )
    notes += [HELD_WORDS] if any(paid.held for paid in report.money_in) else []
    if report.spend.use_tax:
        notes.append("What use tax is due and when, your tax authority says.")
    return sentences(notes)


def year_paper(report: YearReport, maker: Maker, size: str) -> Paper:
    """A year's account; of one that is running up to its last day."""
    currency = report.currency
    day = day_words(report.as_of, currency, report.units)
    standing = "The year is over." if report.is_over else "The year is still running."
    received = total(job.received for job in report.jobs)
    blocks = [
        *_spend(report.spend, currency), *_months(report),
        *_roll(report.full, report.cash, currency), *_jobs_of_year(report), *_over(report),
        *_income(report), *_driven(report),
    ]  # fmt: skip
    above = f"As of {day} · {standing}"
    return _summary(report, "Year", str(report.year), above, received, blocks, maker, size)


def _months(report: YearReport) -> list[Words]:
    rows = [
        row(str(month), *moneys(report.currency, one.net, one.paid, one.landed, one.in_kind))
        for month, one in report.months
        if month.first <= report.as_of
    ]
    spend = report.spend
    sums = moneys(report.currency, spend.net, spend.paid, spend.landed, spend.in_kind)
    rows += [row("Year", *sums, look="sum")] if rows else []
    return [table(("Month", ">net", ">paid", ">landed", ">in kind"), rows)]


def _jobs_of_year(report: YearReport) -> list[Words]:
    currency, jobs = report.currency, report.jobs
    rows = [
        row(job.number, job.title, report.state_words(job.number, job.state),
            str(to_hours(job.owner_minutes)),
            *moneys(currency, job.material, job.received, job.tax, job.held))
        for job in jobs
    ]  # fmt: skip
    if rows:
        sums = totals(jobs, "material received tax held")
        hours = str(to_hours(sum(job.owner_minutes for job in jobs)))
        rows.append(row("All", "", "", hours, *moneys(currency, *sums), look="sum"))
    columns = ("|Job", "", "|stands", ">your hours", ">material", ">received", ">tax in it",
               ">held")  # fmt: skip
    progress = total(job.cost for job in report.progress)
    remarks = [f"Work in progress at full cost: {amount(currency, progress)}."]
    remarks += [HELD_WORDS] if any(job.held for job in jobs) else []
    return [heading("Jobs"), table(columns, rows), *sentences(remarks)]


def _income(report: YearReport) -> list[Words]:
    """Income beside the commissions, by its kind."""
    sums = report.streams
    if not sums:
        return []
    rows = [
        row(large(stream), *moneys(report.currency, gross, fee, gross - fee))
        for stream, (gross, fee) in sums.items()
    ]
    gross, fee = (total(amounts[at] for amounts in sums.values()) for at in (0, 1))
    rows.append(row("All", *moneys(report.currency, gross, fee, gross - fee), look="sum"))
    columns = ("", ">gross", ">fees", ">after fees")
    return [heading("Other income"), table(columns, rows)]


def _driven(report: YearReport) -> list[Words]:
    if not report.trips:
        return []
    unit, cost = driving(report.units), total(trip.amount for trip in report.trips)
    return sentences(
        [f"{unit.title} driven for jobs: {show_quantity(report.driven)}, at the shop's rate"
         f" {amount(report.currency, cost)}."]
    )  # fmt: skip

"""The year's summary on paper, for the accountant: the rows behind it are in the workbook."""

from ledger.jobs.jobs import state_words
from ledger.jobs.payments import HELD_WORDS
from ledger.measures.driving import driving
from ledger.measures.duration import to_hours
from ledger.measures.money import total, totals
from ledger.measures.quantity import show_quantity
from ledger.measures.spoken import large
from ledger.papers.blocks import Account, account_paper, heading, moneys, sentences, table
from ledger.papers.engine import Paper
from ledger.papers.month import over_blocks, roll_blocks, spend_blocks
from ledger.papers.words import Words, amount, day_words, row
from ledger.quotes.offer import Maker
from ledger.reports.year import YearReport


def year_paper(report: YearReport, maker: Maker, size: str) -> Paper:
    """A year's account; of one that is running up to its last day."""
    currency = report.currency
    day = day_words(report.as_of, currency, report.units)
    standing = "The year is over." if report.is_over else "The year is still running."
    received = total(job.received for job in report.jobs)
    return account_paper(
        Account(
            kind="Year",
            number=str(report.year),
            title="Material, stock and jobs",
            day=report.as_of,
            maker=maker,
            foot="year's summary",
            above=f"As of {day} · {standing} Amounts in {currency.code}.",
            big=[
                (amount(currency, report.spend.landed, sign=True), "material landed"),
                (amount(currency, report.full.closing, sign=True), "stock at full value"),
                (amount(currency, received, sign=True), "received from clients"),
            ],
            blocks=[
                *spend_blocks(report.spend, currency), *_months(report),
                *roll_blocks(report.full, report.cash, currency), *_jobs(report),
                *over_blocks(report), *_income(report), *_driven(report),
            ],
        ),
        size,
    )  # fmt: skip


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


def _jobs(report: YearReport) -> list[Words]:
    currency, jobs = report.currency, report.jobs
    rows = [
        row(job.number, job.title, state_words(job.state), str(to_hours(job.owner_minutes)),
            *moneys(currency, job.material, job.received, job.tax, job.held))
        for job in jobs
    ]  # fmt: skip
    if rows:
        sums = totals(jobs, "material received tax held")
        hours = str(to_hours(sum(job.owner_minutes for job in jobs)))
        rows.append(row("All", "", "", hours, *moneys(currency, *sums), look="sum"))
    columns = (
        "|Job",
        "",
        "|stands",
        ">your hours",
        ">material",
        ">received",
        ">tax in it",
        ">held",
    )
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

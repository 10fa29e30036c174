"""The year's end for the accountant: a summary, and the rows behind it."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from openpyxl import Workbook

from ledger.jobs.jobs import state_words
from ledger.jobs.payments import HELD_WORDS
from ledger.measures.driving import driving
from ledger.measures.duration import to_hours
from ledger.measures.money import total, totals
from ledger.reports.roll import COLUMNS
from ledger.reports.year import YearReport
from ledger.workbooks.paper import add_sheet, new_workbook, save
from ledger.workbooks.writers import month_sheets
from ledger.workbooks.writers.data_sheets import Field, add_data_sheet, summed
from ledger.workbooks.writers.rows import Datum, Rows, add_going_back

WIDTHS = (36, 16, 16, 16)

_SPEND = (
    Field("month", 10), summed("net", 12), summed("tax paid", 12), summed("paid", 12),
    summed("recoverable", 12), summed("use tax", 12), summed("landed", 12),
    summed("in kind", 12),
)  # fmt: skip
_TRIPS = (
    Field("day", 12), Field("job", 10), Field("why", 40), summed("distance", 11),
    summed("amount", 12),
)  # fmt: skip
_JOBS = (
    Field("job", 10), Field("title", 36), Field("stands", 16), summed("material", 12),
    summed("material cash", 13), summed("received", 12), summed("tax in it", 12),
    summed("held", 12), summed("owner hours", 11),
)  # fmt: skip
_INCOME = (
    Field("day", 12), Field("job", 10), Field("stream", 14), Field("what", 40),
    summed("gross", 12), summed("fee", 12),
)  # fmt: skip


def write_year(report: YearReport, path: Path, *, letter: bool = True) -> Path:
    """Write the workbook of a year's end."""
    workbook = new_workbook(f"Year {report.year}", report.shop, report.as_of)
    _summary(workbook, report)
    sheets: tuple[tuple[str, Sequence[Field], Iterator[Sequence[Datum]]], ...] = (
        ("Spend by month", *month_sheets.without_use_tax(report.spend, _SPEND, _spend(report))),
        ("Roll-forward", month_sheets.roll_fields(), month_sheets.roll_rows(report.rolls)),
        ("Closing stock", month_sheets.STOCK, month_sheets.stock_rows(report.closing_stock)),
        ("In kind", month_sheets.IN_KIND, ((*row,) for row in report.in_kind)),
        ("Driven", _TRIPS, ((*row,) for row in report.trips)),
        ("Jobs", _JOBS, _jobs(report)),
        ("Other income", _INCOME, ((*row,) for row in report.income)),
    )
    for title, fields, rows in sheets:
        add_data_sheet(workbook, title, fields, rows, report.currency)
    month_sheets.add_months_sheet(workbook, report.by_category, report.currency)
    return save(workbook, path, private=True, letter=letter)


def _summary(workbook: Workbook, report: YearReport) -> None:
    rows = Rows(add_sheet(workbook, "Summary", WIDTHS), WIDTHS, report.currency)
    over = "The year is over." if report.is_over else "The year is still running."
    rows.title(
        f"Year {report.year}",
        f"{report.shop}, {report.currency.code}, as of {report.as_of}. {over} All figures are"
        " values; each block names the data sheet that adds up to it.",
    )
    spend = report.spend
    rows.subtitle("Material bought (sheet Spend by month)")
    for name, amount in (
        ("Net", spend.net), ("Tax paid", spend.tax_paid), ("Paid", spend.paid),
        *([("Use tax due", spend.use_tax)] if spend.has_use_tax else []),
        ("Recoverable tax", spend.recoverable),
        ("Landed", spend.landed), ("In kind received, at fair value", spend.in_kind),
    ):  # fmt: skip
        rows.add((name, amount))
    _roll(rows, report)
    rows.subtitle(f"{driving(report.units).title} (sheet Driven)")
    rows.add(("Driven for jobs", report.driven))
    rows.add(("At the shop's rate", total(trip.amount for trip in report.trips)))
    _money(rows, report)


def _roll(rows: Rows, report: YearReport) -> None:
    rows.subtitle("Stock rolled forward (sheets Roll-forward and Closing stock)")
    rows.headings(("", "full value", "cash", ""), (2, 3))
    full, cash = report.full.columns(), report.cash.columns()
    for name in COLUMNS[:-1]:
        rows.add((name.replace("_", " "), full[name], cash[name]))
    rows.sums("closing", (full["closing"], cash["closing"]))


def _money(rows: Rows, report: YearReport) -> None:
    rows.subtitle("From clients (sheet Jobs)")
    received, tax, held = totals(report.jobs, "received tax held")
    back, owed = totals(report.canceled, "settlement.back settlement.owed")
    for name, amount in (
        ("Received", received), ("Tax in it", tax), ("Held until the work is done", held),
        ("Goes back to clients of canceled jobs", back), ("Owed by clients of canceled jobs", owed),
        ("Work in progress at full cost", total(job.cost for job in report.progress)),
        ("Late cost of jobs after closing", total(row.cost for row in report.late)),
    ):  # fmt: skip
        rows.add((name, amount))
    if any(job.held for job in report.jobs):
        rows.note(HELD_WORDS)
    add_going_back(rows, report)
    rows.subtitle("Other income (sheet Other income)")
    rows.headings(("stream", "gross", "fees", ""), (2, 3))
    for stream, (gross, fee) in report.streams.items():
        rows.add((stream, gross, fee))
    rows.sums("all", totals(report.income, "gross fee"))


def _spend(report: YearReport) -> Iterator[Sequence[Datum]]:
    for month, spend in report.months:
        yield (str(month), spend.net, spend.tax_paid, spend.paid, spend.recoverable, spend.use_tax,
               spend.landed, spend.in_kind)  # fmt: skip


def _jobs(report: YearReport) -> Iterator[Sequence[Datum]]:
    for job in report.jobs:
        yield (job.number, job.title, state_words(job.state), job.material, job.material_cash,
               job.received, job.tax, job.held, to_hours(job.owner_minutes))  # fmt: skip

"""The month and the year for the accountant: a summary, and behind it the rows that make it up."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import cycle
from pathlib import Path

from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.worksheet.worksheet import Worksheet

from ledger.book.questions.month import Named
from ledger.jobs.payments import HELD_WORDS
from ledger.measures.driving import driving
from ledger.measures.duration import to_hours
from ledger.measures.money import total, totals
from ledger.measures.rounding import half_up
from ledger.reports.month import MonthReport
from ledger.reports.month_data import MonthData
from ledger.reports.roll import COLUMNS, LEAVES
from ledger.reports.spend import OTHER_COSTS
from ledger.reports.year import YearReport
from ledger.workbooks.paper import SHARE, add_sheet, new_workbook, price_format, save
from ledger.workbooks.writers import month_sheets
from ledger.workbooks.writers.data_sheets import Field, add_data_sheet, fields_of
from ledger.workbooks.writers.month_sheets import add_data_sheets
from ledger.workbooks.writers.rows import Datum, Rows, add_going_back, padded

_CHART_POINTS = 283
"""The height of the chart: ten centimeters."""

WIDTHS = (26, 12, 12, 12, 22)

_ROLL_WORDS = {
    "opening": "stock the month began with", "received": "from suppliers and in kind",
    "issued": "to jobs", "returned": "from jobs, kept offcuts included",
    "scrapped": "scrap and damage", "to_supplier": "sent back", "own_use": "own use and giveaways",
    "counted": "found (+) or missing (−) at a count", "closing": "stock the month ends with",
}  # fmt: skip

_STANDING = {
    "closed": "The month is closed.", "open": "The month is over and not closed yet.",
    "running": "The month is still running; figures are those of today.",
    "ahead": "The month has not begun.", "before the book": "The book begins after this month.",
}  # fmt: skip


def write_month(report: MonthReport, data: MonthData, path: Path, *, letter: bool = True) -> Path:
    """Write the accountant's workbook of a month."""
    workbook = new_workbook(f"Material and stock {report.month}", report.shop, report.as_of)
    summary = _summary(workbook, report)
    _months(summary, data)
    months = add_data_sheets(workbook, report, data)
    _chart(summary, months, len(data.months) + 1)
    return save(workbook, path, private=True, letter=letter)


def _summary(workbook: Workbook, report: MonthReport) -> Rows:
    rows = Rows(add_sheet(workbook, "Summary", WIDTHS), WIDTHS, report.currency)
    rows.title(
        f"Material and stock, {report.month}",
        f"{report.shop}, {report.currency.code}, as of {report.as_of}."
        f" {_STANDING[report.standing]} All figures are values; each block names the data sheet"
        " that adds up to it.",
    )
    _spend(rows, report)
    for name, parts, sheet in (
        ("Landed by supplier", report.spend.by_supplier, "Receipts"),
        ("Landed by category", report.spend.by_category, "Receipts"),
        ("Landed by job, stock and shop", report.spend.by_job, "Where it went"),
    ):
        _parts(rows, report, name, parts, sheet)
    rows.begin_page(rows.row + 1)  # what was bought first, then stock and jobs
    _roll(rows, report)
    _jobs(rows, report)
    _clients(rows, report)
    _over(rows, report)
    _prices(rows, report)
    return rows


def _spend(rows: Rows, report: MonthReport) -> None:
    spend = report.spend
    owed = "owed by the shop on untaxed goods (and sheet Movements)"
    landed = f"paid{' + use tax' if spend.has_use_tax else ''} − recoverable; stock stands at it"
    rows.subtitle("Spend (sheet Receipts)")
    for name, amount, words in (
        ("Net", spend.net, "goods and freight, discounts taken off"),
        ("Tax paid", spend.tax_paid, "to suppliers"),
        ("Paid", spend.paid, "net and tax paid"),
        *([("Use tax due", spend.use_tax, owed)] if spend.has_use_tax else []),
        ("Recoverable tax", spend.recoverable, "comes back; no cost"),
        ("Landed", spend.landed, landed),
        ("In kind received", spend.in_kind, "fair value, no cash (sheet In kind)"),
        (OTHER_COSTS, spend.other_costs, "sheet Other costs of jobs"),
        *spend.not_credited,
    ):
        rows.add_wide((name, amount, words))


def _parts(
    rows: Rows, report: MonthReport, name: str, parts: tuple[Named, ...], sheet: str
) -> None:
    rows.subtitle(f"{name} (sheet {sheet})")
    whole = report.spend.landed.minor
    for part in parts:
        share = half_up(Decimal(part.amount.minor) * 100 / whole, 1) if whole else None
        rows.add((part.name, part.amount, share), ("", "", padded(SHARE)))
    rows.sums("Landed", [report.spend.landed])


def _roll(rows: Rows, report: MonthReport) -> None:
    rows.subtitle("Stock rolled forward (sheets Movements and Roll-forward)")
    rows.headings(("", "full value", "cash", "", ""), (2, 3))
    full, cash = report.full.columns(), report.cash.columns()
    for name in COLUMNS[:-1]:
        sign = "− " if name in LEAVES else "" if name in ("opening", "counted") else "+ "
        words = name.replace("_", " ")
        rows.add_wide((f"{sign}{words}", full[name], cash[name], _ROLL_WORDS[name]))
    rows.sums("closing", (full["closing"], cash["closing"]))


def _jobs(rows: Rows, report: MonthReport) -> None:
    rows.subtitle("Issued to jobs, net of what came back (sheet Movements)")
    rows.headings(("job", "full value", "cash", "", ""), (2, 3))
    for row in report.issued:
        rows.add((row.job, row.full, row.cash))
    rows.sums("Issued", totals(report.issued, "full cash"))
    rows.subtitle(f"Work in progress on {report.as_of} (sheet Work in progress)")
    rows.headings(("job", "material", "labor and other", "cost", "  state"), (2, 3, 4))
    for job in report.progress:
        labor_and_other = job.helpers + job.owner + job.other
        state = f"  {report.state_words(job.number, job.state)}"
        rows.add((job.number, job.material, labor_and_other, job.cost, state))
    rows.sums("In progress", {4: total(job.cost for job in report.progress)})
    if report.billable is not None:
        share = half_up(report.billable * 100, 1)
        percent = half_up(report.assumed_billable * 100, 1)
        rows.subtitle("Hours")
        rows.add_wide(
            ("Owner's time on commissions", share, f"the rates assume {percent} %"),
            ("", padded(SHARE)),
        )


def _over(rows: Rows, report: MonthReport) -> None:
    """Jobs that are over: what canceled ones kept and still settle, and cost after closing."""
    if report.canceled:
        rows.subtitle("Canceled jobs")
        canceled = []
        rows.headings(("job", "cost till then", "kept", "goes back", "  still owed"), (2, 3, 4))
        for row in report.canceled:
            now = row.settlement
            values = (row.progress.cost, now.canceled.kept, now.back)
            canceled.append(values)
            owed = f"  {report.currency.show(now.owed)}, canceled {now.canceled.day}"
            rows.add((now.job.number, *values, owed))
        rows.sums("Total", [total(amounts) for amounts in zip(*canceled, strict=True)])
    add_going_back(rows, report)
    if report.late:
        rows.subtitle("Late cost after closing")
        rows.headings(("job", "material", "labor", "cost", "  over since"), (2, 3, 4))
        for late in report.late:
            values = (late.material + late.use_tax, late.helpers + late.owner, late.cost)
            since = f"  {late.job.state} {late.job.day}"
            rows.add((late.job.number, *values, since))
        rows.sums("Late cost", {4: total(late.cost for late in report.late)})


def _clients(rows: Rows, report: MonthReport) -> None:
    """What clients paid; what is held is owed to them until the work is done."""
    if not report.money_in:
        return
    rows.subtitle("From clients (sheet From clients)")
    heads = ("job", "received", "tax in it", "held", "  until handed over")
    rows.headings(heads, (2, 3, 4))
    for row in report.money_in:
        rows.add((row.job, row.received, row.tax, row.held))
    rows.sums("From clients", totals(report.money_in, "received tax held"))
    if any(row.held for row in report.money_in):
        rows.note(HELD_WORDS)


def _prices(rows: Rows, report: MonthReport) -> None:
    if not report.price_changes:
        return
    price = padded(price_format(report.currency))
    rows.subtitle(f"Largest price changes ({report.price_basis})")
    rows.headings(("material", "before", "after", "change", "from"), (2, 3, 4))
    for change in report.price_changes:
        share = half_up(change.share * 100, 1)
        rows.add(
            (f"{change.code} {change.name}", change.before, change.after, share,
             change.day.isoformat()),
            ("", price, price, padded(SHARE)),
        )  # fmt: skip


def _months(rows: Rows, data: MonthData) -> None:
    """The months that the chart shows."""
    rows.subtitle("Landed cost by month (sheet Months)")
    for month in data.months:
        rows.add((str(month.month), total(month.by_category.values())))


_SHADES = ("4A3F35", "8C7B65", "C9BFAE", "7A4B2A", "D9A679", "5C6B61", "A9B8AE", "46586B", "B4C2D0")
"""Dark beside light, so that neighbors are told apart in black and white too."""


def _chart(summary: Rows, months: Worksheet, last: int) -> None:
    """Spend by category below the summary's figures: a column a month, or a bar a category.

    `last` is the row of the last month.
    """
    if months.max_column < 2:
        return
    chart = BarChart()
    width = months.max_column
    if last == 2:  # one month alone has nothing to stand beside
        chart.type, chart.legend = "bar", None
        data = Reference(months, min_col=1, max_col=width, min_row=2)
        words = Reference(months, min_col=2, max_col=width, min_row=1)
        chart.add_data(data, titles_from_data=True, from_rows=True)
        chart.series[0].graphicalProperties.solidFill = _SHADES[1]
        chart.x_axis.scaling.orientation = "maxMin"
    else:
        chart.type, chart.grouping, chart.overlap = "col", "stacked", 100
        chart.legend.position = "b"
        data = Reference(months, min_col=2, max_col=width, min_row=1, max_row=last)
        words = Reference(months, min_col=1, min_row=2, max_row=last)
        chart.add_data(data, titles_from_data=True)
        for series, shade in zip(chart.series, cycle(_SHADES), strict=False):
            series.graphicalProperties.solidFill = shade
    chart.set_categories(words)
    chart.title = "Landed cost by category"
    chart.height, chart.width, chart.gapWidth = _CHART_POINTS / 72 * 2.54, 17, 60
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.y_axis.numFmt = "#,##0"
    summary.keep_together(summary.row, below=_CHART_POINTS)
    summary.sheet.add_chart(chart, f"A{summary.row + 1}")


_YEAR_WIDTHS = (36, 16, 16, 16)

_YEAR_SPEND = fields_of(
    "month 10; +net 12; +tax paid 12; +paid 12; +recoverable 12; +use tax 12; +landed 12; "
    "+in kind 12; +other costs 12; +kept by suppliers 12; +freight lost 12"
)
_TRIPS = fields_of("day 12; job 10; why 40; +distance 11; +amount 12")
_YEAR_JOBS = fields_of(
    "job 10; title 36; stands 16; +material 12; +material cash 13; +use tax beside 14; "
    "+received 12; +tax in it 12; +held 12; +owner hours 11"
)
_INCOME = fields_of("day 12; job 10; stream 14; what 40; +gross 12; +fee 12")


def write_year(report: YearReport, path: Path, *, letter: bool = True) -> Path:
    """Write the workbook of a year's end."""
    workbook = new_workbook(f"Year {report.year}", report.shop, report.as_of)
    _summary_of_year(workbook, report)
    sheets: tuple[tuple[str, Sequence[Field], Iterator[Sequence[Datum]]], ...] = (
        (
            "Spend by month",
            *month_sheets.without_use_tax(report.spend, _YEAR_SPEND, _spend_by_month(report)),
        ),
        ("Roll-forward", month_sheets.roll_fields(), month_sheets.roll_rows(report.rolls)),
        ("Closing stock", month_sheets.STOCK, month_sheets.stock_rows(report.closing_stock)),
        ("In kind", month_sheets.IN_KIND, ((*row,) for row in report.in_kind)),
        ("Other costs of jobs", month_sheets.OTHER_COSTS, ((*row,) for row in report.spend.noted)),
        ("Driven", _TRIPS, ((*row,) for row in report.trips)),
        (
            "Jobs",
            *month_sheets.without_use_tax(report.spend, _YEAR_JOBS, _jobs_of_year(report)),
        ),
        ("Other income", _INCOME, ((*row,) for row in report.income)),
    )
    for title, fields, rows in sheets:
        add_data_sheet(workbook, title, fields, rows, report.currency)
    month_sheets.add_months_sheet(workbook, report.by_category, report.currency)
    return save(workbook, path, private=True, letter=letter)


def _summary_of_year(workbook: Workbook, report: YearReport) -> None:
    rows = Rows(add_sheet(workbook, "Summary", _YEAR_WIDTHS), _YEAR_WIDTHS, report.currency)
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
        (OTHER_COSTS, spend.other_costs), *((name, lost) for name, lost, _ in spend.not_credited),
    ):  # fmt: skip
        rows.add((name, amount))
    _roll_of_year(rows, report)
    rows.subtitle(f"{driving(report.units).title} (sheet Driven)")
    rows.add(("Driven for jobs", report.driven))
    rows.add(("At the shop's rate", total(trip.amount for trip in report.trips)))
    _money_of_year(rows, report)


def _roll_of_year(rows: Rows, report: YearReport) -> None:
    rows.subtitle("Stock rolled forward (sheets Roll-forward and Closing stock)")
    rows.headings(("", "full value", "cash", ""), (2, 3))
    full, cash = report.full.columns(), report.cash.columns()
    for name in COLUMNS[:-1]:
        rows.add((name.replace("_", " "), full[name], cash[name]))
    rows.sums("closing", (full["closing"], cash["closing"]))


def _money_of_year(rows: Rows, report: YearReport) -> None:
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


def _spend_by_month(report: YearReport) -> Iterator[Sequence[Datum]]:
    for month, spend in report.months:
        yield (str(month), spend.net, spend.tax_paid, spend.paid, spend.recoverable, spend.use_tax,
               spend.landed, spend.in_kind, spend.other_costs,
               spend.kept_by_suppliers - spend.freight_lost, spend.freight_lost)  # fmt: skip


def _jobs_of_year(report: YearReport) -> Iterator[Sequence[Datum]]:
    for job in report.jobs:
        yield (job.number, job.title, report.state_words(job.number, job.state),
               job.material, job.material_cash, job.use_tax,
               job.received, job.tax, job.held, to_hours(job.owner_minutes))  # fmt: skip

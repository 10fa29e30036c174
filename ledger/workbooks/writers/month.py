"""The month for the accountant: a summary on one page, and behind it the rows that make it up."""

from decimal import Decimal
from itertools import cycle
from pathlib import Path

from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.worksheet.worksheet import Worksheet

from ledger.book.questions.month import Named
from ledger.jobs.jobs import state_words
from ledger.jobs.payments import HELD_WORDS
from ledger.measures.money import total, totals
from ledger.measures.rounding import half_up
from ledger.reports.month import MonthReport
from ledger.reports.month_data import MonthData
from ledger.reports.roll import COLUMNS, LEAVES
from ledger.workbooks.paper import SHARE, add_sheet, new_workbook, price_format, save
from ledger.workbooks.writers.month_sheets import add_data_sheets
from ledger.workbooks.writers.rows import Rows, add_going_back, padded

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
        state = f"  {state_words(job.state)}"
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
    rows.subtitle("Largest price changes (tax that stays a cost inside, freight not)")
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

"""The data sheets behind a month: receipts, where they went, stock, goods in kind, invoices."""

from collections.abc import Iterator, Sequence

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from ledger.book.questions.stock import OnHand
from ledger.jobs.jobs import state_words
from ledger.measures.duration import to_hours
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity
from ledger.reports.month import MonthReport
from ledger.reports.month_data import MonthData, MonthOfSpend
from ledger.reports.roll import COLUMNS, MaterialRoll, column_of
from ledger.reports.spend import Spend
from ledger.workbooks.writers.data_sheets import Field, add_data_sheet, figure, summed
from ledger.workbooks.writers.rows import Datum

_RECEIPTS = (
    Field("receipt", 7), Field("day", 10), Field("supplier", 11), Field("document", 10),
    Field("kind", 6), Field("paid by", 7), Field("material", 8), Field("item", 12),
    Field("category", 8), figure("quantity", 8), Field("unit", 6),
    figure("unit price", 8), Field("tax", 5), summed("discount", 8),
    summed("net", 8), summed("freight", 7), summed("tax paid", 6),
    summed("recoverable", 11), summed("use tax", 6), summed("landed", 8),
)  # fmt: skip
_WENT = (
    Field("receipt", 10), Field("day", 12), Field("supplier", 24), Field("item", 40),
    Field("category", 11), Field("goes to", 11), figure("quantity", 11),
    Field("unit", 8), summed("landed", 12),
)  # fmt: skip
_MOVES = (
    Field("day", 11), Field("what", 10), Field("column", 10), figure("lot", 6),
    Field("material", 10), Field("item", 24), Field("category", 9), Field("supplier", 16),
    figure("quantity", 9), Field("unit", 6), summed("full", 10),
    summed("cash", 10), summed("use tax", 7), Field("job", 8),
    Field("reason", 13),
)  # fmt: skip
STOCK = (
    figure("lot", 7), Field("day", 12), Field("material", 11), Field("item", 40),
    Field("category", 11), Field("source", 10), Field("from", 20),
    figure("quantity", 11), Field("unit", 8), summed("full", 12),
    summed("cash", 12),
)  # fmt: skip
IN_KIND = (
    Field("day", 11), Field("receipt", 9), Field("from", 17), Field("document", 13),
    Field("material", 10), Field("item", 26), figure("quantity", 9), Field("unit", 7),
    summed("fair value", 11), Field("how found", 16), Field("evidence", 21),
    Field("agreement", 10),
)  # fmt: skip
_PROGRESS = (
    Field("job", 10), Field("title", 34), Field("state", 16), summed("material", 12),
    summed("material cash", 12), summed("helpers", 12),
    summed("owner hours", 10), summed("owner", 12), summed("other", 12), summed("cost", 12),
    summed("received so far", 12), summed("cost less received", 12),
)  # fmt: skip
_CLIENTS = (
    Field("job", 10), summed("received", 12), summed("tax in it", 12), summed("held", 12),
)  # fmt: skip

_INVOICES = (
    Field("invoice", 12), Field("day", 12), Field("job", 10), Field("kind", 16),
    Field("corrects", 26), summed("net", 12), summed("of it taxed", 12), summed("tax", 12),
    summed("with tax", 12),
)  # fmt: skip


def add_data_sheets(workbook: Workbook, report: MonthReport, data: MonthData) -> Worksheet:
    """Write the data sheets of a month; the one of spend by month is given back."""
    sheets: tuple[tuple[str, Sequence[Field], Iterator[Sequence[Datum]]], ...] = (
        ("Receipts", *without_use_tax(report.spend, _RECEIPTS, ((*row,) for row in data.lines))),
        ("Where it went", _WENT, ((*row,) for row in data.shares)),
        ("Movements", *without_use_tax(report.spend, _MOVES, _moves(data))),
        ("Roll-forward", roll_fields(), roll_rows(data.rolls)),
        ("Stock on hand", STOCK, stock_rows(data.on_hand)),
        ("In kind", IN_KIND, ((*row,) for row in data.in_kind)),
        ("Work in progress", _PROGRESS, _progress(report)),
        ("From clients", _CLIENTS, _clients(report)),
        ("Invoices", _INVOICES, ((*row,) for row in data.invoices)),
    )
    for title, fields, rows in sheets:
        add_data_sheet(workbook, title, fields, rows, report.currency)
    return add_months_sheet(workbook, data.months, report.currency)


def without_use_tax(
    spend: Spend, fields: Sequence[Field], rows: Iterator[Sequence[Datum]]
) -> tuple[Sequence[Field], Iterator[Sequence[Datum]]]:
    """The columns and rows of a sheet; without the one of use tax where a shop has none."""
    if spend.has_use_tax:
        return fields, rows
    kept = [at for at, field in enumerate(fields) if field.name != "use tax"]
    return [fields[at] for at in kept], ([row[at] for at in kept] for row in rows)


def _moves(data: MonthData) -> Iterator[Sequence[Datum]]:
    for row in data.moves:
        what = row.kind.removeprefix("lot ").replace("_", " ")
        passes_credit = row.kind in {"issue", "return"} and not row.quantity
        place = "" if row.kind == "use_tax" or passes_credit else column_of(row.kind)
        yield (row.day, what, place.replace("_", " "), *row[2:])


def roll_fields() -> tuple[Field, ...]:
    """The columns of a roll-forward: a row for quantity, full value and cash of each material."""
    figures = (summed(name.replace("_", " "), 11) for name in COLUMNS)
    return (Field("material", 24), Field("unit", 8), Field("measure", 10, sorts=True), *figures)


def roll_rows(rolls: Sequence[MaterialRoll]) -> Iterator[Sequence[Datum]]:
    """The rows of a roll-forward."""
    for roll in rolls:
        for measure in ("quantity", "full", "cash"):
            figures: Sequence[Money | Quantity] = tuple(getattr(roll, measure).columns().values())
            yield (roll.material, roll.unit, measure, *figures)


def stock_rows(lots: Sequence[OnHand]) -> Iterator[Sequence[Datum]]:
    """The rows of stock on hand, a lot each."""
    for row in lots:
        yield (row.lot, row.day, row.material or "", row.words, row.category,
               row.source.replace("_", " "), row.sponsor, row.quantity, row.unit, row.full,
               row.cash)  # fmt: skip


def _progress(report: MonthReport) -> Iterator[Sequence[Datum]]:
    for job in report.progress:
        yield (job.number, job.title, state_words(job.state), job.material, job.material_cash,
               job.helpers, to_hours(job.owner_minutes), job.owner, job.other, job.cost,
               job.received, job.uncovered)  # fmt: skip


def _clients(report: MonthReport) -> Iterator[Sequence[Datum]]:
    for row in report.money_in:
        yield (row.job, row.received, row.tax, row.held)


def add_months_sheet(
    workbook: Workbook, months: Sequence[MonthOfSpend], currency: Currency
) -> Worksheet:
    """Write landed cost by category, a row a month; the largest category stands first."""
    sums: dict[str, int] = {}
    for month in months:
        for name, amount in month.by_category.items():
            sums[name] = sums.get(name, 0) + amount.minor
    names = sorted(sums, key=lambda name: (-sums[name], name))
    fields = (Field("month", 10), *(summed(name, 12) for name in names))
    rows: list[list[Datum]] = [
        [str(month.month), *(month.by_category.get(name, Money(0)) for name in names)]
        for month in months
    ]
    return add_data_sheet(workbook, "Months", fields, rows, currency)

"""The data sheets behind a month: receipts, where they went, stock, goods in kind, invoices."""

from collections.abc import Iterator, Sequence

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from ledger.book.questions.stock import OnHand
from ledger.measures.duration import to_hours
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity
from ledger.reports.month import MonthReport
from ledger.reports.month_data import MonthData, MonthOfSpend
from ledger.reports.roll import COLUMNS, MaterialRoll, column_of
from ledger.reports.spend import Spend
from ledger.workbooks.writers.data_sheets import Field, add_data_sheet, fields_of, summed
from ledger.workbooks.writers.rows import Datum

_RECEIPTS = fields_of(
    "receipt 7; day 10; supplier 11; document 10; kind 6; paid by 7; material 8; item 12; "
    "category 8; >quantity 8; unit 6; >unit price 8; tax 5; +discount 8; +net 8; +freight 7; "
    "+tax paid 6; +recoverable 11; +use tax 6; +landed 8"
)
_WENT = fields_of(
    "receipt 10; day 12; supplier 24; item 40; category 11; goes to 11; >quantity 11; unit 8; "
    "+landed 12"
)
_MOVES = fields_of(
    "day 11; what 10; column 10; >lot 6; material 10; item 24; category 9; supplier 16; "
    ">quantity 9; unit 6; +full 10; +cash 10; +use tax 7; job 8; reason 13"
)
STOCK = fields_of(
    ">lot 7; day 12; material 11; item 40; category 11; source 10; from 20; >quantity 11; unit 8; "
    "+full 12; +cash 12"
)
IN_KIND = fields_of(
    "day 11; receipt 9; from 17; document 13; material 10; item 26; >quantity 9; unit 7; "
    "+fair value 11; how found 16; evidence 21; agreement 10"
)
_PROGRESS = fields_of(
    "job 10; title 34; state 16; +material 12; +material cash 12; +helpers 12; +owner hours 10; "
    "+owner 12; +other 12; +cost 12; +received so far 12; +cost less received 12"
)
_CLIENTS = fields_of("job 10; +received 12; +tax in it 12; +held 12")

OTHER_COSTS = fields_of("day 12; job 10; kind 14; what 40; >quantity 11; +amount 12")

_INVOICES = fields_of(
    "invoice 12; day 12; job 10; kind 16; corrects 26; +net 12; +of it taxed 12; +tax 12; "
    "+with tax 12"
)


def add_data_sheets(workbook: Workbook, report: MonthReport, data: MonthData) -> Worksheet:
    """Write the data sheets of a month; the one of spend by month is given back."""
    sheets: tuple[tuple[str, Sequence[Field], Iterator[Sequence[Datum]]], ...] = (
        ("Receipts", *without_use_tax(report.spend, _RECEIPTS, ((*row,) for row in data.lines))),
        ("Where it went", _WENT, ((*row,) for row in data.shares)),
        ("Movements", *without_use_tax(report.spend, _MOVES, _moves(data))),
        ("Roll-forward", roll_fields(), roll_rows(data.rolls)),
        ("Stock on hand", STOCK, stock_rows(data.on_hand)),
        ("In kind", IN_KIND, ((*row,) for row in data.in_kind)),
        ("Other costs of jobs", OTHER_COSTS, ((*row,) for row in report.spend.noted)),
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
    kept = [at for at, field in enumerate(fields) if not field.name.startswith("use tax")]
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
        yield (job.number, job.title, report.state_words(job.number, job.state),
               job.material, job.material_cash,
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

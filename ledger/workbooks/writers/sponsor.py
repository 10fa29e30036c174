"""A sponsor's report as a workbook: plain rows with sums, for whoever works on with them.

The writer is handed a `SponsorReport`, which has no field for what a sponsor must not see. What is
read and forwarded is the paper.
"""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from openpyxl.styles import Alignment
from openpyxl.workbook import Workbook

from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.reports.sponsor import SponsorReport
from ledger.reports.sponsor_words import KINDS, camera_words, rest_words, span_words, value_words
from ledger.sponsors.statement import Amount, StatementLine
from ledger.workbooks.paper import new_workbook, save
from ledger.workbooks.writers.rows import Datum, Rows, new_page

_COLUMNS = ("opening", "received", "used", "otherwise", "wasted", "sent_back", "closing")
_COLUMN_WORDS = {"otherwise": "counted or kept", "wasted": "damaged", "sent_back": "sent back"}


def write_sponsor(report: SponsorReport, path: Path, *, letter: bool = True) -> Path:
    """Write the sponsor's workbook."""
    workbook = new_workbook(f"Report for {report.sponsor}", report.shop, report.last)
    _about(workbook, report)
    _goods(workbook, report)
    _builds(workbook, report)
    _statement(workbook, report)
    _publications(workbook, report)
    _deliverables(workbook, report)
    _photos(workbook, report)
    return save(workbook, path, private=True, letter=letter)


def _begin(
    workbook: Workbook, report: SponsorReport, title: str, columns: Sequence[tuple[str, float]],
    figures: Sequence[int] = (), *, landscape: bool = True,
) -> Rows:  # fmt: skip
    widths = [width for _, width in columns]
    note = f"{report.sponsor}, {span_words(report.first, report.last)}"
    rows = new_page(workbook, title, widths, report.currency, title, note, landscape=landscape)
    rows.headings([name for name, _ in columns], figures)
    return rows


def _about(workbook: Workbook, report: SponsorReport) -> None:
    rows = _begin(workbook, report, "Report", (("what", 24), ("words", 60)), landscape=False)
    builds = len({one.build for one in report.used})
    pairs = [
        ("Sponsor", report.sponsor),
        ("From", report.shop),
        ("Your objective", report.objective),
        ("Published", str(len(report.published))),
        ("Promised pieces delivered", f"{report.done_number} of {report.promised_number}"),
        ("Builds with your goods", str(builds)),
        *rest_words(report),
        ("Values", value_words(report)),
    ]
    for name, words in pairs:
        if words:
            rows.add((name, words))


def _goods(workbook: Workbook, report: SponsorReport) -> None:
    """Each kind of goods in its unit and at fair value; values add up, quantities do not."""
    names = [_COLUMN_WORDS.get(name, name) for name in _COLUMNS]
    columns = (("goods", 26), ("unit", 8), ("measure", 11), *((name, 10.0) for name in names))
    rows = _begin(workbook, report, "Goods", columns, range(4, 4 + len(names)))
    for line in report.lines:
        lent = f"{line.unit}, lent" if line.loan else line.unit
        amounts = [_amount(line, name) for name in _COLUMNS]
        rows.add((line.item, lent, "number", *(amount.quantity for amount in amounts)))
        measure = f"value {report.currency.code}"
        rows.add((line.item, lent, measure, *(amount.value for amount in amounts)))
    sums = {
        column: total(_amount(line, name).value for line in report.lines)
        for column, name in enumerate(_COLUMNS, 4)
    }
    rows.sums("Total of the values", sums)


def _amount(line: StatementLine, name: str) -> Amount:
    amount: Amount = getattr(line, name)
    return amount


def _builds(workbook: Workbook, report: SponsorReport) -> None:
    columns = (("build", 38), ("goods", 32), ("unit", 8), ("number", 9),
               (f"value {report.currency.code}", 12), ("on camera", 14))  # fmt: skip
    rows = _begin(workbook, report, "Builds", columns, (4, 5))
    for one in report.used:
        amount = one.amount
        rows.add((one.build, one.item, one.unit, amount.quantity, amount.value, camera_words(one)))
    rows.sums("Total", {5: total(one.amount.value for one in report.used)})


def _statement(workbook: Workbook, report: SponsorReport) -> None:
    columns = (("day", 11), ("event", 12), ("goods", 20), ("unit", 7), ("number", 9),
               (f"value {report.currency.code}", 10), ("left", 7), ("build", 22),
               ("remark", 18))  # fmt: skip
    rows = _begin(workbook, report, "Statement", columns, (5, 6, 7))
    for line in report.lines:
        _statement_line(rows, line, "opening", report.first)
    for event in report.events:
        _add(rows,
             (event.day, event.what, event.item, event.unit, event.amount, event.balance,
              event.build, event.words))  # fmt: skip
    for line in report.lines:
        _statement_line(rows, line, "closing", report.last)


def _statement_line(rows: Rows, line: StatementLine, name: str, day: date) -> None:
    amount = _amount(line, name)
    lent = "on loan" if line.loan else ""
    _add(rows, (day, name, line.item, line.unit, amount, amount.quantity, "", lent))


def _add(
    rows: Rows,
    cells: tuple[date, str, str, str, Amount, Quantity, str, str],
) -> None:
    day, what, item, unit, amount, left, build, words = cells
    values = (day, what, item, unit, amount.quantity, amount.value, left, build, words)
    _left(rows, rows.add(values), values)


def _left(rows: Rows, row: int, values: Sequence[Datum]) -> None:
    """Days stand left, beside the text they belong to."""
    for column, value in enumerate(values, 1):
        if isinstance(value, date):
            off = 1 if column > 1 and isinstance(values[column - 2], int | Quantity | Money) else 0
            rows.sheet.cell(row, column).alignment = Alignment(
                horizontal="left", vertical="top", indent=off
            )


def _publications(workbook: Workbook, report: SponsorReport) -> None:
    columns = (("day", 11), ("kind", 11), ("title", 22), ("platform", 10), ("link", 20),
               ("builds shown", 18), ("disclosed", 11), ("how", 13))  # fmt: skip
    rows = _begin(workbook, report, "Publications", columns)
    for one in report.published:
        values = (one.day, KINDS[one.kind], one.title, one.platform, one.link,
                  ", ".join(one.builds), one.disclosed_on or "not noted", one.how)  # fmt: skip
        row = rows.add(values)
        _left(rows, row, values)
        if one.link.startswith(("https://", "http://")):
            rows.sheet.cell(row, 5).hyperlink = one.link


def _deliverables(workbook: Workbook, report: SponsorReport) -> None:
    columns = (("kind", 28), ("promised", 12), ("delivered", 12), ("late", 10), ("due", 14))
    rows = _begin(workbook, report, "Deliverables", columns, (2, 3, 4), landscape=False)
    for one in report.promised:
        values = (KINDS[one.kind], one.number, one.done, one.late, one.due)
        _left(rows, rows.add(values), values)
    late = sum(one.late for one in report.promised)
    sums = {2: report.promised_number, 3: report.done_number, 4: late}
    rows.sums("Total", sums, "0")


def _photos(workbook: Workbook, report: SponsorReport) -> None:
    if report.photos:
        rows = _begin(workbook, report, "Photos", (("file name", 60),), landscape=False)
        for name in report.photos:
            rows.add((name,))

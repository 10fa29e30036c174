"""The close-out workbook: the account of a finished job, for the shop alone.

A chart of what jobs took against the points they were foretold at.
"""

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook
from openpyxl.chart import LineChart, Reference
from openpyxl.worksheet.worksheet import Worksheet

from ledger.jobs.closeout import CloseOut
from ledger.jobs.differences import not_believed_words
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total, totals
from ledger.measures.rounding import trimmed
from ledger.measures.spoken import large
from ledger.measures.units import as_bought
from ledger.reports import closeout
from ledger.workbooks import paper
from ledger.workbooks.writers.rows import HEADING_ROW, Rows, count_format, new_page, padded

_LINES = (("C9BFAE", "solid"), ("4A3F35", "solid"), ("8C7F6D", "sysDash"))
"""Typical, safe, bad case: told apart in black and white too."""


def add_points_chart(
    sheet: Worksheet, data: Worksheet, title: str, rows: tuple[int, int], column: int, anchor: str
) -> None:
    """Draw four columns from one on: three lines of points, and a mark for what each job took.

    `rows` are the heading row and the last row; the jobs' names stand in the first column.
    """
    heading, last = rows
    chart = LineChart()
    chart.title = title
    if chart.legend:
        chart.legend.position = "b"
    chart.height, chart.width = 9, 17
    area = Reference(data, min_col=column, max_col=column + 3, min_row=heading, max_row=last)
    chart.add_data(area, titles_from_data=True)
    chart.set_categories(Reference(data, min_col=1, min_row=heading + 1, max_row=last))
    for series, (color, dash) in zip(chart.series, _LINES, strict=False):
        series.graphicalProperties.line.solidFill = color
        series.graphicalProperties.line.dashStyle = dash
        series.marker.symbol = "dash"
        series.marker.size = 9
        series.marker.graphicalProperties.solidFill = color
        series.marker.graphicalProperties.line.solidFill = color
        series.smooth = False
    took = chart.series[3]
    took.graphicalProperties.line.noFill = True
    took.marker.symbol = "diamond"
    took.marker.size = 10
    took.marker.graphicalProperties.solidFill = "A03A20"
    took.marker.graphicalProperties.line.solidFill = "A03A20"
    took.smooth = False
    chart.y_axis.title = "hours"
    chart.x_axis.delete = chart.y_axis.delete = False
    sheet.add_chart(chart, anchor)


INSIDE = "For the shop alone: not for clients or sponsors."


def write_close_out(close_out: CloseOut, path: Path, *, shop: str, letter: bool = True) -> Path:
    """Write the close-out of a job: account, hours with a chart, material, rework and record."""
    workbook = paper.new_workbook(f"Close-out {close_out.job.number}", shop, close_out.day)
    _account(workbook, close_out)
    _hours(workbook, close_out)
    _materials(workbook, close_out)
    _rework(workbook, close_out)
    _record(workbook, close_out)
    return paper.save(workbook, path, private=True, letter=letter)


def _page(
    workbook: Workbook, close_out: CloseOut, title: str, widths: tuple[float, ...],
    *, headings: bool = True, landscape: bool = False, size: int = paper.USUAL,
) -> Rows:  # fmt: skip
    head = f"{close_out.job.number} {close_out.job.title}: {title.casefold()}"
    return new_page(
        workbook, title, widths, close_out.sheet.currency, head, f"{close_out.day}. {INSIDE}",
        size=size, headings=headings, landscape=landscape,
    )  # fmt: skip


def _account(workbook: Workbook, close_out: CloseOut) -> None:
    rows = _page(workbook, close_out, "Account", (44, 18, 18))
    rows.headings(("", "Full value", "Cash"), figures=(2, 3))
    form = padded(paper.money_format(close_out.sheet.currency))
    done, after = close_out.afterwards.done, close_out.afterwards
    _lines(rows, closeout.account_lines(close_out))
    rows.sums("You earned", (after.full.amount, after.cash.amount))
    hours = to_hours(done.owner_minutes)
    rows.add(("Your hours, rework and changes included", hours, hours), ("", form, form))
    _lines(rows, closeout.hourly_lines(close_out))
    if close_out.late is not None:
        rows.add((f"Of it after closing on {close_out.late.job.day}", -close_out.late.cost))
    rows.add(("Still to be paid by the client", close_out.unpaid))
    for remark in filter(
        None, (closeout.not_certain(close_out), closeout.not_noted_words(close_out))
    ):
        rows.note(remark)
    content = closeout.content_lines(close_out)
    if content:
        rows.subtitle("Furniture and content")
        rows.headings(("", "Full value", "Cash"), figures=(2, 3))
        _lines(rows, content)
    rows.subtitle("Differences from the plan (positive: above it)")
    lines = closeout.variance_lines(close_out)
    for name, amount in lines:
        rows.add((large(name), amount))
    rows.sums(closeout.TOGETHER, {2: total(amount for _, amount in lines)})
    rows.add((closeout.OF_IT_REWORK, after.rework))


def _lines(rows: Rows, lines: Sequence[closeout.AccountLine]) -> None:
    for line in lines:
        rows.add((large(line.name), line.full, line.cash))


def _hours(workbook: Workbook, close_out: CloseOut) -> None:
    rows = _page(workbook, close_out, "Hours", (36, 14, 11, 11, 12))
    rows.headings(("Operation", "Group", "Planned", "Actual", "Difference"), figures=(3, 4, 5))
    form = padded(paper.HOURS)
    first = rows.row
    for line in close_out.hours:
        rows.add(
            (line.name, line.group.replace("_", " "), line.planned, line.actual,
             line.actual - line.planned),
            ("", "", form, form, form),
        )  # fmt: skip
    last = rows.row - 1
    planned, actual = close_out.foreseen_hours, close_out.actual_hours
    rows.sums("Total", {3: planned, 4: actual, 5: actual - planned}, form)
    done = close_out.afterwards.done
    forms = ("", "", form, form)
    if (agreed := close_out.agreed_hours) is not None:
        changed = ("As changed since", None, agreed, actual, actual - agreed)
        rows.add(changed, (*forms, form))
    rows.add(("Rework", None, None, to_hours(done.rework_minutes)), forms)
    rows.add(("Change orders", None, None, close_out.changes_hours), forms)
    if last >= first:
        picture = _page(workbook, close_out, "Chart", (84,), headings=False).sheet
        paper.add_pairs_chart(
            picture, rows.sheet, "Hours planned and actual", (HEADING_ROW, last), (3, 4), "A4"
        )


def _materials(workbook: Workbook, close_out: CloseOut) -> None:
    widths = (13, 45, 8, 10, 10, 10, 12, 12, 11, 12)
    rows = _page(workbook, close_out, "Material", widths, landscape=True, size=9)
    names = ("Code", "What", "Unit", "Planned", "Used", "Scrapped", "Plan cost", "Cost", "Dearer",
             "Used more")  # fmt: skip
    rows.headings(names, figures=range(4, 11))
    for line in close_out.materials:
        counts = [
            trimmed(as_bought(quantity, line.unit).decimal)
            for quantity in (line.planned, line.used, line.scrapped)
        ]
        rows.add(
            (line.item if line.item != line.words else "no code", line.words, line.unit, *counts,
             line.planned_cost, line.cost, line.variance.price, line.variance.usage),
            ("", "", "", *map(count_format, counts)),
        )  # fmt: skip
    freight = close_out.freight
    if freight.planned or freight.actual:
        amounts = (freight.planned, freight.actual, freight.variance)
        rows.add(("", "Freight", "", None, None, None, *amounts))
    beside = [(freight.planned, freight.actual, freight.variance, Money(0))]
    if (tax := close_out.tax).planned:
        taxes = (tax.planned, tax.actual, tax.variance)
        rows.add(("", "Tax on it", "", None, None, None, *taxes))
        beside.append((*taxes, Money(0)))
    sums = totals(close_out.materials, "planned_cost cost variance.price variance.usage")
    together = [total(amounts) for amounts in zip(sums, *beside, strict=True)]
    rows.sums("Total", dict(enumerate(together, 7)))


def _rework(workbook: Workbook, close_out: CloseOut) -> None:
    rows = _page(workbook, close_out, "Rework and lessons", (20, 14, 10, 41))
    rows.headings(("Cause", "Part", "Hours", "Prevention"), figures=(3,))
    form = padded(paper.HOURS)
    for line in close_out.rework:
        rows.add(
            (line.cause or "not said", line.part, to_hours(line.minutes), line.prevention),
            ("", "", form),
        )
    rows.sums("Total", {3: to_hours(sum(line.minutes for line in close_out.rework))}, form)
    rows.subtitle("What the next job can learn")
    for lesson in close_out.lessons:
        rows.note(lesson.words)
    for words in closeout.not_logged_words(close_out):
        rows.note(words)
    for doubtful in close_out.not_believed:
        rows.note(not_believed_words(doubtful))
    for end in close_out.open_ends:
        rows.note(f"Open end: {end}.")


def _record(workbook: Workbook, close_out: CloseOut) -> None:
    """The closed jobs beside their points, and what the record says."""
    rows = _page(workbook, close_out, "Record", (12, 30, 10, 10, 11, 10))
    rows.headings(("Job", "What", "Typical", "Safe", "Bad case", "Took"), figures=(3, 4, 5, 6))
    form = padded(paper.HOURS)
    for mark in close_out.record.marks:
        typical, safe, bad = (
            None if point is None else Decimal(point)
            for point in (mark.typical, mark.safe, mark.bad)
        )
        rows.add(
            (mark.number, mark.title, typical, safe, bad, to_hours(mark.minutes)),
            ("", "", form, form, form, form),
        )
    last = rows.row - 1
    for sentence in close_out.record.words:
        rows.note(sentence)
    if close_out.record.marks:
        title = "Hours taken, and the points"
        add_points_chart(rows.sheet, rows.sheet, title, (HEADING_ROW, last), 3, f"A{rows.row + 2}")

"""The close-out workbook: the account of a finished job, for the shop alone."""

from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook

from ledger.jobs.closeout import CloseOut
from ledger.jobs.hours_differences import not_believed_words
from ledger.measures.driving import driving
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up, trimmed
from ledger.workbooks.paper import (
    HOURS,
    add_pairs_chart,
    add_sheet,
    money_format,
    new_workbook,
    save,
)
from ledger.workbooks.points_chart import add_points_chart
from ledger.workbooks.writers.rows import HEADING_ROW, Rows, count_format, padded

INSIDE = "For the shop alone: not for clients or sponsors."


def write_close_out(close_out: CloseOut, path: Path) -> Path:
    """Write the close-out of a job: account, hours with a chart, material, rework and record."""
    workbook = new_workbook(f"Close-out {close_out.job.number}", "", close_out.day)
    _account(workbook, close_out)
    _hours(workbook, close_out)
    _materials(workbook, close_out)
    _rework(workbook, close_out)
    _record(workbook, close_out)
    return save(workbook, path, private=True)


def _page(
    workbook: Workbook, close_out: CloseOut, title: str, widths: tuple[float, ...],
    *, headings: bool = True, landscape: bool = False,
) -> Rows:  # fmt: skip
    page = add_sheet(
        workbook, title, widths, headings=HEADING_ROW if headings else 0,
        letter=close_out.sheet.units == "inch", landscape=landscape,
    )  # fmt: skip
    rows = Rows(page, widths)
    job = close_out.job
    rows.title(f"{job.number} {job.title}: {title.casefold()}", f"{close_out.day}. {INSIDE}")
    return rows


def _amount(close_out: CloseOut, amount: Money | None) -> Decimal | None:
    return None if amount is None else close_out.sheet.currency.decimal(amount)


def _account(workbook: Workbook, close_out: CloseOut) -> None:
    rows = _page(workbook, close_out, "Account", (44, 18, 18))
    rows.headings(("", "Full value", "Cash"), figures=(2, 3))
    form = padded(money_format(close_out.sheet.currency))
    done, after = close_out.afterwards.done, close_out.afterwards
    lines: list[tuple[str, Money | None, Money | None]] = [
        ("Price before tax", done.price, done.price),
        ("Change orders", done.changes, done.changes),
        ("Material from stock", -done.material, -done.material_cash),
        ("Offcuts back on the rack", done.credit, done.credit_cash),
        *([("Use tax on material", -done.use_tax, -done.use_tax)] if done.use_tax else []),
        ("Helper", -done.helper, -done.helper),
        (f"{driving(close_out.sheet.units).title}, fees and other costs", -done.other, -done.other),
    ]
    for name, full, cash in lines:
        rows.add((name, _amount(close_out, full), _amount(close_out, cash)), ("", form, form))
    rows.sums("Owner's earned", {2: _amount(close_out, after.full.amount),
                                 3: _amount(close_out, after.cash.amount)}, form)  # fmt: skip
    hours = to_hours(done.owner_minutes)
    rows.add(("Owner's hours, rework and changes included", hours, hours), ("", form, form))
    if close_out.late is not None:
        late = _amount(close_out, -close_out.late.cost)
        rows.add((f"of it after closing on {close_out.late.job.day}", late), ("", form))
    rows.add(("Still to be paid by the client", _amount(close_out, close_out.unpaid)), ("", form))
    for name, full, cash in (
        ("Earned an hour", after.full.hour, after.cash.hour),
        ("after overhead", after.full.after_overhead, after.cash.after_overhead),
        ("target", close_out.sheet.rates.pay, close_out.sheet.rates.pay),
    ):
        rows.add((name, _amount(close_out, full), _amount(close_out, cash)), ("", form, form))
    _content(rows, close_out, form)
    _variances(rows, close_out, form)


def _content(rows: Rows, close_out: CloseOut, form: str) -> None:
    done, after = close_out.afterwards.done, close_out.afterwards
    if not (done.content or done.content_minutes or after.in_kind):
        return
    rows.subtitle("Furniture and content")
    for stream, gross, fee in close_out.income:
        rows.add((f"Income: {stream}", _amount(close_out, gross - fee)), ("", form))
    for name, amount in (
        ("Content together", done.content),
        ("Content an hour", after.content_hour),
        ("In kind used", after.in_kind),
        ("Cash furniture + content", after.together),
    ):
        rows.add((name, _amount(close_out, amount)), ("", form))


def _variances(rows: Rows, close_out: CloseOut, form: str) -> None:
    rows.subtitle("Differences from the plan (positive: unfavorable)")
    materials, lost = close_out.materials, close_out.freight.lost
    above = "paid above the plan"
    if lost:
        above += f"; {close_out.sheet.currency.show(lost)} on goods sent back"
    for name, amount in (
        ("Material price variance (dearer)", total(m.variance.price for m in materials)),
        ("Material usage variance (used more)", total(m.variance.usage for m in materials)),
        (f"Freight variance ({above})", close_out.freight.variance),
        ("Owner efficiency variance at break-even", close_out.labor.total),
        ("Helper rate variance", close_out.helper.price),
        ("Helper efficiency variance", close_out.helper.usage),
        ("Overhead applied to the job", close_out.afterwards.overhead_applied),
        ("Rework at break-even, material included", close_out.afterwards.rework),
    ):
        rows.add((name, _amount(close_out, amount)), ("", form))


def _hours(workbook: Workbook, close_out: CloseOut) -> None:
    rows = _page(workbook, close_out, "Hours", (40, 14, 12, 12, 12))
    rows.headings(("Operation", "Group", "Planned", "Actual", "Difference"), figures=(3, 4, 5))
    form = padded(HOURS)
    first = rows.row
    for line in close_out.hours:
        rows.add(
            (line.name, line.group.replace("_", " "), line.planned, line.actual,
             line.actual - line.planned),
            ("", "", form, form, form),
        )  # fmt: skip
    last = rows.row - 1
    difference = close_out.actual_hours - close_out.planned_hours
    rows.sums("Sum", {3: close_out.planned_hours, 4: close_out.actual_hours, 5: difference}, form)
    done = close_out.afterwards.done
    forms = ("", "", form, form)
    rows.add(("Rework, apart", None, None, to_hours(done.rework_minutes)), forms)
    rows.add(("Change orders, apart", None, None, close_out.changes_hours), forms)
    if last >= first:
        picture = _page(workbook, close_out, "Chart", (90,), headings=False).sheet
        add_pairs_chart(
            picture, rows.sheet, "Hours planned and actual", (HEADING_ROW, last), (3, 4), "A4"
        )


def _materials(workbook: Workbook, close_out: CloseOut) -> None:
    widths = (14, 34, 9, 10, 10, 10, 13, 13, 13, 13)
    rows = _page(workbook, close_out, "Material", widths, landscape=True)
    rows.headings(
        (
            "Code",
            "What",
            "Unit",
            "Planned",
            "Used",
            "Scrapped",
            "Plan cost",
            "Cost",
            "Dearer",
            "Used more",
        ),
        figures=(4, 5, 6, 7, 8, 9, 10),
    )
    form = padded(money_format(close_out.sheet.currency))
    for line in close_out.materials:
        counts = [
            trimmed(half_up(quantity.decimal, 2))
            for quantity in (line.planned, line.used, line.scrapped)
        ]
        rows.add(
            (line.item if line.item != line.words else "no code", line.words, line.unit, *counts,
             _amount(close_out, line.planned_cost), _amount(close_out, line.cost),
             _amount(close_out, line.variance.price), _amount(close_out, line.variance.usage)),
            ("", "", "", *map(count_format, counts), form, form, form, form),
        )  # fmt: skip
    freight = close_out.freight
    if freight.planned or freight.actual:
        amounts = (freight.planned, freight.actual, freight.variance)
        rows.add(
            (
                "",
                "Freight",
                "",
                None,
                None,
                None,
                *(_amount(close_out, amount) for amount in amounts),
            ),
            ("", "", "", "", "", "", form, form, form),
        )
    columns = {
        7: total(m.planned_cost for m in close_out.materials) + freight.planned,
        8: total(m.cost for m in close_out.materials) + freight.actual,
        9: total(m.variance.price for m in close_out.materials) + freight.variance,
        10: total(m.variance.usage for m in close_out.materials),
    }
    rows.sums("Sum", {n: _amount(close_out, amount) for n, amount in columns.items()}, form)


def _rework(workbook: Workbook, close_out: CloseOut) -> None:
    rows = _page(workbook, close_out, "Rework and lessons", (22, 18, 12, 44))
    rows.headings(("Cause", "Part", "Hours", "Prevention"), figures=(3,))
    form = padded(HOURS)
    for line in close_out.rework:
        rows.add(
            (line.cause or "not said", line.part, to_hours(line.minutes), line.prevention),
            ("", "", form),
        )
    rows.subtitle("What the next estimate does differently")
    for lesson in close_out.lessons:
        rows.note(
            f"{lesson.name}: {lesson.next} h instead of {lesson.standard} h"
            f" (× {lesson.ratio}, {_jobs(lesson.jobs)} behind it)."
        )
    for left in close_out.not_logged:
        answer = left.answer or "nothing said of it"
        where = f" ({left.onto_name})" if left.onto else ""
        rows.note(f"{left.name}, {left.estimate} h without hours: {answer}{where}.")
    for doubtful in close_out.not_believed:
        rows.note(not_believed_words(doubtful))
    for end in close_out.open_ends:
        rows.note(f"Open end: {end}.")


def _record(workbook: Workbook, close_out: CloseOut) -> None:
    """The closed jobs beside their points, and what the record says."""
    rows = _page(workbook, close_out, "Record", (14, 34, 12, 12, 12, 12))
    rows.headings(("Job", "What", "Typical", "Safe", "Bad case", "Took"), figures=(3, 4, 5, 6))
    form = padded(HOURS)
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


def _jobs(count: int, what: str = "") -> str:
    return f"{count} {what}job{'' if count == 1 else 's'}"

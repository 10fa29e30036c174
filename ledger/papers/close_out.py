"""The close-out of a job on paper, for the shop alone: what it brought, and what it teaches."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from ledger.book.questions.income import Mark
from ledger.jobs.closeout import CloseOut
from ledger.jobs.differences import not_believed_words
from ledger.measures.duration import to_hours
from ledger.measures.money import Currency, total, totals
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import trimmed
from ledger.measures.spoken import large
from ledger.measures.units import as_bought
from ledger.papers.blocks import (
    INSIDE,
    Account,
    heading,
    moneys,
    notes,
    picture,
    sentences,
    table,
)
from ledger.papers.charts import PointRow, points_svg
from ledger.papers.engine import Paper
from ledger.papers.words import Words, amount, day_words, row
from ledger.quotes.offer import Maker
from ledger.reports import closeout
from ledger.reports.settled import late_words

MOST_MARKS = 20
"""So many jobs stand in the picture, the latest: more cannot be told apart on a page."""

_CHART = "points.svg"


def close_out_paper(close_out: CloseOut, maker: Maker, size: str) -> Paper:
    """The account of a job that is over, or would be if it were closed now."""
    day = day_words(close_out.day, close_out.sheet.currency, close_out.sheet.units)
    marks = close_out.record.marks[-MOST_MARKS:]
    return Account(
        kind="Close-out",
        number=close_out.job.number,
        title=close_out.job.title,
        day=close_out.day,
        maker=maker,
        currency=close_out.sheet.currency,
        foot="close-out, for the shop alone",
        above=f"{day} · {INSIDE}",
        big=_big(close_out),
        blocks=[
            *_account(close_out),
            *_lessons(close_out),
            *_differences(close_out),
            *_hours(close_out),
            *_record(close_out, marks),
            *_materials(close_out),
        ],
        drawings={_CHART: points_svg([_point(mark) for mark in marks])} if marks else {},
    ).paper(size)


def _big(close_out: CloseOut) -> list[tuple[str, str]]:
    after, currency = close_out.afterwards, close_out.sheet.currency
    hours = to_hours(after.done.owner_minutes)
    worked = (f"{hours} h", "of your time, rework and changes included")
    earned = (amount(currency, after.full.amount, sign=True), "you earned, at full value")
    if after.full.hour is None:
        return [earned, ("–", "an hour: no hours of yours are logged")]
    return [earned, (amount(currency, after.full.hour, sign=True), "an hour"), worked]


def _account(close_out: CloseOut) -> list[Words]:
    after, currency = close_out.afterwards, close_out.sheet.currency
    lines = closeout.account_lines(close_out)
    earned = row(
        "You earned", *moneys(currency, after.full.amount, after.cash.amount, sign=True),
        look="total",
    )  # fmt: skip
    unpaid = closeout.unpaid_words(close_out, partial(amount, currency, sign=True))
    remarks = [closeout.not_certain(close_out), closeout.not_noted_words(close_out), unpaid]
    remarks += [f"{late_words(currency, close_out.late)} It is in it."] if close_out.late else []
    columns = (currency.code, ">full value", ">cash")
    rows = [
        *_moneys(close_out, lines),
        earned,
        *_moneys(close_out, closeout.hourly_lines(close_out)),
    ]
    blocks: list[Words] = [table(columns, rows), *sentences(remarks)]
    content = closeout.content_lines(close_out)
    if content:
        blocks += [heading("Furniture and content"), table(columns, _moneys(close_out, content))]
    return blocks


def _moneys(close_out: CloseOut, lines: Sequence[closeout.AccountLine]) -> list[Words]:
    currency = close_out.sheet.currency
    return [row(large(line.name), *moneys(currency, line.full, line.cash)) for line in lines]


def _hours(close_out: CloseOut) -> list[Words]:
    planned, actual = close_out.foreseen_hours, close_out.actual_hours
    columns = ("Operation", ">planned", ">actual", ">difference")
    rows = [
        row(line.name, *map(_signless, (line.planned, line.actual)),
            _signed(line.actual - line.planned))
        for line in close_out.hours
    ]  # fmt: skip
    agreed = close_out.agreed_hours
    changed = [] if agreed is None else [row("As changed since", str(agreed), str(actual),
                                             _signed(actual - agreed))]  # fmt: skip
    sums = row("Total", str(planned), str(actual), _signed(actual - planned), look="sum")
    beside = [
        row(name, "–", str(hours), "")
        for name, hours in (
            ("Rework", to_hours(close_out.afterwards.done.rework_minutes)),
            ("Change orders", close_out.changes_hours),
        )
    ]
    return [heading("Hours"), table(columns, [*rows, sums, *changed, *beside])]


def _record(close_out: CloseOut, marks: Sequence[Mark]) -> list[Words]:
    """Each closed job beside its three points, as a picture and as figures."""
    words = close_out.record.words
    if not (marks or words):
        return []
    blocks: list[Words] = [heading("Hours of the closed jobs against the estimate")]
    if marks:
        left_out = len(close_out.record.marks) - len(marks)
        of_all = (
            f" The latest {len(marks)}; {left_out} older ones are left out." if left_out else ""
        )
        blocks.append(
            picture(
                _CHART,
                "Each closed job: what it took beside the typical, safe and bad case estimated",
                "Rule: from typical to bad case (19 in 20) · block: safe (8 in 10) · diamond:"
                f" what the job took.{of_all}",
            )
        )
        columns = ("|Job", "Piece", ">typical", ">safe", ">bad case", ">took")
        blocks.append(table(columns, [_mark(mark) for mark in marks]))
    return [*blocks, *sentences(words)]


def _mark(mark: Mark) -> Words:
    points = (mark.typical or "–", mark.safe, mark.bad or "–")
    return row(mark.number, mark.title, *points, str(to_hours(mark.minutes)))


def _point(mark: Mark) -> PointRow:
    return PointRow(
        mark.number,
        float(mark.typical) if mark.typical else None,
        float(mark.safe),
        float(mark.bad) if mark.bad else None,
        mark.minutes / 60,
    )


def _materials(close_out: CloseOut) -> list[Words]:
    currency, freight, lines = close_out.sheet.currency, close_out.freight, close_out.materials
    if not (lines or freight.planned or freight.actual):
        return []
    rows = [
        row(line.words, line.unit,
            *(_count(currency, one, line.unit) for one in (line.planned, line.used, line.scrapped)),
            *moneys(currency, line.planned_cost, line.cost))
        for line in lines
    ]  # fmt: skip
    if freight.planned or freight.actual:
        rows.append(row("Freight", *[""] * 4, *moneys(currency, freight.planned, freight.actual)))
    planned, cost = totals(lines, "planned_cost cost")
    planned, cost = planned + freight.planned, cost + freight.actual
    if (tax := close_out.tax).planned:
        rows.append(row("Tax on it", *[""] * 4, *moneys(currency, tax.planned, tax.actual)))
        planned, cost = planned + tax.planned, cost + tax.actual
    sums = moneys(currency, planned, cost)
    rows.append(row("Total", *[""] * 4, *sums, look="sum"))
    columns = ("What", "|unit", ">planned", ">used", ">scrapped", ">plan cost", ">cost")
    return [heading("Material"), table(columns, rows)]


def _differences(close_out: CloseOut) -> list[Words]:
    currency = close_out.sheet.currency
    lines = [(name, money) for name, money in closeout.variance_lines(close_out) if money]
    rows = [row(large(name), *moneys(currency, money)) for name, money in lines]
    if rows:
        all_of_it = total(money for _, money in lines)
        rows.append(row(closeout.TOGETHER, *moneys(currency, all_of_it), look="sum"))
    rework = close_out.afterwards.rework
    rows += [row(closeout.OF_IT_REWORK, *moneys(currency, rework))] if rework else []
    columns = ("Above the plan (− below it)", f">{currency.code}")
    return [heading("Differences from the plan"), table(columns, rows, none="As planned")]


def _lessons(close_out: CloseOut) -> list[Words]:
    sentences = [
        f"Rework, {line.cause or 'cause not said'}{f' ({line.part})' if line.part else ''}:"
        f" {to_hours(line.minutes)} h{f'; {line.prevention}' if line.prevention else ''}."
        for line in close_out.rework
    ]
    sentences += [lesson.words for lesson in close_out.lessons]
    sentences += closeout.not_logged_words(close_out)
    sentences += [not_believed_words(line) for line in close_out.not_believed]
    sentences += [f"Perhaps forgotten: {end}." for end in close_out.open_ends]
    listed = notes(sentences)
    return [heading("What the next job can learn"), *listed] if listed else []


def _count(currency: Currency, quantity: Quantity, unit: str) -> str:
    return currency.number(trimmed(as_bought(quantity, unit).decimal)) if quantity else "–"


def _signless(hours: Decimal) -> str:
    return str(hours) if hours else "–"


def _signed(hours: Decimal) -> str:
    return f"{hours:+}".replace("-", "−") if hours else "–"

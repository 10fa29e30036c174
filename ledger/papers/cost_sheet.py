"""The cost sheet on paper, for the shop alone: what a price stands on, line by line."""

from collections.abc import Sequence
from fractions import Fraction

from ledger.costing.sheet import CostLine, CostSheet
from ledger.costing.spread import PriceRange
from ledger.measures.money import Money, totals
from ledger.measures.rounding import half_up
from ledger.measures.spoken import large
from ledger.measures.units import count_shown, show_bought
from ledger.papers.blocks import (
    INSIDE,
    Account,
    heading,
    moneys,
    notes,
    pairs,
    sentences,
    table,
)
from ledger.papers.engine import Paper
from ledger.papers.words import Words, amount, day_words, row
from ledger.quotes.offer import Maker
from ledger.reports.price_words import basis_words, beside, firm_words, points_of


def cost_sheet_paper(sheet: CostSheet, spread: PriceRange, maker: Maker, size: str) -> Paper:
    """What stands behind the price of a job; nothing of it is for clients or sponsors."""
    day = day_words(sheet.as_of, sheet.currency, sheet.units)
    return Account(
        kind="Cost sheet",
        number=sheet.job,
        title=sheet.title,
        day=sheet.as_of,
        maker=maker,
        currency=sheet.currency,
        foot="cost sheet, for the shop alone",
        above=f"{day} · {sheet.design} · {INSIDE}",
        big=_big(sheet),
        blocks=[
            *_open(sheet),
            *_points(sheet, spread),
            *_build_up(sheet),
            *_materials(sheet),
            *_hours(sheet),
            *_forgotten(sheet),
            *_near(sheet),
            *_cautions(sheet),
        ],
    ).paper(size)


def _big(sheet: CostSheet) -> list[tuple[str, str]]:
    totals = sheet.totals
    built = "standard" if sheet.estimate_from == "standards" else "typical"
    hours = f"at the {built} hours" if sheet.hours else "at the guessed hours"
    return [
        (amount(sheet.currency, totals.price, sign=True), firm_words(sheet)),
        (amount(sheet.currency, totals.full_cost, sign=True), f"full cost {hours}"),
        (_percent(totals.margin), "margin of the price at that cost"),
    ]


def _percent(share: Fraction | None) -> str:
    return "–" if share is None else f"{half_up(share * 100, 1)} %".replace("-", "−")


def _open(sheet: CostSheet) -> list[Words]:
    """What the price leaves out, and what to look at."""
    left = notes([*sheet.gap_lines, *sheet.warnings])
    return [heading("To look at"), *left] if left else []


def _points(sheet: CostSheet, spread: PriceRange) -> list[Words]:
    currency = sheet.currency
    rows = []
    for words, point in points_of(sheet, spread).items():
        if point is not None:
            rows.append(
                row(large(words), f"{point.hours}", *moneys(currency, point.cost),
                    _percent(point.margin),
                    *moneys(currency, point.after_overhead, point.price))
            )  # fmt: skip
    remarks = [(large(name), words) for name, words in beside(sheet, spread).items()]
    if not rows:
        return pairs(remarks)
    columns = ("This price, if the job takes", ">hours", ">cost", ">margin", ">you earn an hour",
               ">price needed")  # fmt: skip
    return [heading("What the price means"), table(columns, rows), *pairs(remarks)]


def _build_up(sheet: CostSheet) -> list[Words]:
    currency, totals = sheet.currency, sheet.totals
    rows = [
        row(large(line.name), line.calculation, *moneys(currency, line.amount))
        for line in sheet.build_up
    ]
    rows.append(row("Total", "", *moneys(currency, totals.build_up), look="sum"))
    rows.append(row("Price", "", *moneys(currency, totals.price, sign=True), look="total"))
    columns = ("|Line", "Calculation", f">{currency.code}")
    return [heading("Build-up of the price"), table(columns, rows)]


def _materials(sheet: CostSheet) -> list[Words]:
    blocks: list[Words] = []
    for group, name in (("material", "Material"), ("hardware", "Hardware")):
        lines = [line for line in sheet.lines if line.group == group]
        if lines:
            blocks += [heading(name), _lines(sheet, lines)]
    return blocks


def _lines(sheet: CostSheet, lines: Sequence[CostLine]) -> Words:
    rows = [
        row(line.item,
            line.words if line.lot is None else f"{line.words}, lot {line.lot} from the rack",
            show_bought(line.quantity, line.unit), sheet.currency.number(line.unit_cost),
            *_three(sheet, line.full, line.full - line.cash, line.to_pay))
        for line in lines
    ]  # fmt: skip
    full, cash, to_pay = totals(lines, "full cash to_pay")
    rows.append(row("Total", "", "", "", *_three(sheet, full, full - cash, to_pay), look="sum"))
    return table(("|Code", "What", ">quantity", ">unit cost", ">cost", ">in kind", ">to buy"), rows)


def _three(sheet: CostSheet, *amounts: Money) -> list[str]:
    return moneys(sheet.currency, *(one or None for one in amounts))


def _hours(sheet: CostSheet) -> list[Words]:
    rework = sheet.range.p50 - sheet.range.work
    rows = [
        row(line.operation, line.name, f"{count_shown(line.real_count, line.unit):f} {line.unit}",
            f"{line.standard}", f"{line.history}", f"{line.past_jobs or '–'}")
        for line in sheet.hours
    ]  # fmt: skip
    if not rows:
        return []
    rows.append(row("", "Rework", "", "–", f"{rework}", "–"))
    standard = f"{sum(line.standard for line in sheet.hours)}"
    rows.append(row("Total", "", "", standard, f"{sheet.range.p50}", "", look="sum"))
    columns = ("|Code", "Operation", ">count", ">standard", ">typical", ">past jobs")
    return [heading("Hours"), table(columns, rows),
            *sentences([sheet.repeating, *basis_words(sheet.range)])]  # fmt: skip


def _forgotten(sheet: CostSheet) -> list[Words]:
    rows = [
        row(large(item.item), item.words, item.answer or "not answered yet",
            *moneys(sheet.currency, item.amount))
        for item in sheet.forgotten
    ]  # fmt: skip
    columns = ("|Line", "What it is", "Answer", f">{sheet.currency.code}")
    return [heading("Costs that get forgotten"), table(columns, rows)] if rows else []


def _near(sheet: CostSheet) -> list[Words]:
    rows = [
        row(near.number, near.title, f"{near.hours}",
            *moneys(sheet.currency, near.price, near.earned_per_hour - sheet.rates.overhead))
        for near in sheet.near
    ]  # fmt: skip
    columns = ("|Job", "Piece", ">hours", ">price", ">an hour after overhead")
    return [heading("Nearest past jobs"), table(columns, rows)] if rows else []


def _cautions(sheet: CostSheet) -> list[Words]:
    rows = [row(one.about, one.words, "yes" if one.for_client else "") for one in sheet.cautions]
    columns = ("|About", "Caution", "|on the quote")
    return [heading("Cautions"), table(columns, rows)] if rows else []

"""A commission next to a kit, on one page with one chart: for the client, or for who builds it.

The client's page holds what the client pays and nothing of what the shop spends; the builder's page
holds what somebody without a sponsor pays for the material and how long the work takes.
"""

from collections.abc import Sequence
from pathlib import Path

from openpyxl import Workbook

from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many
from ledger.quotes.kit import Way, cash_ratio
from ledger.quotes.kits import Comparison
from ledger.workbooks.paper import Look, add_bars, add_sheet, money_format, new_workbook, save
from ledger.workbooks.writers.page import (
    FIGURE,
    GRAY,
    HEAD,
    HEAD_RIGHT,
    INK,
    SMALL,
    SUM,
    SUM_NAME,
    TEXT,
    Page,
)

WIDTHS = (38, 17, 17, 17)

_TITLE = Look(bold=True, size=16, color=INK, wrap=True)


def write_kit_for_client(comparison: Comparison, shop: str, path: Path) -> Path:
    """Write the client's page: the commission beside the kit."""
    workbook, page = _begin(comparison, shop, f"{comparison.title}, or a kit?")
    _landed(page, comparison)
    rows = _ways(page, comparison, (comparison.bought, comparison.commission.way))
    ratio = half_up(cash_ratio(comparison.commission.way, comparison.bought), 2)
    difference = comparison.commission.break_even.words.removeprefix("no break-even: ")
    page.line(
        f"The commission takes {ratio} times the kit's cash: {difference}."
        f" With your own work at {_shown(comparison, comparison.wage)} an hour the kit comes to"
        f" {_shown(comparison, comparison.bought.with_labor(comparison.wage))}.",
        TEXT,
        space=8,
    )
    _about(page, comparison)
    _chart(page, "Cost of a year of expected life", rows, 4)
    return _end(workbook, page, path)


def write_kit_for_builder(comparison: Comparison, shop: str, path: Path) -> Path:
    """Write the plan buyer's page: building it oneself beside the kit."""
    workbook, page = _begin(comparison, shop, f"{comparison.title}: build it, or buy a kit?")
    _landed(page, comparison)
    rows = _ways(
        page, comparison, (comparison.bought, *(choice.way for choice in comparison.built))
    )
    for choice in comparison.built:
        page.line(f"{choice.way.name}: {choice.break_even.words}.", TEXT, space=2)
    used, packs, wage = (
        _shown(comparison, amount)
        for amount in (comparison.material, comparison.material_in_packs, comparison.wage)
    )
    page.line(
        f"Material with tax and the plan: {used} by the quantities used, {packs} in the whole packs"
        f" that are sold. Your work counts at {wage} an hour. Tools you may need to buy, and"
        " mistakes, are not in it.",
        TEXT,
        space=8,
    )
    _about(page, comparison)
    _chart(page, "Cash and your own work", rows, 3)
    return _end(workbook, page, path)


def _begin(comparison: Comparison, shop: str, title: str) -> tuple[Workbook, Page]:
    workbook = new_workbook(title, shop, comparison.day)
    sheet = add_sheet(workbook, "Kit", WIDTHS, letter=comparison.units == "inch")
    page = Page(sheet, WIDTHS)
    page.line(title, _TITLE, space=2)
    page.line(f"{shop} · {comparison.day} · amounts in {comparison.currency.code}", GRAY, space=8)
    return workbook, page


def _end(workbook: Workbook, page: Page, path: Path) -> Path:
    page.sheet.page_setup.fitToHeight = 1
    return save(workbook, path, private=True)


def _landed(page: Page, comparison: Comparison) -> None:
    """What the kit comes to, with what it needs to do the same."""
    page.span(1, 3, f"The kit, price seen on {comparison.kit.seen}", HEAD)
    page.span(4, 4, comparison.currency.code, HEAD_RIGHT)
    page.end(2)
    for line in comparison.lines:
        page.span(1, 3, line.words, TEXT)
        _amount(page, comparison, 4, line.amount)
        page.end(1)
    page.span(1, 3, "landed, doing the same", SUM_NAME)
    _amount(page, comparison, 4, total(line.amount for line in comparison.lines), SUM)
    page.end(10)


def _ways(page: Page, comparison: Comparison, ways: Sequence[Way]) -> tuple[int, int]:
    """The ways side by side; give back their first and last row."""
    page.span(1, 1, "Way", HEAD)
    for column, words in ((2, "cash"), (3, "with your own work"), (4, "a year of life")):
        page.span(column, column, words, HEAD_RIGHT)
    page.end(2)
    first = page.row
    for way in ways:
        page.span(1, 1, way.name, TEXT)
        _amount(page, comparison, 2, way.cash)
        _amount(page, comparison, 3, way.with_labor(comparison.wage))
        if way.a_year is not None:
            _amount(page, comparison, 4, way.a_year)
        page.end(1)
    last = page.row - 1
    years = [f"{way.name}: {how_many(way.years, 'year')}" for way in ways if way.years]
    page.line(f"Expected life, a guess: {'; '.join(dict.fromkeys(years))}.", SMALL, space=4)
    return first, last


def _about(page: Page, comparison: Comparison) -> None:
    """What is known of the kit, and what the difference buys: words, never money."""
    kit = comparison.kit
    page.span(1, 1, "The kit says of itself", HEAD)
    page.span(2, 4, "What the difference buys", HEAD)
    page.end(2)
    lines = [
        f"{kit.assembly.normalize():f} person-hours to assemble",
        f"warranty: {kit.warranty or 'not said'}",
        f"help with lifting: {kit.lift_help or 'not said'}",
        *([kit.note] if kit.note else []),
        *([f"source: {kit.source}"] if kit.source else []),
    ]
    page.span(1, 1, _bullets(lines), SMALL)
    page.span(2, 4, _bullets(comparison.buys), SMALL)
    page.end(8)


def _chart(page: Page, title: str, rows: tuple[int, int], column: int) -> None:
    page.gap(6)
    add_bars(page.sheet, title, rows, column, f"A{page.row}")


def _bullets(items: Sequence[str]) -> str:
    return "\n".join(f"• {item}" for item in items)


def _amount(
    page: Page, comparison: Comparison, column: int, amount: Money, look: Look = FIGURE
) -> None:
    value = comparison.currency.decimal(amount)
    page.span(column, column, value, look, money_format(comparison.currency))


def _shown(comparison: Comparison, amount: Money) -> str:
    return comparison.currency.show(amount)

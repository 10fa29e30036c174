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


def write_kit_for_client(found: Comparison, shop: str, path: Path) -> Path:
    """Write the client's page: the commission beside the kit."""
    workbook, page = _begin(found, shop, f"{found.title}, or a kit?")
    _landed(page, found)
    rows = _ways(page, found, (found.bought, found.commission.way))
    ratio = half_up(cash_ratio(found.commission.way, found.bought), 2)
    difference = found.commission.break_even.words.removeprefix("no break-even: ")
    page.line(
        f"The commission takes {ratio} times the kit's cash: {difference}."
        f" With your own work at {_shown(found, found.wage)} an hour the kit comes to"
        f" {_shown(found, found.bought.with_labor(found.wage))}.",
        TEXT,
        space=8,
    )
    _about(page, found)
    _chart(page, "Cost of a year of expected life", rows, 4)
    return _end(workbook, page, path)


def write_kit_for_builder(found: Comparison, shop: str, path: Path) -> Path:
    """Write the plan buyer's page: building it oneself beside the kit."""
    workbook, page = _begin(found, shop, f"{found.title}: build it, or buy a kit?")
    _landed(page, found)
    rows = _ways(page, found, (found.bought, *(choice.way for choice in found.built)))
    for choice in found.built:
        page.line(f"{choice.way.name}: {choice.break_even.words}.", TEXT, space=2)
    page.line(
        f"Material with tax and the plan: {_shown(found, found.material)} by the quantities used,"
        f" {_shown(found, found.material_in_packs)} in the whole packs that are sold. Your work"
        f" counts at {_shown(found, found.wage)} an hour. Tools you may need to buy, and mistakes,"
        " are not in it.",
        TEXT,
        space=8,
    )
    _about(page, found)
    _chart(page, "Cash and your own work", rows, 3)
    return _end(workbook, page, path)


def _begin(found: Comparison, shop: str, title: str) -> tuple[Workbook, Page]:
    workbook = new_workbook(title, shop, found.day)
    sheet = add_sheet(workbook, "Kit", WIDTHS, letter=found.units == "inch")
    page = Page(sheet, WIDTHS)
    page.line(title, _TITLE, space=2)
    page.line(f"{shop} · {found.day} · amounts in {found.currency.code}", GRAY, space=8)
    return workbook, page


def _end(workbook: Workbook, page: Page, path: Path) -> Path:
    page.sheet.page_setup.fitToHeight = 1
    return save(workbook, path, private=True)


def _landed(page: Page, found: Comparison) -> None:
    """What the kit comes to, with what it needs to do the same."""
    page.span(1, 3, f"The kit, price seen on {found.kit.seen}", HEAD)
    page.span(4, 4, found.currency.code, HEAD_RIGHT)
    page.end(2)
    for line in found.lines:
        page.span(1, 3, line.words, TEXT)
        _amount(page, found, 4, line.amount)
        page.end(1)
    page.span(1, 3, "landed, doing the same", SUM_NAME)
    _amount(page, found, 4, total(line.amount for line in found.lines), SUM)
    page.end(10)


def _ways(page: Page, found: Comparison, ways: Sequence[Way]) -> tuple[int, int]:
    """The ways side by side; give back their first and last row."""
    page.span(1, 1, "Way", HEAD)
    for column, words in ((2, "cash"), (3, "with your own work"), (4, "a year of life")):
        page.span(column, column, words, HEAD_RIGHT)
    page.end(2)
    first = page.row
    for way in ways:
        page.span(1, 1, way.name, TEXT)
        _amount(page, found, 2, way.cash)
        _amount(page, found, 3, way.with_labor(found.wage))
        if way.a_year is not None:
            _amount(page, found, 4, way.a_year)
        page.end(1)
    last = page.row - 1
    said = [f"{way.name}: {how_many(way.years, 'year')}" for way in ways if way.years]
    page.line(f"Expected life, a guess: {'; '.join(dict.fromkeys(said))}.", SMALL, space=4)
    return first, last


def _about(page: Page, found: Comparison) -> None:
    """What is known of the kit, and what the difference buys: words, never money."""
    kit = found.kit
    page.span(1, 1, "The kit says of itself", HEAD)
    page.span(2, 4, "What the difference buys", HEAD)
    page.end(2)
    facts = [
        f"{kit.assembly.normalize():f} person-hours to assemble",
        f"warranty: {kit.warranty or 'not said'}",
        f"help with lifting: {kit.lift_help or 'not said'}",
        *([kit.note] if kit.note else []),
        *([f"source: {kit.source}"] if kit.source else []),
    ]
    page.span(1, 1, _bullets(facts), SMALL)
    page.span(2, 4, _bullets(found.buys), SMALL)
    page.end(8)


def _chart(page: Page, title: str, rows: tuple[int, int], column: int) -> None:
    page.gap(6)
    add_bars(page.sheet, title, rows, column, f"A{page.row}")


def _bullets(items: Sequence[str]) -> str:
    return "\n".join(f"• {item}" for item in items)


def _amount(page: Page, found: Comparison, column: int, amount: Money, look: Look = FIGURE) -> None:
    value = found.currency.decimal(amount)
    page.span(column, column, value, look, money_format(found.currency))


def _shown(found: Comparison, amount: Money) -> str:
    return found.currency.show(amount)

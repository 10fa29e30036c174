"""The cost sheet: what stands behind a price, for the shop alone, each line with its basis."""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from openpyxl import Workbook

from ledger.costing.sheet import CostSheet, PastJobNear, SheetsLaid
from ledger.costing.spread import PriceRange
from ledger.labor.estimate import total_hours
from ledger.measures.driving import driving
from ledger.measures.money import Money, totals
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many
from ledger.measures.units import as_bought, count_shown
from ledger.reports.price_words import firm_words
from ledger.workbooks import paper
from ledger.workbooks.writers.rows import Datum, Rows, count_format, new_page, padded

_SIZE = 9
"""Points of the letters where eleven would not find room on a page."""

INSIDE = "For the shop alone: not for clients or sponsors."


def write_cost_sheet(
    sheet: CostSheet, spread: PriceRange, path: Path, shop: str = "", *, letter: bool = True
) -> Path:
    """Write the cost sheet workbook of a job; `spread` is the range of its price.

    A list of nothing gets no sheet.
    """
    workbook = paper.new_workbook(f"Cost sheet {sheet.job}", shop, sheet.as_of)
    _summary(workbook, sheet, spread)
    _lines(workbook, sheet, "Materials", "material", sheet.totals.material)
    _lines(workbook, sheet, "Hardware", "hardware", sheet.totals.hardware)
    if sheet.hours:
        _hours(workbook, sheet)
    _price(workbook, sheet)
    _forgotten(workbook, sheet)
    if sheet.cautions:
        _cautions(workbook, sheet)
    return paper.save(workbook, path, private=True, letter=letter)


def _rows(
    workbook: Workbook, sheet: CostSheet, title: str, widths: tuple[float, ...], note: str = "",
    *, size: int = paper.USUAL, landscape: bool = False, headings: bool = True,
) -> Rows:  # fmt: skip
    """A sheet with its title, ready for headings; `widths` are in letters of its `size`."""
    head = f"{sheet.job} {sheet.title}: {title.casefold()}"
    return new_page(
        workbook, title, widths, sheet.currency, head, note,
        size=size, headings=headings, landscape=landscape,
    )  # fmt: skip


def _summary(workbook: Workbook, sheet: CostSheet, spread: PriceRange) -> None:
    """One page: the price, what is wrong with it, what it means, and what it costs."""
    note = f"As of {sheet.as_of}, {sheet.design}, amounts in {sheet.currency.code}. {INSIDE}"
    widths = (38, 12, 12, 11, 14, 16)
    rows = _rows(workbook, sheet, "Summary", widths, note, size=_SIZE, headings=False)
    if sheet.gaps:
        rows.subtitle("Open items, which the price leaves out")
        for line in sheet.gap_lines:
            rows.note(line)
    _block(rows, "Price", _price_lines(sheet))
    for warning in sheet.warnings:
        rows.note(f"To look at: {warning}")
    _points(rows, spread)
    for heading, lines in _blocks(sheet):
        _block(rows, heading, lines)


def _block(rows: Rows, heading: str, lines: "list[SummaryLine]") -> None:
    first = rows.row
    rows.subtitle(heading)
    for name, value, form, words in lines:
        rows.add_wide((name, value, words), ("", form and padded(form)))
    rows.keep_together(first)


type SummaryLine = tuple[str, Datum, str, str]
"""Name, value, number format and words of one line of the summary."""


def _blocks(sheet: CostSheet) -> list[tuple[str, list[SummaryLine]]]:
    """The summary's blocks below its points: how far the price reaches, cost, hours, sheets."""
    blocks = [("What you earn", _earned_lines(sheet))] if sheet.prospect else []
    blocks += [("Cost", _cost_lines(sheet)), ("Hours", _hours_lines(sheet))]
    if sheet.layouts:
        blocks.append(("Sheets", [_laid(sheet, laid) for laid in sheet.layouts]))
    if sheet.near:
        blocks.append(("Nearest past jobs", [_near(sheet, near) for near in sheet.near]))
    return blocks


def _price_lines(sheet: CostSheet) -> list[SummaryLine]:
    totals = sheet.totals
    return [
        ("Firm price", totals.price, "", firm_words(sheet)),
        ("Build-up", totals.build_up, "", "sum of the lines of sheet Price"),
        ("Markup", _percent(totals.markup), paper.SHARE, f"on full cost at {_basis(sheet)}"),
        ("Margin", _percent(totals.margin), paper.SHARE, f"of the price, at {_basis(sheet)}"),
    ]


def _basis(sheet: CostSheet) -> str:
    """Which hours the cost, margin and markup are based on; the typical ones have their block."""
    return "the standard hours" if sheet.estimate_from == "standards" else "the typical hours"


def _cost_lines(sheet: CostSheet) -> list[SummaryLine]:
    totals, basis = sheet.totals, _basis(sheet)
    break_even = sheet.currency.show(sheet.rates.break_even)
    spent = f"material to buy, helpers, {driving(sheet.units).many}, fees"
    if totals.freight_paid:
        spent += f"; freight {sheet.currency.show(totals.freight_paid)} is taken as paid"
    return [
        ("Full cost", totals.full_cost, "", f"{basis} at {break_even} break-even"),
        ("Cash cost", totals.cash_cost, "", f"all that was or will be paid, at {basis}"),
        ("of that still to spend", totals.cash_to_spend, "", spent),
        ("Material and hardware", totals.material_full, "", "at full value"),
        ("of that to buy", totals.material_to_buy, "", "not in the shop yet"),
        ("owned already", totals.material_owned, "", "paid for before"),
        ("in kind", totals.material_in_kind, "", "costs no cash"),
        ("Material in the price", _percent(totals.material_share), paper.SHARE, ""),
    ]


def _hours_lines(sheet: CostSheet) -> list[SummaryLine]:
    totals = sheet.totals
    return [
        ("Hours", totals.estimate_hours, paper.HOURS, f"estimated from the {sheet.estimate_from}"),
        ("of the owner", totals.owner_hours, paper.HOURS, ""),
        ("of helpers", totals.helper_hours, paper.HOURS, ""),
    ]


def _earned_lines(sheet: CostSheet) -> list[SummaryLine]:
    """The hours that the price reaches to, and how likely such a job takes more."""
    prospect, show = sheet.prospect, sheet.currency.show
    if prospect is None:
        return []
    target, selling = show(sheet.rates.pay), show(sheet.rates.selling)
    over_target, over_paid = (
        f"{half_up(share * 100, 0)} in 100 such jobs take more"
        for share in (prospect.over_target, prospect.over_paid)
    )
    return [
        ("Your pay is met up to, hours", prospect.target_hours, paper.HOURS,
         f"{target} an hour after overhead; {over_target}"),
        ("The price pays for, hours", prospect.paid_hours, paper.HOURS,
         f"at your selling rate, {selling} an hour; {over_paid}"),
    ]  # fmt: skip


def _points(rows: Rows, spread: PriceRange) -> None:
    """The points that such jobs stay under: what the price means there, and what would pay."""
    rows.subtitle("What the price means")
    names = ("If the job takes", "hours", "full cost", "margin", "earn an hour", "price needed")
    rows.headings(names, figures=(2, 3, 4, 5, 6))
    points = {
        "the standard hours, without rework": spread.standard,
        "typical hours: half stay under": spread.p50,
        "safe hours: 8 in 10 stay under": spread.p80,
        "a bad case: 19 in 20 stay under": spread.p95,
    }
    for words, point in points.items():
        if point is not None:
            rows.add(
                (words, point.hours, point.cost, _percent(point.margin), point.after_overhead,
                 point.price),
                ("", padded(paper.HOURS), "", padded(paper.SHARE)),
            )  # fmt: skip
    rows.note(
        f"{how_many(spread.jobs, 'past job')} behind this. Rework is in the hours, overhead taken"
        " off what you earn; the price needed has no contingency."
    )


def _laid(sheet: CostSheet, laid: SheetsLaid) -> SummaryLine:
    unit = "sq ft" if sheet.units == "inch" else "m²"
    used = f"{half_up(laid.sheet_yield * 100, 0)} % used"
    words = f"{half_up(laid.net_area, 1)} {unit} net, {used}, {laid.proof}"
    return laid.material, laid.sheets, "0", words


def _near(sheet: CostSheet, near: PastJobNear) -> SummaryLine:
    hourly = sheet.currency.show(near.earned_per_hour - sheet.rates.overhead)
    words = f"{near.hours} h, {hourly} an hour after overhead"
    return f"{near.number} {near.title}", near.price, "", words


def _lines(workbook: Workbook, sheet: CostSheet, title: str, group: str, full: Money) -> None:
    members = [line for line in sheet.lines if line.group == group]
    if not members:
        return
    rows = _rows(
        workbook, sheet, title, (13, 30, 8, 9, 10, 10, 11, 11, 12, 29), size=_SIZE, landscape=True
    )
    names = ("Code", "What", "Unit", "Net", "Charged", "Unit cost", "Full", "Cash", "In the price",
             "Basis")  # fmt: skip
    rows.headings(names, figures=(4, 5, 6, 7, 8, 9))
    price = padded(paper.price_format(sheet.currency))
    for line in members:
        net = trimmed(as_bought(line.net, line.unit).decimal)
        rows.add(
            (line.item, line.words, line.unit, net, line.quantity, line.unit_cost, line.full,
             line.cash, line.price, line.basis),
            ("", "", "", count_format(net), "", price),
        )  # fmt: skip
    rows.sums("Total", dict(enumerate((full, *totals(members, "cash price")), 7)))


def _hours(workbook: Workbook, sheet: CostSheet) -> None:
    rows = _rows(
        workbook, sheet, "Hours", (11, 30, 15, 9, 9, 9, 9, 11, 7, 33), size=_SIZE, landscape=True
    )
    names = ("Code", "Operation", "Unit", "Count", "Hours", "Owner", "Helper", "By history", "Jobs",
             "Basis")  # fmt: skip
    rows.headings(names, figures=(4, 5, 6, 7, 8, 9))
    form = padded(paper.HOURS)
    for line in sheet.hours:
        count = count_shown(line.driver, line.unit)
        rows.add(
            (line.operation, line.name, line.unit, count, line.estimate, line.owner, line.helper,
             line.history, line.past_jobs, line.basis),
            ("", "", "", count_format(count), form, form, form, form, padded("0")),
        )  # fmt: skip
    totals, rework = sheet.totals, sheet.range.p50 - sheet.range.work
    priced: tuple[Decimal | None, ...] = (None, None, None)
    if sheet.estimate_from == "history":
        owner = totals.owner_hours - total_hours(line.owner for line in sheet.hours)
        priced = (rework, owner, rework - owner)
    rows.add(
        ("", "Rework", "", None, *priced, rework, None, "in the typical hours, not the standards"),
        ("", "", "", "", form, form, form, form),
    )
    history = sheet.range.p50
    sums = {5: totals.estimate_hours, 6: totals.owner_hours, 7: totals.helper_hours, 8: history}
    rows.sums("Total", sums, form)
    _groups(rows, sheet, form)


def _groups(rows: Rows, sheet: CostSheet, form: str) -> None:
    """The hours by group of operations, and a chart of them."""
    rows.subtitle("By group")
    groups: dict[str, Decimal] = {}
    for line in sheet.hours:
        name = line.group.replace("_", " ")
        groups[name] = groups.get(name, Decimal("0.00")) + line.estimate
    formats = ("", "", "", "", form)
    lines = [rows.add((name, "", "", "", hours), formats) for name, hours in groups.items()]
    if lines:
        paper.add_bars(
            rows.sheet, "Hours by group", (lines[0], lines[-1]), 5, f"G{lines[0] - 1}", width=10
        )


def _price(workbook: Workbook, sheet: CostSheet) -> None:
    rows = _rows(workbook, sheet, "Price", (26, 44, 14))
    rows.headings(("Line", "Calculation", sheet.currency.code), figures=(3,))
    money = paper.money_format(sheet.currency)
    lines = [
        rows.add((line.name, line.calculation, line.amount), ("", "", money))
        for line in sheet.build_up
    ]
    rows.sums("Total", {3: sheet.totals.build_up}, money)
    rows.sums("Price", {3: sheet.totals.price}, money)
    rows.subtitle("Rates")
    for name, amount, words in _rates(sheet):
        rows.add((name, words, amount), ("", "", money))
    if lines:
        paper.add_bars(
            rows.sheet, "Where the price goes", (lines[0], lines[-1]), 3, f"A{rows.row + 1}"
        )


def _rates(sheet: CostSheet) -> list[tuple[str, Decimal, str]]:
    rates = sheet.rates
    by_formula = f"by formula {sheet.currency.show(rates.selling_by_formula)}"
    named = (
        ("pay", rates.pay, "the owner's, an hour"),
        ("overhead", rates.overhead, "an hour"),
        ("break-even", rates.break_even, "pay and overhead"),
        ("selling", rates.selling, by_formula),
        ("helper's cost", rates.helper_cost, "payroll burden included"),
        ("helper billed", rates.helper_billed, "what the client pays for"),
    )
    lines = [(name, sheet.currency.decimal(amount), words) for name, amount, words in named]
    return [*lines, (driving(sheet.units).one, rates.mile, "driven")] if rates.mile else lines


def _forgotten(workbook: Workbook, sheet: CostSheet) -> None:
    rows = _rows(workbook, sheet, "Forgotten costs", (14, 36, 21, 13))
    rows.headings(("Line", "What it is", "Answer", sheet.currency.code), figures=(4,))
    money = paper.money_format(sheet.currency)
    for item in sheet.forgotten:
        answer = "not answered yet" if item.is_open else item.answer
        rows.add((item.item, item.words, answer, item.amount), ("", "", "", money))


def _cautions(workbook: Workbook, sheet: CostSheet) -> None:
    rows = _rows(workbook, sheet, "Cautions", (19, 53, 12))
    rows.headings(("About", "Caution", "On the quote"))
    for caution in sheet.cautions:
        rows.add((caution.about, caution.words, "yes" if caution.for_client else ""))


def _percent(share: Fraction | None) -> Decimal | None:
    return None if share is None else half_up(share * 100, 1)

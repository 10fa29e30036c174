"""What a job costs beside material and hours: miles, the work of others, answers, tax as a user."""

import re
from collections.abc import Sequence
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.stock import JobUse
from ledger.book.tables.answers import JobCost
from ledger.book.tables.ground import Job
from ledger.book.tables.stock import Lot
from ledger.costing.buildup import PriceRules
from ledger.costing.forgotten import IMPROVEMENT_TAX, forgettable
from ledger.costing.sheet import CostLine, OtherCost
from ledger.jobs.answers import (
    DRIVEN,
    FEE,
    FREIGHT,
    answers_of,
    bills_of_others,
    costs_of,
    is_bill_of_others,
)
from ledger.jobs.assembling import Assembled
from ledger.jobs.lines import OUTSIDE, lines_of
from ledger.measures.driving import driving
from ledger.measures.money import Currency, Money, sales_tax, total
from ledger.measures.quantity import show_quantity
from ledger.measures.share import show_share
from ledger.stock.use_tax import UNTAXED, improvement_of, use_tax_rate

REWORK = "rework"
"""The line of the list that hours and material of rework answer."""

OTHER = "other"
"""The kind of a cost that only its words tell, and those words where none were typed."""

PRICE_RISE = "price rise"
"""The line of the list that the prices of what was bought answer."""

SALES_TAX, TAX = "sales tax", "tax"
"""The line of the list that the tax on what was bought answers, and the kind of such a cost."""

CONSUMABLES = "consumables"
"""The line of the list that goods like glue, tape and discs answer where none was planned."""

KIND_OF_LINE = {"card fee": FEE, SALES_TAX: TAX}
"""The kind of cost that a line of the list is, beside the lines that are another cost."""


def other_costs(book: Book, job: Job, rules: PriceRules) -> tuple[OtherCost, ...]:
    """Planned miles and outside work, and answered costs that are more than 0."""
    lines = []
    for row in costs_of(book, job, "planned"):
        if row.kind == FREIGHT:
            continue  # freight is of the purchases, and is planned with them
        markup = rules.markup_outside if row.kind == OUTSIDE else Fraction(0)
        price = row.amount.times(1 + markup)
        calculation = f"{show_quantity(row.quantity)} × {row.unit_amount}"
        if markup:
            calculation += f", markup {show_share(markup)}"
        lines.append(OtherCost(row.kind, row.words, calculation, row.amount, price))
    for line in lines_of(book, job, OUTSIDE):
        markup = rules.markup_outside if line.markup is None else line.markup
        calculation = f"{book.currency.show(line.amount)}, markup {show_share(markup)}"
        price = line.amount.times(1 + markup)
        lines.append(OtherCost(OUTSIDE, line.name, calculation, line.amount, price))
    lines += [
        OtherCost("answered", item, words or "as answered", amount, amount)
        for item, (amount, words) in answers_of(book, job).items()
        if amount and item != FREIGHT
    ]
    return tuple(lines)


def improvement_tax(
    book: Book, job: Job, made: Assembled, lines: Sequence[CostLine]
) -> tuple[OtherCost, ...]:
    """The tax that the maker pays on the material of an improvement, rounded for each line.

    Goods in kind cost no cash and bear none; nor does what costs the shop its tax in any job. A
    piece of the rack bears it where it came untaxed.
    """
    rate = use_tax_rate(book)
    if improvement_of(book, job.key) is None or not rate:
        return ()
    bearing = [line.cash for line in lines if _bears_tax(book, made, line)]
    amount = total(sales_tax(cash, rate, book.currency) for cash in bearing)
    words = f"{show_share(rate)} of {book.currency.show(total(bearing))}, by line"
    return (OtherCost(TAX, IMPROVEMENT_TAX, words, amount, amount),)


def _bears_tax(book: Book, made: Assembled, line: CostLine) -> bool:
    if line.lot is not None:
        lot = book.row(Lot, line.lot)
        return lot is not None and lot.tax_kind in UNTAXED
    price = made.prices.get(line.item)
    return price is not None and price.is_untaxed


def costs_not_noted(
    others: Sequence[OtherCost],
    units: str,
    currency: Currency,
    actual: Sequence[JobCost],
    used: Sequence[JobUse],
    *,
    is_reworked: bool = False,
) -> tuple[tuple[str, Money], ...]:
    """Planned costs of which none of their kind was noted; an answered one is named in its words.

    Another cost stands for an answered or another planned one that it is called by; without words
    of its own for one other that was planned, and one planned without words is met by any.
    Of the work of others, each a bill of its own, what is planned beyond what is noted counts too,
    as long as fewer bills were noted than planned. The tax on an improvement is left out: it is
    worked out from what was used. The bills of others that are among the goods `used` are noted,
    and a price rise and answered tax where there is material among them, for both are in what that
    cost. Rework is noted where hours or material of it are: `is_reworked`.
    """
    bills = bills_of_others(used)
    listed = {line.item for line in forgettable(units)}
    kinds = {*map(kind_of, actual), *([OUTSIDE] if bills else [])} - {OTHER}
    free = [row for row in actual if row.kind == OTHER and line_named(row) not in listed]
    wordless = sum(row.words.casefold() == OTHER for row in free)
    is_supplied = any(use.quantity and not is_bill_of_others(use) for use in used)
    met = {
        REWORK: is_reworked, PRICE_RISE: is_supplied, SALES_TAX: is_supplied,
        driving(units).many: DRIVEN in kinds, OTHER: bool(free),
    }  # fmt: skip
    planned: dict[str, Money] = {}
    for line in others:
        is_own = line.kind in {"answered", OTHER}
        name = line.words if is_own else line.kind
        is_noted = kind_of(line) in kinds
        if is_own and not is_noted:
            is_noted = met.get(name, False) or any(_is_called(row, name) for row in actual)
        if line.kind == OTHER and not is_noted and wordless:
            is_noted, wordless = True, wordless - 1
        if line.cost and line.kind != TAX and not is_noted:
            named = driving(units).many if name == DRIVEN else name
            planned[named] = planned.get(named, Money(0)) + line.cost
    bought = [line for line in others if line.kind == OUTSIDE and line.cost]
    came = [*bills, *(row.amount for row in actual if row.kind == OUTSIDE)]
    missing = total(line.cost for line in bought) - total(came)
    if 0 < len(came) < len(bought) and missing > Money(0):
        shown = currency.show(total(came))
        planned[f"{OUTSIDE} beyond the {shown} noted"] = missing
    return tuple(planned.items())


def _is_called(row: JobCost | OtherCost, name: str) -> bool:
    """Whether the words of a cost have a name among them, as whole words."""
    return bool(re.search(rf"(?<!\w){re.escape(name)}(?!\w)", row.words, re.IGNORECASE))


def kind_of(cost: JobCost | OtherCost) -> str:
    """The kind of a cost; an answer or another cost called by a line of the list has its kind."""
    is_named = cost.kind in {"answered", OTHER}
    return (is_named and kind_named(cost.words)) or cost.kind


def is_consumables(cost: JobCost | OtherCost) -> bool:
    """Whether it is an answer or another cost that is called consumables."""
    return cost.kind in {"answered", OTHER} and _is_called(cost, CONSUMABLES)


def kind_named(words: str) -> str:
    """The kind of cost that words name a line of the list of; nothing where it is another cost."""
    return KIND_OF_LINE.get(words.partition(",")[0].casefold(), "")


def line_named(row: JobCost) -> str:
    """The line of the list that another cost is called by, what was noted of it left out."""
    return row.words.partition(",")[0].casefold()

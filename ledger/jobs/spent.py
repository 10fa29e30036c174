"""What was spent on a job that is canceled, line by line: asked for, or left with the shop."""

from collections.abc import Iterable

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.stock import JobUse
from ledger.book.tables.ground import Job
from ledger.jobs.answers import (
    FEES,
    FREIGHT,
    OUTSIDE_WORK,
    costs_of,
    is_bill_of_others,
    kind_names,
)
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total

ZERO = Money(0)
BORNE = "which the shop bears"


class KeptLine(Struct, frozen=True):
    """One line of what is kept: what for, how it was worked out, how much."""

    name: str
    calculation: str
    amount: Money


def costs_as_they_came(book: Book, job: Job, used: Iterable[JobUse]) -> list[KeptLine]:
    """What came beside material and hours, and that fees of payments are not passed on."""
    names = kind_names(book.units) | {FREIGHT: FREIGHT}
    spent = {OUTSIDE_WORK: total(use.full for use in used if is_bill_of_others(use))}
    for row in costs_of(book, job, "actual"):
        name = names.get(row.kind, "other costs")
        spent[name] = spent.get(name, ZERO) + row.amount
    fees = spent.pop(FEES, ZERO)
    lines = [KeptLine(name, "as it came", amount) for name, amount in spent.items() if amount]
    if fees:
        lines.append(KeptLine(FEES, f"{book.currency.show(fees)}, {BORNE}", ZERO))
    return lines


def left_with_the_shop(
    book: Book, costs: Iterable[KeptLine], minutes: int, material: Money, use_tax: Money
) -> list[KeptLine]:
    """What is not asked for at an early stage, each with its figure; nothing of it is kept."""
    show = book.currency.show
    goods = {"material": material, "use tax": use_tax}
    spent = {name: f"{show(sum_)}, which stays the shop's" for name, sum_ in goods.items() if sum_}
    if minutes:
        spent["hours"] = f"{to_hours(minutes)} h, not asked for"
    for line in costs:
        spent[line.name] = f"{show(line.amount)}, {BORNE}" if line.amount else line.calculation
    return [KeptLine(name, words, ZERO) for name, words in spent.items()]

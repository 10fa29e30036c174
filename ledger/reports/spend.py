"""What material cost in a time: net, paid and landed, told apart in three ways that agree.

Net is what the documents say before tax; paid is net and the tax paid to suppliers; landed is what
the goods cost the shop in the end: paid and the use tax it owes, less the tax it gets back.
"""

from dataclasses import dataclass
from datetime import date

from ledger.book import Book
from ledger.book.questions import month as asked
from ledger.measures.day import Month
from ledger.measures.fields import made_of
from ledger.measures.money import Money
from ledger.stock.prices import has_use_tax


@dataclass(frozen=True, slots=True)
class SpendPart:
    """A part of the landed cost under a name."""

    name: str
    landed: Money


@dataclass(frozen=True, slots=True)
class Spend:
    """The spend of some days; its three ways of telling it apart each come to `landed`.

    `has_use_tax` says whether the shop can owe use tax, or owed some in these days.
    """

    net: Money
    tax_paid: Money
    paid: Money
    recoverable: Money
    use_tax: Money
    has_use_tax: bool
    landed: Money
    in_kind: Money
    by_supplier: tuple[SpendPart, ...]
    by_category: tuple[SpendPart, ...]
    by_job: tuple[SpendPart, ...]
    in_kind_from: tuple[SpendPart, ...]


def month_spend(book: Book, month: Month) -> Spend:
    """What material cost in a month."""
    return spend_between(book, month.first, month.last)


def spend_between(book: Book, first: date, last: date) -> Spend:
    """What material cost from one day to another, both included."""
    sums = asked.spend_sums(book, first, last)
    on_use = asked.tax_on_use(book, first, last)
    return made_of(
        Spend,
        sums,
        paid=sums.net + sums.tax_paid,
        use_tax=sums.use_tax + on_use,
        has_use_tax=bool(sums.use_tax or on_use) or has_use_tax(book),
        landed=sums.landed + on_use,
        by_supplier=_parts(asked.landed_by_supplier(book, first, last)),
        by_category=_parts(asked.landed_by_category(book, first, last)),
        by_job=_parts(asked.landed_by_job(book, first, last)),
        in_kind_from=_parts(asked.in_kind_by_giver(book, first, last)),
    )


def _parts(rows: list[asked.Named]) -> tuple[SpendPart, ...]:
    return tuple(SpendPart(row.name, row.amount) for row in rows)

"""What material cost in a time: net, paid and landed, told apart in three ways that agree.

Net is what the documents say before tax; paid is net and the tax paid to suppliers; landed is what
the goods cost the shop in the end: paid and the use tax it owes, less the tax it gets back.
"""

from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions import month
from ledger.book.questions.month import Named
from ledger.measures.fields import made_of
from ledger.measures.money import Money
from ledger.stock.prices import has_use_tax


class Spend(Struct, frozen=True):
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
    by_supplier: tuple[Named, ...]
    by_category: tuple[Named, ...]
    by_job: tuple[Named, ...]
    in_kind_from: tuple[Named, ...]


def spend_between(book: Book, first: date, last: date) -> Spend:
    """What material cost from one day to another, both included."""
    sums = month.spend_sums(book, first, last)
    on_use = month.tax_on_use(book, first, last)
    return made_of(
        Spend,
        sums,
        paid=sums.net + sums.tax_paid,
        use_tax=sums.use_tax + on_use,
        has_use_tax=bool(sums.use_tax or on_use) or has_use_tax(book),
        landed=sums.landed + on_use,
        by_supplier=tuple(month.landed_by_supplier(book, first, last)),
        by_category=tuple(month.landed_by_category(book, first, last)),
        by_job=tuple(month.landed_by_job(book, first, last)),
        in_kind_from=tuple(month.in_kind_by_giver(book, first, last)),
    )

"""The owner and the helpers: who worked, and what an hour of a helper costs."""

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.income import hired
from ledger.book.tables.ground import Job
from ledger.errors import BadValue
from ledger.measures.money import Money, total

OWNER = "owner"
HELPER = "helper"
"""The shop's usual helper; the settings `helper_cost` and `helper_billed` are this one's."""


class HelperRates(Struct, frozen=True):
    """What an hour of somebody costs the shop, and what the client is billed for it."""

    name: str
    cost: Money
    billed: Money


def helpers(book: Book) -> dict[str, HelperRates]:
    """The helpers who have rates of their own, and the usual one."""
    from ledger.book.tables.labor import Helper  # most commands ask for no rates

    usual = HelperRates(HELPER, book.settings.helper_cost, book.settings.helper_billed)
    rates = {HELPER: usual}
    for row in book.rows(Helper):
        rates[row.name] = HelperRates(row.name, row.cost, row.billed)
    return rates


def hired_named(book: Book, text: str) -> HelperRates:
    """The rates of a helper who may have some: anybody but the owner.

    Raises:
        BadValue: the name is empty, or the owner's.
    """
    known = helper_named(book, text)
    if known.name.casefold() == OWNER:
        raise BadValue("The owner is no helper: benchledger shop set pay_year=AMOUNT")
    return known


def helper_named(book: Book, text: str) -> HelperRates:
    """The rates of a helper; somebody without rates of their own has the usual helper's.

    Raises:
        BadValue: nothing is written there.
    """
    name = text.strip()
    if not name:
        raise BadValue("Say who helped, for example: --with helper")
    known = helpers(book)
    for helper in known.values():
        if helper.name.casefold() == name.casefold():
            return helper
    usual = known[HELPER]
    return HelperRates(name, usual.cost, usual.billed)


def unpaid_note(names: Sequence[str]) -> str:
    """What to say of helpers whose hour costs nothing; empty where there are none."""
    if not names:
        return ""
    return (
        f"An hour of {' and '.join(names)} costs 0.00 here, so nothing is charged"
        " for it. Say what it costs and is billed at: benchledger shop set helper_cost=AMOUNT"
        " helper_billed=AMOUNT"
    )


def set_helper(book: Book, name: str, cost: Money, billed: Money) -> None:
    """Post a helper's rates; hours that were entered before keep the ones of their day.

    Raises:
        BadValue: the name is empty, or the owner's.
    """
    from ledger.book.tables.labor import Helper

    known = hired_named(book, name)
    with book.entry("hours helper", f"{known.name} {cost.minor} {billed.minor}"):
        book.post(Helper(name=known.name, cost=cost, billed=billed))


def person_named(book: Book, text: str) -> str:
    """The name under which somebody's hours stand."""
    return OWNER if text.strip().casefold() == OWNER else helper_named(book, text).name


def helper_cost(book: Book, job: Job) -> Money:
    """What the helpers' hours on a job cost, each at the rate of its day, rounded once a rate."""
    return total(Money(row.rate).times(Fraction(row.minutes, 60)) for row in hired(book, job.key))

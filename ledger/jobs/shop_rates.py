"""The shop's rates an hour, as its settings are today."""

from decimal import Decimal

from ledger.book import Book
from ledger.costing.rates import Rates, Year, hourly
from ledger.errors import NotAllowed
from ledger.measures.driving import driving
from ledger.measures.money import Money


def rates_of(book: Book) -> Rates:
    """The shop's rates as its settings make them.

    Raises:
        NotAllowed: the yearly figures are not set yet.
    """
    overhead, pay = book.settings.overhead_year, book.settings.pay_year
    if overhead is None or pay is None:
        raise NotAllowed(
            "The shop's yearly figures are missing:"
            " benchledger shop set overhead_year=22000 pay_year=56000 (your own figures)"
        )
    year = Year(
        overhead=overhead,
        pay=pay,
        hours=book.settings.hours_year,
        billable=book.settings.billable,
        profit=book.settings.profit,
    )
    return hourly(
        year,
        selling=book.settings.selling_rate,
        helper_cost=book.settings.helper_cost,
        helper_billed=book.settings.helper_billed,
        mile=book.setting(driving(book.units).rate) or Decimal(0),
    )


def break_even(book: Book) -> Money:
    """The break-even rate; nothing while the shop's yearly figures are not set."""
    if book.settings.overhead_year is None or book.settings.pay_year is None:
        return Money(0)
    return rates_of(book).break_even

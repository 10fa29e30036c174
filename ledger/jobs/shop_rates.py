"""The shop's rates and its rules of pricing, as its settings make them today."""

from decimal import Decimal

from ledger.book import Book
from ledger.costing.buildup import COVERED, PriceRules
from ledger.costing.rates import Rates, Year, hourly
from ledger.errors import BadValue, NotAllowed
from ledger.measures.driving import driving
from ledger.measures.money import Money
from ledger.measures.share import parse_share
from ledger.stock.materials import KINDS


def rates_of(book: Book) -> Rates:
    """The shop's rates as its settings make them.

    Raises:
        NotAllowed: the yearly figures are not set yet.
    """
    overhead, pay = book.setting("overhead_year"), book.setting("pay_year")
    if overhead is None or pay is None:
        raise NotAllowed(
            "The shop's yearly figures are missing:"
            " benchledger shop set overhead_year=22000 pay_year=56000 (your own figures)"
        )
    year = Year(
        overhead=overhead,
        pay=pay,
        hours=book.setting("hours_year"),
        billable=book.setting("billable"),
        profit=book.setting("profit"),
    )
    return hourly(
        year,
        selling=book.setting("selling_rate"),
        helper_cost=book.setting("helper_cost"),
        helper_billed=book.setting("helper_billed"),
        mile=book.setting(driving(book.units).rate) or Decimal(0),
    )


def break_even(book: Book) -> Money:
    """The break-even rate; nothing while the shop's yearly figures are not set."""
    if book.setting("overhead_year") is None or book.setting("pay_year") is None:
        return Money(0)
    return rates_of(book).break_even


def rules_of(book: Book) -> PriceRules:
    """How the shop makes a price, from its settings.

    Raises:
        BadValue: the contingency is neither a share nor a point of the range.
    """
    said = book.setting("contingency")
    point = {words: name for name, words in COVERED.items()}.get(said)
    try:
        contingency = point or parse_share(said)
    except BadValue as wrong:
        raise BadValue(f"contingency: write a share such as 6 %, or 8 in 10. {wrong}") from wrong
    return PriceRules(
        markups={kind: book.setting(f"markup_{kind}") for kind in KINDS},
        markup_outside=book.setting("markup_outside"),
        contingency=contingency,
        step=book.setting("price_step"),
        minimum=book.setting("minimum_charge"),
        freight=book.setting("freight"),
        card_fee=book.setting("card_fee"),
        card_fee_fixed=book.setting("card_fee_fixed"),
        card_share=book.setting("card_share"),
    )

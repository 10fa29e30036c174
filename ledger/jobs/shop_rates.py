"""The shop's rates, its rules of pricing and its wood, as settings and price list are today.

The shop's tools as its settings have them, for the cutting room.
"""

from decimal import Decimal

from ledger.book import Book
from ledger.costing.buildup import COVERED, PriceRules
from ledger.costing.rates import Rates, Year, hourly
from ledger.costing.woods import shop_wood
from ledger.cutting.tools import Tools
from ledger.designs.wood import ShopWood
from ledger.errors import BadValue, NotAllowed
from ledger.measures.driving import driving
from ledger.measures.money import Money
from ledger.measures.share import parse_share
from ledger.stock.materials import KINDS, materials


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


def rules_of(book: Book) -> PriceRules:
    """How the shop makes a price, from its settings.

    Raises:
        BadValue: the contingency is neither a share nor a point of the range.
    """
    cover = book.settings.contingency
    point = {words: name for name, words in COVERED.items()}.get(cover)
    try:
        contingency = point or parse_share(cover)
    except BadValue as wrong:
        raise BadValue(f"contingency: write a share such as 6 %, or 8 in 10. {wrong}") from wrong
    return PriceRules(
        markups={kind: book.setting(f"markup_{kind}") for kind in KINDS},
        markup_outside=book.settings.markup_outside,
        contingency=contingency,
        step=book.settings.price_step,
        minimum=book.settings.minimum_charge,
        freight=book.settings.freight,
        card_fee=book.settings.card_fee,
        card_fee_fixed=book.settings.card_fee_fixed,
        card_share=book.settings.card_share,
    )


def wood_of(book: Book) -> ShopWood:
    """The shop's boards, kerf and usual joint: what the counts of a design rest on."""
    joint = book.settings.default_joint.replace("_", " ")
    return shop_wood(materials(book), book.settings.kerf, joint)


def shop_tools(book: Book) -> Tools:
    """Read what the shop's tools can do from its settings."""
    shop = book.settings
    return Tools(
        rip_capacity=shop.rip_capacity.nm,
        fence_edge=shop.fence_edge.nm,
        fence_ratio=shop.fence_ratio,
        fence_least=shop.fence_least.nm,
        push_below=shop.push_below.nm,
        crosscut_capacity=shop.crosscut_capacity.nm,
        miter_hold=shop.miter_hold.nm,
        clamp_hold=shop.clamp_hold.nm,
        rail_cut=shop.rail_cut.nm,
        rail_support=shop.rail_support.nm,
        carry_alone=shop.carry_alone,
        sled_capacity=shop.sled_capacity.nm,
    )

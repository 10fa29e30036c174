"""The shop's rates, its rules of pricing and its wood, as settings and price list are today.

The shop's tools as its settings have them, for the cutting room.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.costing.buildup import COVERED, PriceRules
from ledger.costing.rates import Rates, Year, hourly
from ledger.costing.sheet import SheetHours
from ledger.costing.woods import shop_wood
from ledger.cutting.tools import Tools
from ledger.designs.wood import ShopWood
from ledger.errors import BadValue, NotAllowed
from ledger.measures.driving import driving
from ledger.measures.money import Money
from ledger.measures.rounding import half_up
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


def unpaid_helper(book: Book, rates: Rates, lines: Sequence[SheetHours]) -> tuple[str, ...]:
    """Say that a helper's hours are the owner's here, or stand at nothing: in cost or in price."""
    from ledger.labor.estimate import total_hours  # the rates alone take no operations
    from ledger.labor.standards import has_helper, standards

    if not has_helper(book):
        known = standards(book)
        shares = ((line, known[line.operation].helper_share) for line in lines)
        usual = total_hours(half_up(Fraction(line.estimate) * part, 2) for line, part in shares)
        return (
            f"No helper's rate is set, so {usual} h that a helper usually takes are priced as your"
            " own; with a helper: benchledger shop set helper_cost=AMOUNT helper_billed=AMOUNT",
        ) if usual else ()  # fmt: skip
    hours = total_hours(line.helper for line in lines)
    free = [
        f"{words} {book.currency.show(rate)}"
        for words, rate in (("cost", rates.helper_cost), ("are billed at", rates.helper_billed))
        if not rate
    ]
    if not hours or not free:
        return ()
    return (
        f"{hours} h of a helper {' and '.join(free)} an hour here; say what they come to:"
        " benchledger shop set helper_cost=AMOUNT helper_billed=AMOUNT",
    )

"""How the shop makes a price of its costs, and what a helper's hours lack for one."""

from collections.abc import Sequence
from fractions import Fraction

from ledger.book import Book
from ledger.costing.buildup import COVERED, PriceRules
from ledger.costing.rates import Rates
from ledger.costing.sheet import CostSheet, Prospect, SheetHours
from ledger.costing.spread import cost_without_hours, price_range
from ledger.errors import BadValue
from ledger.labor.estimate import total_hours
from ledger.labor.standards import has_helper, standards
from ledger.measures.fields import made_of
from ledger.measures.money import Money
from ledger.measures.rounding import half_up
from ledger.measures.share import parse_share
from ledger.stock.materials import KINDS


def rules_of(book: Book, tax_rate: Fraction) -> PriceRules:
    """How the shop makes a price, from its settings; `tax_rate` is that of the tax on it.

    Raises:
        BadValue: the contingency is neither a share nor a point of the range.
    """
    cover = book.settings.contingency
    point = {words: name for name, words in COVERED.items()}.get(cover)
    try:
        contingency = point or parse_share(cover)
    except BadValue as wrong:
        raise BadValue(f"contingency: write a share such as 6 %, or 8 in 10. {wrong}") from wrong
    return made_of(
        PriceRules,
        book.settings,
        markups={kind: book.setting(f"markup_{kind}") for kind in KINDS},
        contingency=contingency,
        step=book.settings.price_step,
        minimum=book.settings.minimum_charge,
        card_tax=tax_rate,
    )


def unpaid_helper(book: Book, rates: Rates, lines: Sequence[SheetHours]) -> tuple[str, ...]:
    """Say that a helper's hours are the owner's here, or stand at nothing: in cost or in price."""
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


def short_price(
    sheet: CostSheet, rules: PriceRules, prospect: Prospect | None, price: Money
) -> tuple[str, ...]:
    """A warning where a price does not pay for material, for the typical cost or typical hours."""
    show, material = sheet.currency.show, cost_without_hours(sheet.totals, sheet.rates)
    if price < material:
        return (
            f"This price does not pay for material and other costs, {show(material)}; nothing of it"
            " is left for any hour.",
        )
    typical = price_range(sheet, rules).p50
    if prospect is None or price >= typical.price:
        return ()
    below = "the typical one"
    if price < typical.cost:
        below += f" and below your cost at the typical hours, {show(typical.cost)}"
    chance = half_up(prospect.over_paid * 100, 0)
    return (
        f"This price is below {below}: {chance} of 100 such jobs take more than the"
        f" {prospect.paid_hours} h that it pays for at the selling rate.",
    )

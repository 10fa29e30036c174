"""A price that was agreed in one sum: it stands in place of the one that is worked out."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.counts import JobTotal
from ledger.costing.buildup import Priced, earned_an_hour, shared
from ledger.costing.markup import margin_between, markup_between
from ledger.costing.rates import Rates
from ledger.costing.sheet import BuildUpLine
from ledger.labor.hours_range import HoursRange
from ledger.measures.duration import to_hours
from ledger.measures.money import Money


def guessed_range(agreed: JobTotal) -> HoursRange:
    """The hours that were guessed for a job by total, as all that is known of them."""
    hours = to_hours(agreed.minutes)
    return HoursRange(hours, hours, hours, jobs=0, work=hours)


def at_agreed_price(priced: Priced, price: Money, spread: HoursRange, rates: Rates) -> Priced:
    """What was priced, sold at the price that was agreed; the costs stay as they are."""
    totals = priced.totals
    hours = rates.break_even.times(totals.owner_hours)
    fixed = totals.full_cost - hours - rates.helper_cost.times(totals.helper_hours)
    owner, helper = shared(spread, spread.p50)
    earned = earned_an_hour(price, fixed, owner, helper, rates) if owner > Decimal(0) else None
    material = totals.material_full
    return replace(
        priced,
        build_up=(*priced.build_up, BuildUpLine("agreed", "agreed less what is worked out", price
                                                - totals.build_up)),
        totals=replace(
            totals,
            build_up=price,
            price=price,
            earned_per_hour=earned,
            earned_after_overhead=None if earned is None else earned - rates.overhead,
            material_share=Fraction(material.minor, price.minor),
            markup=markup_between(totals.full_cost, price),
            margin=margin_between(totals.full_cost, price),
        ),
    )  # fmt: skip

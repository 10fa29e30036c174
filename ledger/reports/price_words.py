"""What stands below a price, in words, each figure with the hours it is of.

A price built on the standards has two bases, the standard hours it is made of and the typical ones
that such a job takes; a price built on the typical hours has one, and it is said once.
"""

from fractions import Fraction

from ledger.costing.markup import markup_between
from ledger.costing.sheet import CostSheet
from ledger.costing.spread import PriceRange, cash_at
from ledger.measures.rounding import half_up

ADD_UP = "The safe hours do not add up: not everything goes wrong on one job."
"""Why the groups' safe hours, each told alone, are more than those of the whole job."""


def beside(sheet: CostSheet, spread: PriceRange) -> dict[str, str]:
    """The facts below the points of a price, by name, in the order they are shown."""
    totals, show = sheet.totals, sheet.currency.show
    spent = (show(totals.cash_to_spend), show(cash_at(sheet, spread.p50.hours)))
    owned = f"; owned {show(totals.material_owned)}" if totals.material_owned else ""
    found = {"to spend": _at_both(sheet, *spent) + owned}
    typical = markup_between(spread.p50.cost, totals.price)
    if totals.markup is not None and typical is not None:
        found["markup on cost"] = _at_both(sheet, _percent(totals.markup), _percent(typical))
    if totals.material_share is not None:
        found["material"] = f"{half_up(totals.material_share * 100, 0)} % of the price"
    return {**found, **_reach(sheet)}


def _at_both(sheet: CostSheet, standard: str, typical: str) -> str:
    """A figure at the hours the price is made of and at the typical ones, where these differ."""
    if sheet.estimate_from != "standards":
        return f"{typical} at the typical hours"
    if standard == typical:
        return standard
    return f"{standard} at the standard hours, {typical} at the typical"


def _percent(share: Fraction) -> str:
    return f"{half_up(share * 100, 1)} %"


def _reach(sheet: CostSheet) -> dict[str, str]:
    """The two hours a price reaches to, each with what it is measured against and its chance."""
    show, prospect = sheet.currency.show, sheet.prospect
    if prospect is None:
        return {}
    chances = (prospect.over_paid, prospect.over_target)
    paid, target = (f"{half_up(share * 100, 0)} in 100 such jobs take more" for share in chances)
    return {
        "hours it pays for": f"{prospect.paid_hours} at the selling rate; {paid}",
        "you earn your pay": f"{show(sheet.rates.pay)} an hour up to"
        f" {prospect.target_hours} h; {target}",
    }

"""What stands below a price, in words, each figure with the hours it is of.

A price built on the standards has two bases, the standard hours it is made of and the typical ones
that such a job takes; a price built on the typical hours has one, and it is said once.
"""

from decimal import Decimal
from fractions import Fraction

from ledger.costing.rates import markup_between
from ledger.costing.sheet import CostSheet
from ledger.costing.spread import PricePoint, PriceRange, cash_at
from ledger.jobs.agreed_total import LINES_IN_IT
from ledger.labor.hours_range import HoursRange
from ledger.measures.money import Money
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many

ADD_UP = "The safe hours do not add up: not everything goes wrong on one job."
"""Why the groups' safe hours, each told alone, are more than those of the whole job."""


PAID = "hours it pays for"

OWN_JOBS = 5
"""With fewer past jobs it is said how much of the range is still the published figure."""


def beside(sheet: CostSheet, spread: PriceRange) -> dict[str, str]:
    """The facts below the points of a price, by name, in the order they are shown.

    The hours that a price pays for stand in its warning, where it has one.
    """
    totals, show = sheet.totals, sheet.currency.show
    spent = (show(totals.cash_to_spend), show(cash_at(sheet, spread.p50.hours)))
    owned = f"; owned {show(totals.material_owned)}" if totals.material_owned else ""
    if totals.others_paid:
        owned += f"; billed by others {show(totals.others_paid)}"
    if totals.freight_paid:
        owned += f"; freight {show(totals.freight_paid)} taken as paid, for all goods are here"
    reach = _reach(sheet)
    if totals.price < spread.p50.price:
        reach.pop(PAID, None)
    return {"to spend": _at_both(sheet, *spent) + owned, **reach}


def _at_both(sheet: CostSheet, standard: str, typical: str) -> str:
    """A figure at the hours the price is made of and at the typical ones, where these differ."""
    if sheet.estimate_from != "standards":
        return f"{typical} at the typical hours"
    if standard == typical:
        return standard
    return f"{standard} at the standard hours, {typical} at the typical"


def _reach(sheet: CostSheet) -> dict[str, str]:
    """The two hours a price reaches to, each with what it is measured against and its chance."""
    show, prospect = sheet.currency.show, sheet.prospect
    if prospect is None:
        return {}
    chances = (prospect.over_paid, prospect.over_target)
    paid, target = (f"{half_up(share * 100, 0)} in 100 such jobs take more" for share in chances)
    return {
        PAID: f"{prospect.paid_hours} at the selling rate; {paid}",
        "you earn your pay": f"{show(sheet.rates.pay)} an hour up to"
        f" {prospect.target_hours} h; {target}",
    }


FIGURES = ("price", "cost", "margin", "typical", "safe", "rework", "target", "near")
"""The figures of the screen that are no line of it and can be explained by name."""


def explained(sheet: CostSheet, spread: PriceRange, name: str) -> str:
    """One or two sentences on a figure of `FIGURES`, with this job's own numbers."""
    show, rates, totals = sheet.currency.show, sheet.rates, sheet.totals
    hours, typical, safe = sheet.range, spread.p50, spread.p80
    at = "standard" if sheet.estimate_from == "standards" else "typical"
    rework = hours.p50 - hours.work
    if name == "near":
        jobs = ", ".join(f"{one.number} {one.hours} h" for one in sheet.near) or "none yet"
        return (
            f"The finished jobs whose hours are nearest to the typical {hours.p50} h: {jobs}. One"
            " whose price or material is not known is not among them."
        )
    if name == "target":
        return f"Your pay, {show(rates.pay)} an hour after overhead. {_target(sheet)}"
    percent, is_one = _share(totals.margin), spread.standard is None
    markups = _share(totals.markup), _share(markup_between(typical.cost, totals.price))
    return {
        "price": f"{_summed(sheet)} It is built on {totals.estimate_hours} {at} hours"
        f"{'' if at == 'standard' else ', rework in them'}: owner {totals.owner_hours} h, helper"
        f" {totals.helper_hours} h. The prices needed at other hours have no contingency.",
        "cost": f"Material {show(totals.material_full)}, helper, other costs, and your"
        f" {totals.owner_hours} {at} h at {show(rates.break_even)}: {show(totals.full_cost)}."
        + ("" if is_one else f" At the typical {typical.hours} h it is {show(typical.cost)}.")
        + f" Material is {_share(totals.material_share)} of the price.",
        "margin": f"Price {show(totals.price)} less cost {show(totals.full_cost)} at the {at}"
        f" hours, as a share of the price: {percent}."
        + ("" if is_one else f" At the typical hours it is {_share(typical.margin)}.")
        + f" The markup on cost is {_at_both(sheet, *markups)}.",
        "typical": f"Half of such jobs take less than {hours.p50} h: {hours.work} h of work and"
        f" {rework} h of rework. The lines and the rework add up to it.",
        "safe": f"8 in 10 such jobs take less than {safe.hours} h, rework in them; that costs"
        f" {show(safe.cost)}. {ADD_UP}",
        "rework": f"{rework} h of the typical {hours.p50} h are parts made again; the standard"
        " hours have none. An amount answered for rework comes on top of the hours.",
    }[name]


def _share(share: Fraction | None) -> str:
    return "none" if share is None else f"{half_up(share * 100, 1)} %"


def _target(sheet: CostSheet) -> str:
    if sheet.prospect is None:
        return "This job has no hours to earn it in."
    chance = half_up(sheet.prospect.over_target * 100, 0)
    return (
        f"This price leaves it up to {sheet.prospect.target_hours} h; {chance} in 100 such jobs"
        " take more."
    )


def _summed(sheet: CostSheet) -> str:
    price = sheet.currency.show(sheet.totals.price)
    if sheet.is_agreed:
        return f"Agreed in one sum, {price}; the last line is what the others leave of it."
    return f"The lines sum to {firm_words(sheet)}: {price}."


def firm_words(sheet: CostSheet) -> str:
    """How the price comes from what is worked out: rounded up, a piece and all of them, agreed."""
    show, totals = sheet.currency.show, sheet.totals
    if sheet.is_agreed:
        return "as agreed"
    if sheet.pieces > 1:
        each = show(Money(totals.price.minor // sheet.pieces))
        return f"{show(totals.build_up)}, rounded up: {sheet.pieces} pieces, {each} each"
    return f"{show(totals.build_up)}, rounded up to your step"


def guess_words(sheet: CostSheet) -> str:
    """What is known of the hours of a job without lines of work."""
    if not sheet.range.p50:
        return "No hours are estimated, and none were guessed."
    spread = sheet.range
    a_guess = "A" if LINES_IN_IT in spread.basis else "No operation is estimated, and a"
    return f"Hours: {spread.p50} h in all, from {spread.basis} {a_guess} guess has no range."


def base_words(sheet: CostSheet) -> str:
    """What hours a price is built on."""
    if not sheet.hours:
        return "The price"
    return f"Built on {'standard' if sheet.estimate_from == 'standards' else 'typical'} hours"


def points_of(sheet: CostSheet, spread: PriceRange) -> dict[str, PricePoint | None]:
    """The hours at which a price is told: those it is built on, and those of the range."""
    if not sheet.hours:
        return {"as guessed": spread.p50} if spread.p50.hours else {}
    return {
        "standard": spread.standard,
        "typical (half)": spread.p50,
        "safe (8 in 10)": spread.p80,
        "bad (19 in 20)": spread.p95,
    }


def basis_words(spread: HoursRange) -> list[str]:
    """Where the range is not the shop's own, and whether the shop is changing."""
    if not spread.jobs:
        return [
            "No past job stands behind this. Published studies of people's own estimates, not of"
            " your shop, put half of jobs above 1.20 times the estimate."
        ]
    jobs = how_many(spread.jobs, "past job")
    if spread.jobs < OWN_JOBS:
        share = max(Decimal(1), half_up(spread.published * 100, 0))
        sentences = [
            f"Hours from your {jobs}; {share} % of the weight is still a published figure."
        ]
    else:
        sentences = [f"Hours from your {jobs}."]
    if spread.is_changing:
        sentences.append("Your recent jobs count most: the shop is changing.")
    return sentences

"""What the review reads of the cost sheets that were frozen behind quotes, from their plain values.

Only what is needed is read: to thaw whole sheets of a year would take seconds. Pure.
"""

from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.costing.buildup import CARD_FEE
from ledger.costing.sheet import OtherCost
from ledger.errors import BadValue
from ledger.jobs.cost_differences import PlannedCosts, counted_on
from ledger.jobs.unlogged import LineOfPlan
from ledger.measures.frozen import read_json
from ledger.measures.money import Money, grossed_up
from ledger.measures.rounding import half_up
from ledger.reports.review_quotes import FrozenPoints

_NONE = Decimal(0)


def read_sheet[T](frozen: bytes, read: Callable[[Mapping[str, Any]], T]) -> T | None:
    """What is read of a frozen cost sheet; None where there is none or it does not read."""
    try:
        return read(read_json(frozen)) if frozen else None
    except (BadValue, KeyError, TypeError, ValueError, ArithmeticError):
        return None


def cost_beside_hours(body: Mapping[str, Any]) -> Money:
    """What a frozen cost sheet counts on beside the owner's hours, from its plain values."""
    totals, rates = body["totals"], body["rates"]
    owner = Money(rates["break_even"]).times(Decimal(totals["owner_hours"]))
    return Money(totals["full_cost"]) - owner


def owner_hours(body: Mapping[str, Any]) -> Decimal | None:
    """The owner's hours of a frozen cost sheet, rework that its price pays for in them.

    None of a guess, which has no lines of hours.
    """
    return Decimal(body["totals"]["owner_hours"]) if body["hours"] else None


def rework_hours(body: Mapping[str, Any]) -> Decimal:
    """Everybody's hours of rework that a price on typical hours pays for beside its lines."""
    totals = body["totals"]
    hours = Decimal(totals["owner_hours"]) + Decimal(totals["helper_hours"])
    return (
        hours - sum(Decimal(row["estimate"]) for row in body["hours"]) if body["hours"] else _NONE
    )


class FrozenPlan(Struct, frozen=True):
    """What a quote counted on: its costs, its lines of hours, and the owner's hours of all.

    `rework` are the hours that a price on typical hours pays for beside its lines.
    """

    costs: PlannedCosts
    hours: tuple[LineOfPlan, ...]
    owner_hours: Decimal
    rework: Decimal


def read_plan(body: Mapping[str, Any]) -> FrozenPlan | None:
    """The plan of a frozen cost sheet, from its plain values; None of a price in one sum."""
    if body.get("is_agreed"):
        return None
    totals, rates = body["totals"], body["rates"]
    owner = Decimal(totals["owner_hours"])
    material: dict[str, tuple[str, Money]] = {}
    for line in body["lines"]:
        words, cost = material.get(line["item"], (line["words"], Money(0)))
        material[line["item"]] = words, cost + Money(line["full"])
    costs = counted_on(
        cost_beside_hours(body),
        material=[(item, *worth) for item, worth in material.items()],
        freight=Money(totals.get("freight", 0)),
        helper=Money(rates["helper_cost"]).times(Decimal(totals["helper_hours"])),
        others=[
            OtherCost(row["kind"], row["words"], row["calculation"], *map(Money, (row["cost"],
                      row["price"]))) for row in body["others"]
        ],
    )  # fmt: skip
    lines = [
        LineOfPlan(row["operation"], row["name"], row["group"], Decimal(row["estimate"]),
                   Decimal(row["standard"])) for row in body["hours"]
    ]  # fmt: skip
    return FrozenPlan(costs, tuple(lines), owner, rework_hours(body))


def read_points(body: Mapping[str, Any]) -> FrozenPoints:
    """The points of a frozen cost sheet, from its plain values.

    Where all points are one, as of a price agreed in one sum, there is no range to speak of.
    """
    totals, spread, rates = body["totals"], body["range"], body["rates"]
    hours = Decimal(totals["estimate_hours"])
    if not hours or Decimal(spread["p50"]) >= Decimal(spread["p95"]):
        return FrozenPoints(hours)
    beside = sum(row["price"] for row in (*body["lines"], *body["others"]))
    beside += totals.get("freight", 0)
    share = Fraction(spread.get("helper", 0))
    parted = [(Decimal(totals["owner_hours"]), Decimal(totals["helper_hours"]))]
    for point in (Decimal(spread["p50"]), Decimal(spread["p80"])):
        helper = half_up(Fraction(point) * share, 2)
        parted.append((point - helper, helper))
    rate, fixed = _card_fee(body)
    prices = [
        grossed_up(Money(beside) + _labor(owner, helper, rates), rate, fixed)
        for owner, helper in parted
    ]
    return FrozenPoints(hours, Decimal(spread["p50"]), Decimal(spread["p80"]), *prices)


def _card_fee(body: Mapping[str, Any]) -> tuple[Fraction, Money]:
    """The fee of card payments that was planned: its share of the price, and what of it is fixed.

    Sheets frozen before these two were written have the amount alone, taken as a share of its sum.
    """
    of_cards = [row for row in body["build_up"] if row["name"] == CARD_FEE]
    if not of_cards:
        return Fraction(0), Money(0)
    fee = of_cards[-1]
    if "rate" in fee or "fixed" in fee:
        return Fraction(fee.get("rate", 0)), Money(fee.get("fixed", 0))
    return Fraction(fee["amount"], body["totals"]["build_up"]), Money(0)


def _labor(owner: Decimal, helper: Decimal, rates: Mapping[str, int]) -> Money:
    """What so many hours are billed at."""
    billed = Money(rates["helper_billed"]).times(helper)
    return Money(rates["selling"]).times(owner) + billed

"""A cost sheet as facts for other programs: money and quantities as decimal strings."""

from fractions import Fraction
from typing import Any

from ledger.costing.needs import needs_of
from ledger.costing.sheet import CostSheet, PastJobNear, Prospect, SheetHours, SheetsLaid
from ledger.costing.spread import PriceRange
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.measures.rounding import half_up

type Facts = dict[str, Any]


def price_json(sheet: CostSheet, spread: PriceRange) -> Facts:
    """The facts of a price, every figure of the screen and more.

    `price_range` and `cost_range` are the price and the owner's cost at the hours of each point,
    without contingency; `earned_range` is what the firm price then leaves the owner an hour after
    overhead (`ledger.costing.spread`), `margin_range` its margin then. `history` are the typical
    hours of the lines; with `rework` they are the p50 point, the `estimate` of a price from
    history. Chances and `published` are shares of 1.

    Shape: job, title, currency, as_of, design · lines [group, item, words, net, quantity, unit,
    unit_cost, full, cash, price, basis, lot] · needs [item, words, unit, quantity,
    quantity_in_kind, quantity_owned, quantity_to_buy, full, value_in_kind, value_owned, to_pay,
    rack_full, rack_cash, lots] · operations [operation, name, group, driver, unit, estimate, owner,
    helper, standard, history, past_jobs, basis, assumed] · hours {estimate, owner, helper, history,
    rework, p50, p80, p95, past_jobs, published, changing, basis, groups [group, typical, p50, p80,
    p95], not_believed [job, operations, group, hours, estimate], from} · rates {pay, overhead,
    break_even, selling, helper_cost, helper_billed} · build_up [name, calculation, amount] · totals
    {material, hardware, material_full, material_cash, material_in_kind, material_owned,
    material_to_buy, full_cost, cash_cost, cash_to_spend, build_up, price, earned_per_hour,
    earned_after_overhead, material_share, markup, margin} · price_range {p50, p80, p95, past_jobs}
    · cost_range {p50, p80, p95, past_jobs} · earned_range {p50, p80, p95, past_jobs} · margin_range
    {p50, p80, p95, past_jobs} · prospect {target_hours, over_target, paid_hours, over_paid} ·
    layout [material, sheets, fewest_possible, proven, net_area, yield] · near [job, title, price,
    hours, earned_per_hour, earned_after_overhead] · forgotten_open · cautions · warnings · gaps
    [what, basis, command].
    """
    return {
        **plain_fields(sheet, "job title currency=currency.code as_of design"),
        "lines": plain_rows(sheet.lines, _LINE, sheet.currency),
        "needs": plain_rows(needs_of(sheet.lines), _NEED, sheet.currency),
        "operations": [_operation(line) for line in sheet.hours],
        "hours": _hours(sheet),
        "rates": plain_fields(sheet.rates, _RATES, sheet.currency),
        "build_up": plain_rows(sheet.build_up, "name calculation amount", sheet.currency),
        "totals": _totals(sheet),
        "price_range": _points(sheet, spread, "price"),
        "cost_range": _points(sheet, spread, "cost"),
        "earned_range": _points(sheet, spread, "after_overhead"),
        "margin_range": _margins(spread),
        "prospect": _prospect(sheet.prospect),
        "layout": [_laid(laid) for laid in sheet.layouts],
        "near": [_near(sheet, near) for near in sheet.near],
        "forgotten_open": [item.item for item in sheet.forgotten if item.is_open],
        "cautions": [caution.words for caution in sheet.cautions],
        "warnings": list(sheet.warnings),
        "gaps": plain_rows(sheet.gaps, "what basis command"),
    }


_LINE = "group item words net quantity unit unit_cost full cash price basis lot"
_NEED = (
    "item words unit quantity quantity_in_kind=in_kind quantity_owned=owned quantity_to_buy=to_buy"
    " full value_in_kind value_owned to_pay rack_full rack_cash lots"
)
_RATES = "pay overhead break_even selling helper_cost helper_billed"
_SUMS = (
    "material hardware material_full material_cash material_in_kind material_owned material_to_buy"
    " full_cost cash_cost cash_to_spend build_up price earned_per_hour earned_after_overhead"
)


def _operation(line: SheetHours) -> Facts:
    return {
        **plain_fields(line, "operation name group"),
        "driver": _decimal(line.driver),
        **plain_fields(
            line, "unit estimate owner helper standard history past_jobs basis assumed=is_assumed"
        ),
    }


def _hours(sheet: CostSheet) -> Facts:
    return {
        **plain_fields(
            sheet.totals, "estimate=estimate_hours owner=owner_hours helper=helper_hours"
        ),
        "history": str(sheet.range.work),
        "rework": str(sheet.range.p50 - sheet.range.work),
        **plain_fields(sheet.range, "p50 p80 p95 past_jobs=jobs"),
        "published": _share(sheet.range.published),
        **plain_fields(sheet.range, "changing=is_changing basis"),
        "groups": plain_rows(sheet.range.groups, "group typical p50 p80 p95"),
        "not_believed": [one.as_json for one in sheet.range.unbelieved],
        "from": sheet.estimate_from,
    }


def _totals(sheet: CostSheet) -> Facts:
    totals = sheet.totals
    return {
        **plain_fields(totals, _SUMS, sheet.currency),
        "material_share": _share(totals.material_share),
        "markup": _share(totals.markup),
        "margin": _share(totals.margin),
    }


def _points(sheet: CostSheet, spread: PriceRange, name: str) -> Facts:
    names = f"p50=p50.{name} p80=p80.{name} p95=p95.{name} past_jobs=jobs"
    return plain_fields(spread, names, sheet.currency)


def _margins(spread: PriceRange) -> Facts:
    points = {"p50": spread.p50, "p80": spread.p80, "p95": spread.p95}
    return {**{key: _share(one.margin) for key, one in points.items()}, "past_jobs": spread.jobs}


def _prospect(prospect: Prospect | None) -> Facts:
    if prospect is None:
        return dict.fromkeys(("target_hours", "over_target", "paid_hours", "over_paid"))
    return {
        "target_hours": str(prospect.target_hours),
        "over_target": _share(prospect.over_target),
        "paid_hours": str(prospect.paid_hours),
        "over_paid": _share(prospect.over_paid),
    }


def _laid(laid: SheetsLaid) -> Facts:
    return {
        **plain_fields(laid, "material sheets fewest_possible proven"),
        "net_area": _decimal(laid.net_area),
        "yield": _share(laid.sheet_yield),
    }


def _near(sheet: CostSheet, near: PastJobNear) -> Facts:
    after = near.earned_per_hour - sheet.rates.overhead
    names = "job=number title price hours earned_per_hour"
    return plain_fields(near, names, sheet.currency) | {
        "earned_after_overhead": plain(after, sheet.currency)
    }


def _decimal(value: Fraction) -> str:
    """A count with two places, or four where it has more, as cubic meters have.

    >>> _decimal(Fraction(5, 2)), _decimal(Fraction(1, 8))
    ('2.50', '0.1250')
    """
    places = 2 if (value * 100).denominator == 1 else 4
    return format(half_up(value, places), "f")


def _share(value: Fraction | None) -> str | None:
    return None if value is None else format(half_up(value, 4), "f")

"""A cost sheet as facts for other programs: money and quantities as decimal strings."""

from fractions import Fraction
from typing import Any

from ledger.costing.sheet import CostSheet
from ledger.measures.money import Money
from ledger.measures.quantity import show_quantity
from ledger.measures.rounding import half_up


def price_facts(sheet: CostSheet) -> dict[str, Any]:
    """The facts of a price, every figure of the screen and more."""

    def money(amount: Money | None) -> str | None:
        return None if amount is None else str(sheet.currency.decimal(amount))

    totals = sheet.totals
    return {
        "job": sheet.job,
        "title": sheet.title,
        "currency": sheet.currency.code,
        "as_of": sheet.as_of.isoformat(),
        "design": sheet.design,
        "lines": [
            {
                "group": line.group,
                "item": line.item,
                "words": line.words,
                "net": show_quantity(line.net),
                "quantity": show_quantity(line.quantity),
                "unit": line.unit,
                "unit_cost": format(line.unit_cost, "f"),
                "full": money(line.full),
                "cash": money(line.cash),
                "price": money(line.price),
                "basis": line.basis,
            }
            for line in sheet.lines
        ],
        "operations": [
            {
                "operation": line.operation,
                "name": line.name,
                "group": line.group,
                "driver": _decimal(line.driver),
                "unit": line.unit,
                "estimate": str(line.estimate),
                "owner": str(line.owner),
                "helper": str(line.helper),
                "standard": str(line.standard),
                "history": str(line.history),
                "past_jobs": line.past_jobs,
                "basis": line.basis,
            }
            for line in sheet.hours
        ],
        "hours": {
            "estimate": str(totals.estimate_hours),
            "owner": str(totals.owner_hours),
            "helper": str(totals.helper_hours),
            "history": str(sum(line.history for line in sheet.hours)),
            "p50": str(sheet.range.p50),
            "p80": str(sheet.range.p80),
            "p95": str(sheet.range.p95),
            "past_jobs": sheet.range.jobs,
            "from": sheet.estimate_from,
        },
        "rates": {
            name: money(getattr(sheet.rates, name))
            for name in ("pay", "overhead", "break_even", "selling", "helper_cost", "helper_billed")
        },
        "build_up": [
            {"name": line.name, "calculation": line.calculation, "amount": money(line.amount)}
            for line in sheet.build_up
        ],
        "totals": {
            "material": money(totals.material),
            "hardware": money(totals.hardware),
            "material_full": money(totals.material_full),
            "material_cash": money(totals.material_cash),
            "full_cost": money(totals.full_cost),
            "cash_cost": money(totals.cash_cost),
            "build_up": money(totals.build_up),
            "price": money(totals.price),
            "earned_per_hour": money(totals.earned_per_hour),
            "earned_after_overhead": money(totals.earned_after_overhead),
            "material_share": _share(totals.material_share),
            "markup": _share(totals.markup),
            "margin": _share(totals.margin),
        },
        "layout": [
            {
                "material": laid.material,
                "sheets": laid.sheets,
                "fewest_possible": laid.fewest_possible,
                "proven": laid.proven,
                "net_area": _decimal(laid.net_area),
                "yield": _share(laid.sheet_yield),
            }
            for laid in sheet.layouts
        ],
        "forgotten_open": [item.item for item in sheet.forgotten if item.is_open],
        "cautions": [caution.words for caution in sheet.cautions],
        "warnings": list(sheet.warnings),
    }


def _decimal(value: Fraction) -> str:
    return format(half_up(value, 2), "f")


def _share(value: Fraction | None) -> str | None:
    return None if value is None else format(half_up(value, 4), "f")

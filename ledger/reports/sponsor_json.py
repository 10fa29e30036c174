"""A sponsor's report as facts for other programs: money and quantities as decimal strings."""

from typing import Any

from ledger.measures.money import Currency, Money
from ledger.measures.quantity import show_quantity
from ledger.reports.sponsor import SponsorReport
from ledger.sponsors.statement import Amount

_COLUMNS = ("opening", "received", "used", "wasted", "sent_back", "otherwise", "closing")


def sponsor_json(report: SponsorReport) -> dict[str, Any]:
    """The facts of the report, each figure of the workbook."""
    return {
        "sponsor": report.sponsor,
        "shop": report.shop,
        "first": str(report.first),
        "last": str(report.last),
        "currency": report.currency.code,
        "objective": report.objective,
        "deliverables": {
            "promised": report.promised_number,
            "done": report.done_number,
            "lines": [
                {"kind": one.kind, "promised": one.number, "done": one.done, "late": one.late,
                 "due": str(one.due)}
                for one in report.promised
            ],
        },
        **_goods(report),
        "tools": [
            {"name": one.name, "loan": one.loan, "here": one.here, "minutes": one.minutes,
             "uses": one.uses, "blades": one.blades, "faults": list(one.faults)}
            for one in report.tools
        ],
        "publications": [
            {"day": str(one.day), "kind": one.kind, "title": one.title, "platform": one.platform,
             "link": one.link, "builds": list(one.builds),
             "disclosed_on": str(one.disclosed_on) if one.disclosed_on else None, "how": one.how}
            for one in report.published
        ],
        "remaining": {"where": report.where, "offcuts": list(report.offcuts)},
        "next_use": report.next_use,
        "photos": list(report.photos),
        "results": list(report.results),
    }  # fmt: skip


def _goods(report: SponsorReport) -> dict[str, Any]:
    def amount(value: Amount) -> dict[str, str]:
        shown = _money(report.currency, value.value)
        return {"quantity": show_quantity(value.quantity), "value": shown}

    return {
        "statement": [
            {"item": one.item, "unit": one.unit, "loan": one.loan}
            | {name: amount(getattr(one, name)) for name in _COLUMNS}
            for one in report.lines
        ],
        "lots": [
            {"day": str(one.day), "item": one.item, "unit": one.unit, "loan": one.loan,
             "method": one.method, "evidence": one.evidence, "document": one.document,
             "cash": _money(report.currency, Money(0))}
            | amount(one.amount)
            for one in report.lots
        ],
        "used": [
            {"build": one.build, "item": one.item, "unit": one.unit,
             "on_camera": show_quantity(one.on_camera), "not_noted": show_quantity(one.unsaid)}
            | amount(one.amount)
            for one in report.used
        ],
        "events": [
            {"day": str(one.day), "what": one.what, "item": one.item, "unit": one.unit,
             "balance": show_quantity(one.balance), "build": one.build, "words": one.words}
            | amount(one.amount)
            for one in report.events
        ],
    }  # fmt: skip


def _money(currency: Currency, value: Money) -> str:
    return str(currency.decimal(value))

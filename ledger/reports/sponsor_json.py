"""A sponsor's report as facts for other programs: money and quantities as decimal strings."""

from typing import Any

from ledger.measures.money import Money
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.reports.sponsor import SponsorReport
from ledger.sponsors.statement import Amount

_COLUMNS = ("opening", "received", "used", "wasted", "sent_back", "otherwise", "closing")


def sponsor_json(report: SponsorReport) -> dict[str, Any]:
    """The facts of the report, each figure of the workbook."""
    return {
        **plain_fields(report, "sponsor shop first last currency=currency.code objective"),
        "deliverables": {
            "promised": report.promised_number,
            "done": report.done_number,
            "lines": plain_rows(report.promised, "kind promised=number done late due"),
        },
        **_goods(report),
        "tools": plain_rows(report.tools, "name loan here minutes uses blades faults"),
        "publications": plain_rows(
            report.published, "day kind title platform link builds disclosed_on how"
        ),
        "remaining": {
            "where": report.where,
            "offcuts": list(report.offcuts),
            "offcuts_value": plain(report.offcuts_value, report.currency),
        },
        "next_use": report.next_use,
        "photos": [*report.photos, *(one.words for one in report.pictures)],
        "results": list(report.results),
    }


def _goods(report: SponsorReport) -> dict[str, Any]:
    def amount(value: Amount) -> dict[str, str]:
        return plain_fields(value, "quantity value", report.currency)

    return {
        "statement": [
            plain_fields(one, "item unit loan")
            | {name: amount(getattr(one, name)) for name in _COLUMNS}
            for one in report.lines
        ],
        "lots": [
            plain_fields(one, "day item unit loan method evidence document")
            | {"cash": plain(Money(0), report.currency)}
            | amount(one.amount)
            for one in report.lots
        ],
        "used": [
            plain_fields(one, "build item unit on_camera not_noted=unsaid") | amount(one.amount)
            for one in report.used
        ],
        "events": [
            plain_fields(one, "day what item unit balance build words") | amount(one.amount)
            for one in report.events
        ],
    }

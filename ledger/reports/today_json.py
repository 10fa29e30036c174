"""What is open today as JSON, for other programs."""

from typing import Any

from ledger.book.series import OffSite
from ledger.labor.clock import Running
from ledger.labor.log import name_of
from ledger.measures.plain import plain_fields, plain_rows
from ledger.measures.rounding import half_up
from ledger.reports.ahead import work_json
from ledger.reports.settled import REFUNDED, SENT_BACK, SETTLED
from ledger.reports.today import Today


def today_json(report: Today, clock_minutes: int) -> dict[str, Any]:
    """What is open, as facts for other programs: every key always there, lists empty or filled.

    Money, hours, weeks and quantities are decimal strings, days are ISO 8601; a job whose hours
    were never planned has null for them, and so has the clock that does not run.

    Shape: day, currency · clock {job, what, since, minutes} · jobs [job, title, state, minutes,
    planned_hours, owner_hours_left] · ahead [job, owner_hours_left, done_about, promised,
    days_late] · weeks [from, free, booked] · hours_a_week, owner_hours_left, weeks_booked ·
    quotes [quote, job, state, valid_until, to_pay] · payments [job, payment, open] · invoices
    [job, invoice, kind, due, days_late, open] · paid_ahead [job, held, quote] · to_settle [job,
    day, stage, kept, received, back, owed] · to_refund [job, back] · to_send_back [job, amount] ·
    deliverables [sponsor, kind, left, due] · to_buy [job, material, quantity, unit] ·
    awaited_credits [supplier, item, quantity, unit, since, cost, paid] · old_prices [material, day,
    jobs] · others [job, what, amount, lead_days, quoted] ·
    open_months · off_site {folder, is_there, last}.
    """
    currency = report.currency
    return {
        **plain_fields(report, "day currency=currency.code"),
        "clock": _clock_json(report.clock, clock_minutes),
        "jobs": plain_rows(
            report.jobs,
            "job=number title state minutes planned_hours=planned owner_hours_left=owner_left",
        ),
        **work_json(report.ahead),
        "hours_a_week": str(half_up(report.hours_a_week, 2)),
        **plain_fields(report, "owner_hours_left=owner_left weeks_booked"),
        "quotes": plain_rows(
            report.quotes,
            "quote=quote.name job=job.number state valid_until=offer.valid_until to_pay", currency,
        ),
        "payments": [
            {"job": job.number} | plain_fields(one, "payment=name open", currency)
            for job, one in report.payments
        ],
        "invoices": plain_rows(report.invoices, "job invoice kind due days_late open", currency),
        "paid_ahead": [
            plain_fields(one, "job=number held", currency) | {"quote": one.quote or None}
            for one in report.paid_ahead
        ],
        "to_settle": plain_rows(report.to_settle, SETTLED, currency),
        "to_refund": plain_rows(report.to_refund, REFUNDED, currency),
        "to_send_back": plain_rows(report.to_send_back, SENT_BACK, currency),
        "deliverables": plain_rows(report.deliverables, "sponsor kind left due"),
        "to_buy": plain_rows(report.to_buy, "job material quantity unit"),
        "awaited_credits": plain_rows(
            report.awaited_credits,
            "supplier item quantity unit since cost paid=paid.amount",
            currency,
        ),
        "old_prices": plain_rows(report.old_prices, "material day jobs"),
        "others": plain_rows(
            report.others, "job what=name amount lead_days quoted=is_quoted", currency
        ),
        "open_months": [str(month) for month in report.open_months],
        "off_site": _off_site_json(report.off_site),
    }  # fmt: skip


def _off_site_json(copies: OffSite | None) -> dict[str, Any] | None:
    if copies is None:
        return None
    last = copies.last.isoformat() if copies.last else None
    return {"folder": str(copies.folder), "is_there": copies.is_there, "last": last}


def _clock_json(clock: Running | None, minutes: int) -> dict[str, Any] | None:
    if clock is None:
        return None
    return {
        "job": clock.job.number if clock.job else None,
        "what": name_of(clock.activity),
        "since": clock.began.isoformat(timespec="minutes"),
        "minutes": minutes,
    }

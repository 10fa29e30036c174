"""What is open today as JSON, for other programs."""

from typing import Any

from ledger.book.series import OffSite
from ledger.labor.clock import Running
from ledger.labor.log import name_of
from ledger.measures.money import Money
from ledger.measures.plain import plain_fields
from ledger.measures.rounding import half_up
from ledger.reports.ahead import work_json
from ledger.reports.settled import refund_json, return_json, settlement_json
from ledger.reports.today import JobNow, Today


def today_json(report: Today, clock_minutes: int) -> dict[str, Any]:
    """What is open, as facts for other programs: every key always there, lists empty or filled.

    Money, hours, weeks and quantities are decimal strings, days are ISO 8601; a job whose hours
    were never planned has null for them, and so has the clock that does not run.

    Shape: day, currency · clock {job, what, since, minutes} · jobs [job, title, state, minutes,
    planned_hours, owner_hours_left] · ahead [job, owner_hours_left, done_about, promised,
    days_late] · weeks [from, free, booked] · hours_a_week, owner_hours_left, weeks_booked ·
    quotes [quote, job, state, valid_until, to_pay] · payments [job, payment, open] · paid_ahead
    [job, held, quote] · to_settle [job, day, stage, kept, received, back, owed] · to_refund
    [job, back] · to_send_back [job, amount] · deliverables [sponsor, kind, left, due] · to_buy
    [job, material, quantity, unit] · awaited_credits [supplier, item, quantity, unit, since,
    cost] · old_prices [material, day, jobs] · others [job, what, amount, lead_days, quoted] ·
    open_months · off_site {folder, is_there, last}.
    """

    def money(amount: Money) -> str:
        return str(report.currency.decimal(amount))

    return {
        "day": report.day.isoformat(),
        "currency": report.currency.code,
        "clock": _clock_json(report.clock, clock_minutes),
        "jobs": [_job_json(job) for job in report.jobs],
        **work_json(report.ahead),
        "hours_a_week": str(half_up(report.hours_a_week, 2)),
        "owner_hours_left": str(report.owner_left),
        "weeks_booked": str(report.weeks_booked),
        "quotes": [
            {"quote": row.quote.name, "job": row.job.number, "state": row.state,
             "valid_until": row.offer.valid_until.isoformat(), "to_pay": money(row.to_pay)}
            for row in report.quotes
        ],
        "payments": [
            {"job": job.number, "payment": one.name, "open": money(one.open)}
            for job, one in report.payments
        ],
        "paid_ahead": [
            {"job": one.number, "held": money(one.held), "quote": one.quote or None}
            for one in report.paid_ahead
        ],
        "to_settle": [settlement_json(report.currency, one) for one in report.to_settle],
        "to_refund": [refund_json(report.currency, one) for one in report.to_refund],
        "to_send_back": [return_json(report.currency, one) for one in report.to_send_back],
        "deliverables": [
            plain_fields(one, "sponsor kind left due")
            for one in report.deliverables
        ],
        "to_buy": [
            plain_fields(row, "job material quantity unit")
            for row in report.to_buy
        ],
        "awaited_credits": _credit_json(report),
        "old_prices": _prices_json(report),
        "others": _others_json(report),
        "open_months": [str(month) for month in report.open_months],
        "off_site": _off_site_json(report.off_site),
    }  # fmt: skip


def _prices_json(report: Today) -> list[dict[str, Any]]:
    return [plain_fields(row, "material day jobs") for row in report.old_prices]


def _others_json(report: Today) -> list[dict[str, Any]]:
    decimal = report.currency.decimal
    return [
        {"job": one.job, "what": one.name, "amount": str(decimal(one.amount)),
         "lead_days": one.lead_days, "quoted": one.is_quoted}
        for one in report.others
    ]  # fmt: skip


def _credit_json(report: Today) -> list[dict[str, str]]:
    return [
        plain_fields(one, "supplier item quantity unit since cost", report.currency)
        for one in report.awaited_credits
    ]  # fmt: skip


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


def _job_json(job: JobNow) -> dict[str, Any]:
    return {
        "job": job.number,
        "title": job.title,
        "state": job.state,
        "minutes": job.minutes,
        "planned_hours": None if job.planned is None else str(job.planned),
        "owner_hours_left": None if job.owner_left is None else str(job.owner_left),
    }

"""The year told month by month, and its workbook written."""

from pathlib import Path

from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.cli.printed import make_folder, on_letter, put_paper, shop_and_size
from ledger.errors import BadValue
from ledger.measures.driving import driving
from ledger.measures.money import total
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.measures.quantity import show_quantity
from ledger.reports.settled import (
    LATE,
    REFUNDED,
    SENT_BACK,
    SETTLED,
    TO_CREDIT,
    credit_words,
    unsettled_words,
)
from ledger.reports.spend import other_costs_json
from ledger.reports.year import YearReport, year_report


def account(which: str, pdf: Path | None, folder: Path | None, *, as_json: bool) -> None:
    """Take the account of a year.

    Raises:
        BadValue: the text is not a year.
    """
    if not (which.isascii() and which.isdigit() and len(which) == 4):
        raise BadValue(f"“{which}” is not a year; write for example 2025.")
    with open_shop() as book:
        report = year_report(book, int(which))
        letter = on_letter(book)
        shop, size = shop_and_size(book)
    if pdf:
        from ledger.papers.accountant import year_paper

        put_paper(year_paper(report, shop, size), pdf)
        voice.note(f"Written: {pdf}")
    if folder:
        from ledger.workbooks.sheets import is_folder
        from ledger.workbooks.writers.accountant import write_year

        path = folder
        if is_folder(folder) or folder.suffix.casefold() != ".xlsx":
            make_folder(folder)
            path = folder / f"{which}-year-end.xlsx"
        write_year(report, path, letter=letter)
        voice.note(f"Written: {path}")
    if as_json:
        voice.print_json(_json(report))
    else:
        _say(report)


def _json(report: YearReport) -> dict[str, object]:
    currency = report.currency
    spent = "net tax_paid paid recoverable use_tax landed in_kind"
    return {
        **plain_fields(report, "year as_of"),
        "spend": plain_fields(report.spend, spent, currency),
        "months": [
            {"month": str(month)} | plain_fields(one, "landed other_costs", currency)
            for month, one in report.months
        ],
        **other_costs_json(report.spend, currency),
        "closing_stock": plain_fields(report, "full=full.closing cash=cash.closing", currency),
        "miles": show_quantity(report.driven) if report.units == "inch" else None,
        "kilometers": show_quantity(report.driven) if report.units == "mm" else None,
        "jobs": plain_rows(report.jobs, "job=number state received", currency),
        "beside": [
            {"stream": stream, "gross": plain(gross, currency), "fee": plain(fee, currency)}
            for stream, (gross, fee) in report.streams.items()
        ],
        "to_settle": [
            plain_fields(row.settlement, SETTLED, currency)
            for row in report.canceled
            if not row.settlement.is_settled
        ],
        "to_refund": plain_rows(report.to_refund, REFUNDED, currency),
        "to_send_back": plain_rows(report.to_send_back, SENT_BACK, currency),
        "to_credit": plain_rows(report.to_credit, TO_CREDIT, currency),
        "late_cost": plain_rows(report.late, LATE, currency),
    }


def _say(report: YearReport) -> None:
    show, spend = report.currency.show, report.spend
    voice.heading(f"{report.shop}: the year {report.year}")
    if report.as_of.year < report.year:
        voice.say("The year has not begun.")
        return
    if not report.is_over:
        voice.say(f"The year is still running: figures up to {report.as_of}.")
    names = ["net", "paid", *(["use tax"] if spend.has_use_tax else []), "landed", "in kind"]
    voice.table(
        ["month", *(f">{name}" for name in names)],
        [
            [str(month), *(show(getattr(one, name.replace(" ", "_"))) for name in names)]
            for month, one in report.months
            if month.first <= report.as_of
        ],
        footer=["year", *(show(getattr(spend, name.replace(" ", "_"))) for name in names)],
    )
    voice.say()
    voice.say_all(spend.beside_words(report.currency))
    closing, cash = show(report.full.closing), show(report.cash.closing)
    voice.say(f"Closing stock {closing} at full value, {cash} in cash.")
    if report.trips:
        cost, unit = show(total(trip.amount for trip in report.trips)), driving(report.units)
        voice.say(f"{unit.title} driven for jobs: {show_quantity(report.driven)}, {cost}.")
    received, tax = total(j.received for j in report.jobs), total(j.tax for j in report.jobs)
    tax_words = f", tax in it {show(tax)}" if tax or spend.has_use_tax else ""
    voice.say(f"Received from clients {show(received)}{tax_words}.")
    for stream, (gross, fee) in report.streams.items():
        fees = f", {show(gross - fee)} after fees" if fee else ""
        voice.say(f"Beside the commissions, {stream}: {show(gross)}{fees}.")
    voice.say_all([*unsettled_words(report), *credit_words(report)])

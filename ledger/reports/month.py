"""The month: spend, stock rolled forward, jobs, taxes, prices and hours, in one account."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.book import Book, is_closed
from ledger.book.questions.month import JobIssue, issued_by_job
from ledger.book.questions.prices import prices_changed
from ledger.book.questions.progress import owner_minutes, reopened_jobs
from ledger.jobs.going_back import all_goods_to_return
from ledger.jobs.late import late_costs
from ledger.jobs.payments import refunds
from ledger.measures.day import Month
from ledger.measures.money import Money, total
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.reports import wip
from ledger.reports.called_for import credits_needed, invoices_that_follow
from ledger.reports.roll import COLUMNS, Roll, roll_between
from ledger.reports.settled import LATE, REFUNDED, SENT_BACK, TO_CREDIT, OverAccount
from ledger.reports.spend import Spend, other_costs_json, spend_between
from ledger.stock.materials import materials
from ledger.stock.prices import price_basis, with_tax


class PriceChange(Struct, frozen=True):
    """A material whose price changed in the month, and by what share."""

    code: str
    name: str
    before: Decimal
    after: Decimal
    day: date

    @property
    def share(self) -> Fraction:
        """The change as a share of the price before; all of it where that was nothing."""
        return Fraction(self.after - self.before) / (Fraction(self.before) or 1)


class MonthReport(OverAccount, frozen=True):
    """A month's account; every total in it is the sum of rows that stand in the book.

    `standing` is `closed`, `open`, `running` (not over yet), `ahead`, or `before the book`.
    `states` are those of the jobs that were open or canceled at its end, by number.
    """

    month: Month
    shop: str
    as_of: date
    standing: str
    spend: Spend
    full: Roll[Money]
    cash: Roll[Money]
    issued: tuple[JobIssue, ...]
    progress: tuple[wip.JobInProgress, ...]
    states: Mapping[str, str]
    money_in: tuple[wip.PaidOnJob, ...]
    to_invoice: tuple[str, ...]
    price_changes: tuple[PriceChange, ...]
    price_basis: str
    owner_minutes: int
    owner_minutes_on_jobs: int
    assumed_billable: Fraction

    @property
    def billable(self) -> Fraction | None:
        """The share of the owner's logged time that was on commissions; None without hours."""
        if not self.owner_minutes:
            return None
        return Fraction(self.owner_minutes_on_jobs, self.owner_minutes)

    @property
    def is_empty(self) -> bool:
        """Whether nothing at all happened in the month and nothing stood in stock."""
        over = self.canceled or self.late or self.to_refund or self.to_send_back or self.to_credit
        jobs = self.progress or over
        nothing = not any(self.full.columns().values()) and not jobs
        spent = self.spend.landed or self.spend.noted or self.spend.kept_by_suppliers
        return nothing and not (spent or self.owner_minutes or self.money_in)


def month_report(book: Book, month: Month) -> MonthReport:
    """Take the account of a month; for one that is running, up to today."""
    first, last, until = month.first, month.last, min(book.today, month.last)
    full, cash = roll_between(book, first, last)
    spend = spend_between(book, first, last)
    hours = owner_minutes(book, first, last)
    return MonthReport(
        month=month,
        currency=book.currency,
        shop=book.setting_text("shop"),
        as_of=until,
        standing=_standing(
            book, month, is_blank=not any((*full.columns().values(), spend.landed, spend.noted))
        ),
        spend=spend,
        full=full,
        cash=cash,
        issued=tuple(issued_by_job(book, first, last)),
        progress=tuple(wip.work_in_progress(book, until)),
        states=wip.states_on(book, until),
        money_in=tuple(wip.money_in(book, first, until)),
        canceled=tuple(wip.canceled_jobs(book, first, until)),
        late=tuple(late_costs(book, first, until)),
        reopened=reopened_jobs(book, until),
        to_refund=tuple(refunds(book, until)),
        to_send_back=tuple(all_goods_to_return(book, until)),
        to_credit=tuple(credits_needed(book, until)),
        to_invoice=tuple(invoices_that_follow(book, first, until)),
        price_changes=largest_price_changes(book, month),
        price_basis=price_basis(book),
        owner_minutes=hours.logged,
        owner_minutes_on_jobs=hours.on_jobs,
        assumed_billable=book.settings.billable,
    )


def largest_price_changes(book: Book, month: Month, most: int = 3) -> tuple[PriceChange, ...]:
    """The prices that changed most in the month, as a share of what they were.

    Prices are costs as `price_basis` says; where both were noted before tax, the rate of
    the later one stands on both: another rate of tax alone is no other price.
    """
    known, digits = materials(book), book.currency.digits
    changes = []
    for p in prices_changed(book, month.first, month.last):
        rate = p.before_tax_rate
        if rate is not None and p.after_tax_rate is not None:
            rate = p.after_tax_rate
        before = with_tax(p.before, rate, digits)
        after = with_tax(p.after, p.after_tax_rate, digits)
        if p.material in known and before != after:
            changes.append(PriceChange(p.material, known[p.material].name, before, after, p.day))
    changes.sort(key=lambda change: (-abs(change.share), change.code))
    return tuple(changes[:most])


def _standing(book: Book, month: Month, *, is_blank: bool) -> str:
    opened = book.settings.opened
    if month.first > book.today:
        return "ahead"
    if month.last >= book.today:
        return "running"
    if is_closed(book, month):
        return "closed"
    early = opened is not None and month.last < opened
    return "before the book" if early and is_blank else "open"


def month_json(report: MonthReport) -> dict[str, Any]:
    """The month as facts for other programs: money as decimal strings, days as ISO 8601.

    Shape: month, currency, standing, as_of · spend {net, tax_paid, paid, recoverable, landed,
    by_supplier [name, landed], by_category [name, landed], by_job [name, landed]} · in_kind,
    use_tax_due · other_costs {amount, by_kind [name, amount], by_job [name, amount]},
    kept_by_suppliers, freight_lost · stock {full {opening, received, issued, returned, scrapped,
    to_supplier, own_use, counted, closing}, cash {opening, received, issued, returned, scrapped,
    to_supplier, own_use, counted, closing}} · received, tax_collected, deposits_held,
    owner_minutes, owner_minutes_on_jobs · issued [job, full, cash] · work_in_progress [job, state,
    material, material_cash, helpers, owner_minutes, owner, other, cost, received, uncovered] ·
    canceled [job, day, stage, material, helpers, owner, other, cost, kept, tax, received, back,
    owed, result] · late_cost [job, state, since, material, material_cash, use_tax, helpers,
    owner_minutes, owner, other, cost] · to_refund [job, back] · to_send_back [job, amount] ·
    to_credit [job, invoice, amount] · price_basis · price_changes [material, before, after, day].
    """
    currency, spend = report.currency, report.spend
    sums = {"received": "received", "tax_collected": "tax", "deposits_held": "held"}
    return {
        "month": str(report.month),
        **plain_fields(report, "currency=currency.code standing as_of"),
        "spend": {
            **plain_fields(spend, "net tax_paid paid recoverable landed", currency),
            **{
                name: plain_rows(getattr(spend, name), "name landed=amount", currency)
                for name in ("by_supplier", "by_category", "by_job")
            },
        },
        **plain_fields(spend, "in_kind use_tax_due=use_tax", currency),
        **other_costs_json(spend, currency),
        "stock": {
            "full": plain_fields(report.full, " ".join(COLUMNS), currency),
            "cash": plain_fields(report.cash, " ".join(COLUMNS), currency),
        },
        **{
            key: plain(total(getattr(row, name) for row in report.money_in), currency)
            for key, name in sums.items()
        },
        **plain_fields(report, "owner_minutes owner_minutes_on_jobs"),
        "price_basis": f"cost: {report.price_basis}",
        **_details(report),
    }


def _details(report: MonthReport) -> dict[str, list[dict[str, Any]]]:
    """The lists behind the month's figures: issues, work in progress, price changes."""
    currency = report.currency
    return {
        "issued": plain_rows(report.issued, "job full cash", currency),
        "work_in_progress": plain_rows(
            report.progress,
            "job=number state material material_cash helpers owner_minutes owner other cost"
            " received uncovered",
            currency,
        ),
        "canceled": plain_rows(report.canceled, _CANCELED, currency),
        "late_cost": plain_rows(report.late, LATE, currency),
        "to_refund": plain_rows(report.to_refund, REFUNDED, currency),
        "to_send_back": plain_rows(report.to_send_back, SENT_BACK, currency),
        "to_credit": plain_rows(report.to_credit, TO_CREDIT, currency),
        "price_changes": plain_rows(report.price_changes, "material=code before after day"),
    }


_CANCELED = (
    "job=settlement.job.number day=settlement.canceled.day stage=settlement.canceled.stage"
    " material=progress.material helpers=progress.helpers owner=progress.owner"
    " other=progress.other cost=progress.cost kept=settlement.canceled.kept"
    " tax=settlement.canceled.tax received=settlement.received back=settlement.back"
    " owed=settlement.owed result"
)

"""What is said of a job that is over: what is still to settle, and what came after closing."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from ledger.jobs.jobs import state_words
from ledger.measures.duration import show_minutes
from ledger.measures.money import Currency, Money
from ledger.measures.plain import plain_fields
from ledger.measures.quantity import show_quantity
from ledger.measures.units import show_count

if TYPE_CHECKING:  # help comes without what an account needs
    from ledger.book import Book
    from ledger.book.questions.stock import JobUse
    from ledger.book.tables.ground import Job
    from ledger.jobs.going_back import GoodsToReturn
    from ledger.jobs.late import LateCost
    from ledger.jobs.payments import Refund, Settlement
    from ledger.quotes.excess import Excess
    from ledger.reports.wip import CanceledJob


SETTLED = (
    "job=job.number day=canceled.day stage=canceled.stage kept=canceled.kept received back owed"
)
SENT_BACK, REFUNDED = "job=job.number amount", "job=job.number back"
TO_CREDIT = "job=job.number invoice amount"
LATE = (
    "job=job.number state=job.state since=job.day"
    " material material_cash use_tax helpers owner_minutes owner other cost"
)
"""As JSON: a canceled job, goods and money still to go back, a credit note needed, late cost."""


class OverAccount(Struct, frozen=True):
    """What an account of some days says of jobs that are over, and of invoices to be credited."""

    currency: Currency
    canceled: "Sequence[CanceledJob]"
    late: "Sequence[LateCost]"
    to_refund: "Sequence[Refund]"
    to_send_back: "Sequence[GoodsToReturn]"
    to_credit: "Sequence[Excess]"
    reopened: frozenset[str]

    def state_words(self, number: str, state: str) -> str:
        """The state of a job as it is read, one that was opened again told apart."""
        return state_words(state, is_reopened=number in self.reopened)


def settlement_words(currency: Currency, one: "Settlement") -> str:
    """Say what a canceled job owes, or is owed."""
    show, canceled = currency.show, one.canceled
    sentence = f"{one.job.number} was canceled {canceled.day} {canceled.stage}"
    if one.is_settled:
        return f"{sentence}; {show(canceled.kept)} was kept, and it is settled."
    if one.owed:
        return (
            f"{sentence}: the client still owes {show(one.owed)} of the {show(canceled.kept)} kept."
        )
    return (
        f"{sentence}: {show(one.back)} goes back to the client, of {show(one.received)} received"
        f" {show(canceled.kept)} is kept."
    )


def return_words(currency: Currency, one: "GoodsToReturn", *, with_command: bool = True) -> str:
    """Say what of a canceled job's material has still to go back, and the command for it."""
    number, named = one.job.number, [_goods_name(use) for use in one.goods]
    first = one.goods[0] if one.is_all and len(one.goods) == 1 else None
    what = f"{first.material} {show_quantity(first.quantity)}" if first else "CODE QTY"
    if first is not None and first.material is None:
        what = f"{show_quantity(first.quantity)} --lot {first.lot}"
    words = f" of {', '.join(named)}" if named else ""
    command = f": benchledger stock send-back {what} --job {number}" if with_command else "."
    return f"{number}: still to be sent back, {currency.show(one.amount)}{words}{command}"


def _goods_name(use: "JobUse") -> str:
    return f"{use.material or use.words} {show_count(use.quantity, use.unit)}"


def refund_words(currency: Currency, one: "Refund", *, with_command: bool = True) -> str:
    """Say what of a client's money has still to go back, and the command for it."""
    command = f": benchledger job pay {one.job.number} --refund" if with_command else "."
    return (
        f"{one.job.number} is closed: {currency.show(one.back)} of what the client paid has still"
        f" to go back{command}"
    )


def late_words(currency: Currency, late: "LateCost") -> str:
    """Say what came to a job after it was closed or canceled."""
    show, job = currency.show, late.job
    parts = {"material": late.material, "use tax": late.use_tax, "helper": late.helpers}
    named = [f"{name} {show(amount)}" for name, amount in parts.items() if amount]
    if late.owner_minutes:
        worth = show(late.owner) if late.owner else "at no rate yet"
        named.append(f"your {show_minutes(late.owner_minutes)} {worth}")
    if late.other:
        named.append(f"other {show(late.other)}")
    after = "closing" if job.state == "closed" else "canceling"
    kind = "cost" if late.cost >= Money(0) else "credit"
    head = f"Late {kind} of {job.number} after {after} on {job.day}"
    return f"{head}: {show(abs(late.cost))} ({', '.join(named)})."


def unsettled_words(report: "OverAccount", *, with_commands: bool = True) -> list[str]:
    """What an account says of the jobs that are over: canceled, to go back, late cost."""
    canceled = [settlement_words(report.currency, job.settlement) for job in report.canceled]
    return canceled + leftover_words(report, with_commands=with_commands)


def leftover_words(report: "OverAccount", *, with_commands: bool = True) -> list[str]:
    """What has still to go back to suppliers and clients, and the cost after closing."""
    currency = report.currency
    return [
        *(return_words(currency, one, with_command=with_commands) for one in report.to_send_back),
        *(refund_words(currency, one, with_command=with_commands) for one in report.to_refund),
        *(late_words(currency, late) for late in report.late),
    ]


def credit_words(report: "OverAccount", *, with_commands: bool = True) -> list[str]:
    """Which credit notes are needed, with their sums."""
    show = report.currency
    return [one.words(show, with_command=with_commands) for one in report.to_credit]


def over_json(book: "Book", job: "Job") -> dict[str, Any]:
    """What a job that is over still owes or is owed, and what came after it, as facts or null."""
    from ledger.jobs.late import late_cost_of
    from ledger.jobs.payments import settlement_of

    settled, late = settlement_of(book, job), late_cost_of(book, job)
    return {
        "canceled": plain_fields(settled, SETTLED, book.currency) if settled else None,
        "late_cost": plain_fields(late, LATE, book.currency) if late else None,
    }


def over_words(book: "Book", job: "Job") -> list[str]:
    """Sentences on a job that is over; none where it is open, or closed with nothing after it."""
    from ledger.jobs.going_back import goods_to_return
    from ledger.jobs.late import late_cost_of
    from ledger.jobs.payments import refund_of, settlement_of

    currency = book.currency
    settled, late = settlement_of(book, job), late_cost_of(book, job)
    goods, refund = goods_to_return(book, job), refund_of(book, job)
    sentences = [settlement_words(currency, settled)] if settled else []
    sentences += [return_words(currency, goods)] if goods else []
    sentences += [refund_words(currency, refund)] if refund else []
    return sentences + ([late_words(currency, late)] if late else [])

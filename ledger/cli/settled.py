"""What is said of a job that is over: what is still to settle, and what came after closing."""

from typing import TYPE_CHECKING, Any

from ledger.measures.duration import show_minutes
from ledger.measures.money import Currency, Money

if TYPE_CHECKING:  # help comes without what an account needs
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.jobs.late import LateCost
    from ledger.jobs.payments import Settlement


def settlement_words(currency: Currency, one: "Settlement") -> str:
    """Say what a canceled job owes, or is owed."""
    show, canceled = currency.show, one.canceled
    said = f"{one.job.number} was canceled {canceled.day} {canceled.stage}"
    if one.is_settled:
        return f"{said}; {show(canceled.kept)} was kept, and it is settled."
    if one.owed:
        return f"{said}: the client still owes {show(one.owed)} of the {show(canceled.kept)} kept."
    return (
        f"{said}: {show(one.back)} goes back to the client, of {show(one.received)} received"
        f" {show(canceled.kept)} is kept."
    )


def settlement_facts(currency: Currency, one: "Settlement") -> dict[str, str]:
    """A canceled job as facts: money as decimal strings, the day as ISO 8601."""

    def money(amount: Money) -> str:
        return str(currency.decimal(amount))

    return {
        "job": one.job.number,
        "day": one.canceled.day.isoformat(),
        "stage": one.canceled.stage,
        "kept": money(one.canceled.kept),
        "received": money(one.received),
        "back": money(one.back),
        "owed": money(one.owed),
    }


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
    head = f"Late cost of {job.number} after {after} on {job.day}"
    return f"{head}: {show(late.cost)} ({', '.join(named)})."


def over_facts(book: "Book", job: "Job") -> dict[str, Any]:
    """What a job that is over still owes or is owed, and what came after it, as facts or null."""
    from ledger.jobs.late import late_cost_of
    from ledger.jobs.payments import settlement_of
    from ledger.reports.late import late_facts

    settled, late = settlement_of(book, job), late_cost_of(book, job)
    return {
        "canceled": settlement_facts(book.currency, settled) if settled else None,
        "late_cost": late_facts(late, book.currency) if late else None,
    }


def over_words(book: "Book", job: "Job") -> list[str]:
    """The same in sentences; none for a job that is open, or closed with nothing after it."""
    from ledger.jobs.late import late_cost_of
    from ledger.jobs.payments import settlement_of

    settled, late = settlement_of(book, job), late_cost_of(book, job)
    said = [settlement_words(book.currency, settled)] if settled else []
    return said + ([late_words(book.currency, late)] if late else [])

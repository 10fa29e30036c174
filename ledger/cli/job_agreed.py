"""What was agreed for a job and what changed since, for `benchledger job show`."""

from typing import TYPE_CHECKING, Any

from ledger.measures.duration import to_hours
from ledger.measures.plain import plain_fields

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.jobs.changes import Change


def agreed_pairs(book: "Book", job: "Job") -> dict[str, str]:
    """The agreed price with its tax, and each change order with its state; nothing before that."""
    from ledger.jobs.agreement import agreement_of
    from ledger.jobs.changes import changes

    agreed, show = agreement_of(book, job), book.currency.show
    if agreed is None:
        return {}
    price = f"{show(agreed.price)} and {show(agreed.tax)} tax" if agreed.tax else show(agreed.price)
    rows = {
        row.order.name: f"{row.order.words}, {show(row.order.price)} before tax,"
        f" {row.state} {row.since}"
        for row in changes(book, job)
    }
    return {"agreed": f"{price}, {agreed.source} of {agreed.day}"} | rows


def agreed_json(book: "Book", job: "Job") -> dict[str, Any]:
    """The same as facts: money as decimal strings, days as ISO 8601; null where none is agreed."""
    from ledger.jobs.agreement import agreement_of
    from ledger.jobs.changes import changes

    agreed, currency = agreement_of(book, job), book.currency
    stands = plain_fields(agreed, "source day price tax", currency) if agreed else None
    return {"agreed": stands, "changes": [change_json(book, row) for row in changes(book, job)]}


def change_json(book: "Book", row: "Change") -> dict[str, Any]:
    """A change order as facts."""
    names = "order=order.name words=order.words state since by=how price=order.price"
    payload = plain_fields(row, f"{names} days=order.days", book.currency)
    return payload | {"hours": str(to_hours(row.order.minutes))}

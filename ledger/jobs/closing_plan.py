"""The plan beside which a job without a quote was closed: it stays, whatever prices do later."""

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.income import CloseOutRow, ClosingPlan
from ledger.costing.sheet import CostSheet
from ledger.jobs.agreement import WITHOUT_QUOTE, agreement_of
from ledger.jobs.jobs import state_of
from ledger.measures.frozen import freeze


def keep_plan(book: Book, job: Job, sheet: CostSheet) -> None:
    """Post the plan of a job that is closed, inside its closing; a quote has its own."""
    agreed = agreement_of(book, job)
    if agreed is not None and agreed.source in WITHOUT_QUOTE:
        book.post(ClosingPlan(job=job.key, basis=freeze(sheet)))


def plan_at_closing(book: Book, job: Job) -> bytes:
    """The cost sheet that a closed job was closed beside; nothing where none was kept."""
    plan, closed = book.last(ClosingPlan, job=job.key), book.last(CloseOutRow, job=job.key)
    is_of_it = plan is not None and closed is not None and plan.entry == closed.entry
    return plan.basis if plan and is_of_it and state_of(book, job) == "closed" else b""

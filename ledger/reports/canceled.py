"""Canceled jobs in a time: what left work in progress, what was kept, what is still to settle."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ledger.book import Book
from ledger.book.questions.closing import late_sums
from ledger.book.questions.progress import OpenJob
from ledger.book.tables.counts import JobCost
from ledger.jobs.late import EVER
from ledger.jobs.payments import Settlement, settlements
from ledger.measures.money import Money, total
from ledger.reports.wip import JobInProgress, costs_of_jobs


@dataclass(frozen=True, slots=True)
class CanceledJob:
    """A canceled job: what it had cost until then, and how its settlement stands.

    `progress` is what left work in progress with it, `other` its miles, fees and outside work,
    both without what came after the cancellation.
    """

    settlement: Settlement
    progress: JobInProgress
    other: Money

    @property
    def result(self) -> Money:
        """What was kept before tax, less all that it had cost: negative where it was a loss."""
        kept = self.settlement.canceled.kept - self.settlement.canceled.tax
        return kept - self.progress.cost - self.other


def canceled_jobs(book: Book, first: date, last: date) -> list[CanceledJob]:
    """The jobs that were canceled in a time or are not settled at the end of it, by number."""
    shown = [
        one
        for one in settlements(book, last)
        if not one.is_settled or first <= one.canceled.day <= last
    ]
    return sorted(_with_costs(book, shown, last), key=lambda row: row.settlement.job.number)


def _with_costs(book: Book, shown: Sequence[Settlement], last: date) -> list[CanceledJob]:
    if not shown:
        return []
    known = [OpenJob(s.job.key, s.job.number, s.job.title, "canceled") for s in shown]
    late = late_sums(book, EVER, last)
    costs = {row.number: row for row in costs_of_jobs(book, last, known, late)}
    rows = []
    for one in shown:
        other = total(
            row.amount
            for row in book.rows(JobCost, job=one.job.key, occasion="actual")
            if row.day <= last
        )
        after = total(row.full for row in late if row.job == one.job.key and row.kind == "other")
        rows.append(CanceledJob(one, costs[one.job.number], other - after))
    return rows

"""Whether what was done to a job took apart its joint plan with others."""

from collections.abc import Collection
from typing import TYPE_CHECKING

from ledger.book import Book
from ledger.book.questions.joint import shares_sheets
from ledger.book.tables.ground import Job

if TYPE_CHECKING:
    from ledger.jobs.joint_plans import KeptPlan


def ended_joint_plan(
    book: Book, job: Job, items: Collection[str] | None = None
) -> "KeptPlan | None":
    """The joint plan of a job that holds no longer; None where it holds, or there is none.

    Where `items` are named, only a plan of one of these materials.
    """
    if not shares_sheets(book, job.key):
        return None
    from ledger.jobs.joint_plans import joint_of  # few jobs share sheets

    kept = joint_of(book, job)
    if kept is None or not kept.why_not:
        return None
    is_meant = items is None or any(kept.of(item) for item in items)
    return kept if is_meant else None

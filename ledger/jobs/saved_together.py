"""What a job's material came to less because its sheets were cut together with another job's."""

from collections.abc import Iterable

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.joint import JointShare
from ledger.costing.needs import MaterialNeed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.shared import as_own_plan, is_of, issued_plans, shared_out


def saved_together(
    book: Book, job: Job, needs: Iterable[MaterialNeed]
) -> tuple[tuple[str, Money], ...]:
    """The part of the usage variance that comes of shared sheets, by the jobs that share them.

    At planned prices: the job's share of the sheets beside what they are as good as in its own
    plan. Positive is unfavorable, as all variances are.
    """
    by_item = {need.item: need for need in needs if need.quantity}
    saved: dict[str, Money] = {}
    for plan in issued_plans(book, job.key):
        planned = {
            item: need.quantity for item, need in by_item.items() if is_of(item, plan.material)
        }
        own = as_own_plan(book, job.key, planned)
        for item, as_good_as in own.items():
            taken = sum(
                (
                    out.quantity
                    for out in shared_out(book, plan.key, job.key, book.today)
                    if out.material == item
                ),
                Quantity(0),
            )
            need, extra = by_item[item], (taken - as_good_as).fraction
            others = _others(book, plan.key, job)
            amount = need.full.times(extra / need.quantity.fraction)
            saved[others] = saved.get(others, Money(0)) + amount
    return tuple(saved.items())


def _others(book: Book, plan: int, job: Job) -> str:
    """The numbers of the jobs that share a plan with one."""
    numbers = [share.job for share in book.rows(JointShare, joint_plan=plan)]
    others = [other.number for other in book.rows_of(Job, numbers) if other.key != job.key]
    return " + ".join(sorted(others))

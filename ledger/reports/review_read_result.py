"""What a review's result needs to know of the book: who paid, who was paid, what was lost."""

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.month import landed_by_supplier
from ledger.book.questions.review import (
    bills_of_others,
    costs_of_jobs,
    gifts_sent_back,
    helper_pay,
    kept_by_suppliers,
    lost_stock,
)
from ledger.book.tables.ground import Job
from ledger.jobs.agreement import asked_for
from ledger.jobs.late import EVER, late_costs
from ledger.jobs.payments import Refund, Settlement, received_on, refunds, settlements
from ledger.measures.money import Money, total
from ledger.reports.review_result import Amounts, Moved
from ledger.reports.wip import CanceledJob, money_in


def still_owed(book: Book, numbers: Sequence[str], day: date) -> Amounts:
    """What clients still owed with tax at the end of a day on closed jobs, those paid left out."""
    owed = []
    for number in numbers:
        job = book.last(Job, number=number)
        if job is not None:
            asked = total(due.asked for due in asked_for(book, job, day))
            owed.append((number, asked - received_on(book, job, day)))
    return tuple((number, amount) for number, amount in owed if amount > Money(0))


def held(book: Book, day: date) -> Amounts:
    """What clients had paid with tax by the end of a day on jobs whose work is not done."""
    return tuple((row.job, row.held) for row in money_in(book, day, day) if row.held)


def to_go_back(book: Book, day: date) -> Amounts:
    """What had still to go back at the end of a day on closed and on canceled jobs."""
    several: list[Refund | Settlement] = [*refunds(book, day), *settlements(book, day)]
    return tuple((one.job.number, one.back) for one in several if one.back)


LOST = {
    "scrap": "thrown away", "damage": "damaged", "own_use": "the shop's own use",
    "giveaway": "given away", "count": "counted short",
}  # fmt: skip


def moved_money(
    book: Book, first: date, last: date, canceled: Sequence[CanceledJob], overhead: Money | None
) -> Moved:
    """The money and the lost material of some days; `canceled` are the jobs canceled in them."""
    kept = kept_by_suppliers(book, first, last)
    pay = [
        (row, row.rate.times(Fraction(row.minutes, 60))) for row in helper_pay(book, first, last)
    ]
    bills = bills_of_others(book, first, last)
    return Moved(
        clients=tuple((row.job, row.received - row.tax) for row in money_in(book, first, last)),
        bought=(
            *((row.name, row.amount) for row in landed_by_supplier(book, first, last)),
            *((bill.supplier, -bill.landed) for bill in bills),
        ),
        helpers=tuple((row.person, amount) for row, amount in pay),
        shop_help=total(amount for row, amount in pay if not row.has_job),
        costs=(
            *costs_of_jobs(book, first, last),
            *((bill.job, bill.landed) for bill in bills),
        ),
        lost=tuple(
            (LOST.get(kind, kind), amount) for kind, amount in lost_stock(book, first, last)
        ),
        sent_back=(
            ("kept by suppliers", kept.goods),
            ("freight lost", kept.freight),
            ("given, and back with the giver", gifts_sent_back(book, first, last)),
        ),
        canceled=tuple(_left_by_canceled(book, canceled, last)),
        overhead=overhead,
    )


def _left_by_canceled(
    book: Book, canceled: Sequence[CanceledJob], last: date
) -> Iterator[tuple[str, Money]]:
    """What each canceled job left, with what came to it or went back since, up to a day.

    The owner's hours are no cost here: the result stands before any pay.
    """
    since = {late.job.job: late.cost - late.owner for late in late_costs(book, EVER, last)}
    for one in canceled:
        job = one.settlement.job
        yield job.number, one.result + one.progress.owner - since.get(job.key, Money(0))

"""The hours that a job's own are compared with, kept so that an entry need not work them out."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import WorkOfMonth, WorkSum, changed_since, planned_hours
from ledger.book.tables.ground import Job
from ledger.labor.estimate import total_hours
from ledger.labor.people import OWNER
from ledger.measures.duration import to_hours

COUNTED = frozenset({"work", "first_time"})
"""The classes that an estimate foresaw; rework and change orders stand apart."""


def save_plan(book: Book, job: Job, hours: Mapping[str, Decimal], *, quoted: bool = False) -> None:
    """Keep a job's estimated hours by operation; those of an accepted quote stay for good."""
    from ledger.book.tables.labor import HoursPlan  # reading a plan makes no class

    with book.entry("hours plan", job.number):
        for operation, estimate in hours.items():
            row = HoursPlan(job=job.key, operation=operation, hours=estimate, basis="estimate")
            row.basis = "quote" if quoted else "estimate"
            book.post(row)


def plan_of(book: Book, job: Job) -> dict[str, Decimal] | None:
    """A job's planned hours by operation; None where none are kept or its design changed since."""
    rows = planned_hours(book, job.key)
    if not rows:
        return None
    if rows[0].basis == "estimate" and changed_since(book, job.key, rows[0].entry):
        return None
    return {row.operation: Decimal(row.hours) for row in rows}


class HoursStanding(Struct, frozen=True):
    """Where the hours of a job stand beside what was planned; None where nothing was.

    `fewer` are the minutes that approved changes took off: `job_planned` comes without them.
    """

    minutes: int
    planned: Decimal | None
    job_minutes: int
    job_planned: Decimal | None
    not_foreseen: int
    fewer: int = 0


def still_agreed(planned: Decimal, fewer: int) -> Decimal:
    """Hours planned for a job without the minutes that approved changes took off, 0 at the least.

    >>> still_agreed(Decimal("10.50"), 120), still_agreed(Decimal("1.50"), 120)
    (Decimal('8.50'), Decimal('0.00'))
    """
    return max(planned - to_hours(fewer), Decimal("0.00"))


def standing(
    work: Iterable[WorkSum],
    plan: Mapping[str, Decimal] | None,
    *,
    operation: str = "",
    group: str = "",
    fewer: int = 0,
) -> HoursStanding:
    """The hours so far of an operation (or of a whole group), and of the job that was worked on.

    `not_foreseen` are the minutes of rework and change orders, which the estimate did not foresee;
    `fewer` those that approved changes took off the whole job.
    """
    rows = [row for row in work if row.group is not None]
    foreseen = [row for row in rows if row.kind in COUNTED]
    named = [
        row for row in foreseen if (row.operation == operation if operation else row.group == group)
    ]
    planned = job_planned = None
    if plan is not None:
        job_planned = still_agreed(total_hours(plan.values()), fewer)
        codes = {operation} if operation else {row.operation or "" for row in named}
        planned = total_hours(hours for code, hours in plan.items() if code in codes)
    return HoursStanding(
        minutes=sum(row.minutes for row in named),
        planned=planned,
        job_minutes=sum(row.minutes for row in foreseen),
        job_planned=job_planned,
        not_foreseen=sum(row.minutes for row in rows) - sum(row.minutes for row in foreseen),
        fewer=fewer,
    )


def worked_on_changes(work: Iterable[WorkSum | WorkOfMonth]) -> int:
    """Minutes of a job's work that were logged on change orders, whatever became of these."""
    return sum(row.minutes for row in work if row.kind == "change_order")


def hours_left(
    plan: Mapping[str, Decimal],
    groups: Mapping[str, str],
    work: Iterable[WorkSum | WorkOfMonth],
    helpers: Mapping[str, Decimal] | None = None,
) -> Fraction:
    """What is left to do, line by line: a line that ran over takes nothing from another.

    Hours of a whole group are taken from its lines, as far as these reach. `groups` has the group
    of each operation. Where `helpers` has what helpers are to do beside the plan, their hours are
    taken from that first, and only what goes beyond it from the plan.
    """
    left = {code: Fraction(hours) for code, hours in plan.items()}
    beside = {code: Fraction(hours) for code, hours in (helpers or {}).items()}
    foreseen = [row for row in work if row.kind in COUNTED]
    for row in sorted(foreseen, key=lambda one: one.operation is None):
        worked = Fraction(row.minutes, 60)
        for hours in (beside, left) if row.person != OWNER else (left,):
            whole = (code for code in hours if groups.get(code) == row.group)
            for code in [row.operation] if row.operation else list(whole):
                taken = min(hours.get(code, Fraction(0)), worked)
                worked -= taken
                if taken:
                    hours[code] -= taken
    return sum(left.values(), Fraction(0))

"""A job's hours so far, operation by operation, beside their estimate."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from ledger.book import Book
from ledger.book.questions.labor import WorkSum, work_of_job
from ledger.book.tables.ground import Job
from ledger.cli import voice
from ledger.cli.labor import PlannedJob
from ledger.jobs.changes import changed_minutes
from ledger.labor.estimate import total_hours
from ledger.labor.plan import COUNTED, hours_left
from ledger.labor.standards import standards
from ledger.measures.duration import show_minutes, to_hours
from ledger.measures.rounding import half_up_whole

CHANGES = "CO"
"""The line of the hours of change orders that were approved; it is no operation."""


def say_job(book: Book, job: Job, *, as_json: bool) -> None:
    """Say the hours of a job: each operation beside its estimate, then what stands apart."""
    rows = work_of_job(book, job.key)
    plan = PlannedJob(book, job).hours or {}
    foreseen = [row for row in rows if row.kind in COUNTED and row.group is not None]
    minutes = {key: _sum(foreseen, key) for key in dict.fromkeys([*plan, *map(_key, foreseen)])}
    changed, worked = changed_minutes(book, job)
    minutes_apart: dict[str, int] = {}
    for row in rows:
        if row not in foreseen and not (changed and row.kind == "change_order"):
            label = row.task or row.kind.replace("_", " ")
            minutes_apart[label] = minutes_apart.get(label, 0) + row.minutes
    known = standards(book).values()
    ahead = hours_left(plan, {row.code: row.group for row in known}, rows)
    left = half_up_whole(ahead * 60) + max(changed - worked, 0)
    if changed:
        plan, minutes = {**plan, CHANGES: to_hours(changed)}, {**minutes, CHANGES: worked}
    if as_json:
        voice.print_json(_json(job, plan, minutes, minutes_apart))
        return
    voice.heading(f"{job.number} {job.title}")
    names = {row.code: row.name for row in known} | {CHANGES: "approved change orders"}
    voice.table(
        ["", "operation", ("estimated", "right"), ("so far", "right"), ("left", "right")],
        [[key, names.get(key, "the whole group"), *_cells(plan.get(key), done)]
         for key, done in minutes.items()],
        footer=["", "in all", *_footer(plan, sum(minutes.values()), left)],
    )  # fmt: skip
    if minutes_apart:
        voice.pairs(
            {f"apart, {label}": show_minutes(done) for label, done in minutes_apart.items()}
        )


def _key(row: WorkSum) -> str:
    return row.operation or row.group or ""


def _sum(rows: Sequence[WorkSum], key: str) -> int:
    return sum(row.minutes for row in rows if _key(row) == key)


def _cells(planned: Decimal | None, done: int) -> list[str]:
    so_far = show_minutes(done) if done else "not logged"
    if not planned:
        return ["", so_far, ""]
    estimated = half_up_whole(planned * 60)
    left = estimated - done
    return [show_minutes(estimated), so_far,
            show_minutes(left) if left >= 0 else f"{show_minutes(-left)} over"]  # fmt: skip


def _footer(plan: Mapping[str, Decimal], done: int, left: int) -> list[str]:
    """The sums; what is left is a sum of lines, for a line that ran over finishes no other."""
    estimated, so_far, _ = _cells(total_hours(plan.values()), done)
    return [estimated, so_far, show_minutes(left) if plan else ""]


def _json(
    job: Job,
    plan: Mapping[str, Decimal],
    minutes: Mapping[str, int],
    minutes_apart: Mapping[str, int],
) -> dict[str, object]:
    return {
        "job": job.number,
        "operations": [
            {
                "operation": key,
                "estimate": str(plan[key]) if key in plan else None,
                "hours": str(to_hours(done)) if done else None,
            }
            for key, done in minutes.items()
        ],
        "estimate": str(total_hours(plan.values())),
        "hours": str(to_hours(sum(minutes.values()))),
        "apart": {label: str(to_hours(done)) for label, done in minutes_apart.items()},
    }

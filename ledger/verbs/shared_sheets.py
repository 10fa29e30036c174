"""Sheets that jobs share at the bench: issued once, each job its share, and taken back alike."""

from collections.abc import Sequence

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.joint import JointPlan
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.joint_plans import KeptPlan, joint_of
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.spoken import large
from ledger.stock.joint import issue_shared, put_back_shared
from ledger.stock.shared import is_of
from ledger.verbs.stock import Moved, moved_of
from ledger.verbs.typed_items import Item, read_job_item, require_whole


class JobPart(Struct, frozen=True):
    """One job's part of shared sheets: how much of them, at what they cost."""

    job: str
    quantity: Quantity
    full: Money


class SharedMove(Struct, frozen=True):
    """Sheets that went to the jobs of a joint plan or came back, and each job's part of them."""

    names: str
    moved: tuple[Moved, ...]
    parts: tuple[JobPart, ...]


def issue_together(
    book: Book, words: Sequence[str], *, lot: int | None = None, on: str = "today", why: str = ""
) -> SharedMove:
    """Issue sheets of a joint plan once: `J-2507 PLY34 8`, with any of its jobs.

    Raises:
        BadValue: there are too few words, or a part of a sheet.
        NotAllowed: the job shares no such sheets now, or as an issue to one job.
    """
    kept, plan, item = _read(book, words, lot)
    require_whole(book, item)
    if kept.why_not:
        raise NotAllowed(
            f"{large(kept.words)}. Issue them to each job: benchledger stock issue JOB"
            f" {plan.material} QTY"
        )
    rows = issue_shared(
        book, plan.key, item.material, item.quantity, lot=lot, day=book.dates.read(on), reason=why
    )
    return _shared_move(book, kept, rows)


def give_back_together(
    book: Book, words: Sequence[str], *, lot: int | None = None, on: str = "today", why: str = ""
) -> SharedMove:
    """Take back sheets of a joint plan from all of its jobs: `J-2507 PLY34 1`.

    Raises:
        BadValue: there are too few words, or a part of a sheet.
        NotAllowed: the job shares no such sheets, or its jobs do not have that many.
    """
    kept, plan, item = _read(book, words, lot)
    require_whole(book, item)
    rows = put_back_shared(
        book, plan.key, item.material, item.quantity, lot=lot, day=book.dates.read(on), reason=why
    )
    return _shared_move(book, kept, rows)


def _read(book: Book, words: Sequence[str], lot: int | None) -> tuple[KeptPlan, JointPlan, Item]:
    """The joint plan of a job that has this material, and how much of it."""
    job, item = read_job_item(book, words, lot)
    kept = joint_of(book, job)
    if kept is None:
        raise NotAllowed(
            f"{job.number} is not cut together with another job. Lay them together first:"
            f" benchledger layout {job.number} JOB --together"
        )
    code = item.material
    if code is None and lot and (row := book.row(Lot, lot)) is not None:
        code = row.material
    plan = next((plan for plan in kept.plans if is_of(code or "", plan.material)), None)
    if plan is None:
        shared = ", ".join(plan.material for plan in kept.plans)
        raise BadValue(
            f"{kept.names} share {shared}, not {code or f'lot {lot}'}; issue that to each job"
            " without --together."
        )
    return kept, plan, item


def _shared_move(book: Book, kept: KeptPlan, rows: Sequence[Movement]) -> SharedMove:
    parts = []
    for job in kept.jobs:
        mine = [row for row in rows if row.job == job.key]
        quantity = sum((row.quantity for row in mine), Quantity(0))
        size = -quantity if quantity.millionths < 0 else quantity
        parts.append(JobPart(job.number, size, abs(total(row.full for row in mine))))
    return SharedMove(kept.names, moved_of(book, rows), tuple(parts))

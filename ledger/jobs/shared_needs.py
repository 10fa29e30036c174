"""What jobs that are cut together still need of their sheets: one need for all of them.

It stands until the sheets are issued. From then on each job has what its own plan takes.
"""

from collections import Counter
from collections.abc import Container, Iterator, Sequence

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.joint import JointPlan
from ledger.book.tables.stock import Lot
from ledger.jobs.joint_plans import joint_of, layout_of, shares_of
from ledger.measures.quantity import Quantity
from ledger.stock.cover import Goods, Pots
from ledger.stock.shared import is_of, shared_now, shared_out


class CutTogether(Struct, frozen=True):
    """Sheets that jobs share and that are not all issued: how many together, how many alone.

    `needs` are new sheets by their code, `lots` pieces of the rack that are cut too.
    """

    jobs: tuple[str, ...]
    material: str
    sheets: int
    alone: tuple[int, ...]
    needs: dict[str, Quantity]
    lots: tuple[int, ...]
    given: Pots

    @property
    def names(self) -> str:
        """The numbers of the jobs, as `J-2507 + J-2508`."""
        return " + ".join(self.jobs)

    def others(self, jobs: Container[str]) -> tuple[str, ...]:
        """The numbers of its jobs but those that are named."""
        return tuple(job for job in self.jobs if job not in jobs)

    def takes(self, job: str, material: str) -> bool:
        """Whether a job's need of a material is part of this one."""
        return job in self.jobs and is_of(material, self.material)

    def words(self, sheets: str) -> str:
        """The group as a buying list says it, with the number of its sheets as it is said."""
        alone = " + ".join(map(str, self.alone))
        return f"cut together: {self.names}, {self.material} {sheets} (alone {alone})"


class SharedNeeds(Struct, frozen=True):
    """The groups of some jobs that share sheets, and of plans that hold no longer, why."""

    groups: tuple[CutTogether, ...] = ()
    broken: tuple[str, ...] = ()

    def of(self, job: str) -> list[CutTogether]:
        """The groups that a job is in."""
        return [group for group in self.groups if job in group.jobs]

    def takes(self, job: str, material: str) -> bool:
        """Whether a job's need of a material stands with a group."""
        return any(group.takes(job, material) for group in self.groups)


def shared_needs(book: Book, jobs: Sequence[Job]) -> SharedNeeds:
    """What some jobs share with each other or with others, each group once."""
    plans = {kept.entry: kept for job in jobs if (kept := joint_of(book, job)) is not None}
    broken = tuple(
        f"{kept.words} (take it back: benchledger undo {kept.entry})."
        for kept in plans.values()
        if kept.why_not
    )
    groups = [
        group
        for kept in plans.values()
        for plan in kept.plans
        if not kept.why_not
        for group in _group(book, plan, kept.jobs)
    ]
    return SharedNeeds(tuple(groups), broken)


def _group(book: Book, plan: JointPlan, jobs: Sequence[Job]) -> Iterator[CutTogether]:
    """The need of one material, nothing where all its sheets are issued."""
    layout = layout_of(plan)
    new = Counter(sheet.label for sheet in layout.sheets if sheet.source == "new")
    if new and shared_now(book, plan, book.today) >= Quantity.of(plan.new_sheets):
        return
    shares = {share.job: share.alone_sheets for share in shares_of(book, plan)}
    mine = [job for job in jobs if job.key in shares]
    rack = [sheet.label for sheet in layout.sheets if sheet.source == "rack"]
    given: Pots = {}
    for job in mine:
        for out in shared_out(book, plan.key, job.key, book.today):
            lot = book.row(Lot, out.lot)
            if lot is not None and lot.material and lot.source != "offcut":
                given.setdefault(lot.material, []).append(Goods(out.quantity, lot.sponsor))
    yield CutTogether(
        tuple(job.number for job in mine),
        plan.material,
        plan.sheets,
        tuple(shares[job.key] for job in mine),
        {code or plan.material: Quantity.of(count) for code, count in new.items()},
        tuple(int(label.removeprefix("lot ")) for label in rack),
        given,
    )

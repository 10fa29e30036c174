"""Laying jobs together: one search for the parts of several jobs, and each job's share of it.

Quotes and prices never depend on it, for the other job may be declined: a job's own layout is kept
beside it, and its hours stay priced from that one.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.joint import JointPlan, JointShare
from ledger.book.tables.page import CutPart
from ledger.costing.shared import JobShare, Sharing, SheetCost, share_out, sheet_cost
from ledger.cutting.joining import joined
from ledger.cutting.layout import Layout
from ledger.cutting.problem import Problem
from ledger.cutting.record import layout_to_dict
from ledger.cutting.solve import solve
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.assembling import assemble, problems_now
from ledger.jobs.jobs import is_won
from ledger.jobs.joint_plans import (
    KeptPlan,
    has_taken,
    joint_of,
    names_of,
    over_words,
    parts_of,
    question_of,
    read_plan,
    shares_of,
)
from ledger.jobs.lines import is_known
from ledger.jobs.plans import MaterialLayout, Progress
from ledger.measures.spoken import how_many, large
from ledger.measures.values import replace
from ledger.stock.shared import is_issued

VERB = "layout together"
"""The verb of the entries that hold joint plans."""


class JointMaterial(Struct, frozen=True):
    """One material that jobs share: what is cut from what, how, and who pays what."""

    problem: Problem
    layout: Layout
    sharing: Sharing


class JointLayout(Struct, frozen=True):
    """The sheets of jobs that are cut together; `not_shared` says of what is not, why.

    `entry` keeps it since `day`, None where it is not kept yet; while sheets of it `are_issued` it
    is not to be taken back.
    """

    jobs: tuple[Job, ...]
    materials: tuple[JointMaterial, ...]
    not_shared: tuple[str, ...] = ()
    entry: int | None = None
    day: date | None = None
    are_issued: bool = False

    @property
    def names(self) -> str:
        """The numbers of the jobs, as `J-2507 + J-2508`."""
        return names_of(self.jobs)


def lay_together(
    book: Book, jobs: Sequence[Job], *, harder: bool = False, progress: Progress | None = None
) -> JointLayout:
    """Lay the parts of jobs together, or read the joint plan of just these; nothing is posted.

    Raises:
        BadValue: fewer than two jobs, or one of them twice.
        NotAllowed: a job has nothing to cut, is cut already or in another joint plan, or cutting
            them together saves nothing.
    """
    chosen = _chosen(jobs)
    not_shared: list[str] = []
    for job in chosen:
        kept = joint_of(book, job)
        if kept is None:
            continue
        if kept.why_not:
            not_shared.append(f"{large(kept.words)}.")
            continue
        if kept.names == names_of(chosen):
            return read_joint(book, kept)
        raise NotAllowed(
            f"{job.number} is cut together with {kept.others(job)} already. Take that back first:"
            f" benchledger undo {kept.entry}"
        )
    for job in chosen:
        _require_cuttable(book, job)
    alone = _alone(book, chosen, progress)
    if bare := [number for number, plans in alone.items() if not plans]:
        raise NotAllowed(f"{bare[0]} has no parts that are cut from sheets.")
    materials = []
    for code in dict.fromkeys(code for plans in alone.values() for code in plans):
        mine = [job for job in chosen if code in alone[job.number]]
        own = {job.number: alone[job.number][code].layout for job in mine}
        if words := _not_shared(book, code, mine, own):
            not_shared.append(words)
            continue
        question = joined({job.number: problems_now(book, job)[code] for job in mine})
        one = _joint(book, question, own, harder=harder, progress=progress)
        if one.sharing.is_worth_it:
            materials.append(one)
        else:
            not_shared.append(_not_worth(book, code, one.sharing))
    _require_shared(chosen, materials, not_shared)
    return JointLayout(tuple(chosen), tuple(materials), tuple(dict.fromkeys(not_shared)))


def keep_together(book: Book, laid: JointLayout) -> JointLayout:
    """Post a joint plan, all of its materials in one entry; one that is kept stays as it is."""
    if laid.entry is not None:
        return laid
    words = ", ".join(
        f"{one.problem.material} {how_many(len(one.layout.sheets), 'sheet')}"
        for one in laid.materials
    )
    jobs = {job.number: job.key for job in laid.jobs}
    with book.entry(VERB, f"{laid.names}: {words}") as entry:
        for one in laid.materials:
            plan = book.post(_plan_row(one))
            for share in one.sharing.shares:
                book.post(_share_row(plan, jobs[share.job], share, one.problem))
        return replace(laid, entry=entry.id, day=book.today)


def read_joint(book: Book, kept: KeptPlan) -> JointLayout:
    """A joint plan as it was laid, with the shares that were worked out then."""
    materials = tuple(
        JointMaterial(*read_plan(book, plan), _sharing(book, plan)) for plan in kept.plans
    )
    having: dict[str, list[Job]] = {}
    for job in kept.jobs:
        for code in problems_now(book, job):
            having.setdefault(code, []).append(job)
    not_shared = [
        _only(code, jobs[0]) if len(jobs) == 1 else f"{code}: each job keeps its own layout."
        for code, jobs in having.items()
        if kept.of(code) is None
    ]
    issued = any(is_issued(book, plan) for plan in kept.plans)
    return JointLayout(kept.jobs, materials, tuple(not_shared), kept.entry, kept.day, issued)


def _chosen(jobs: Sequence[Job]) -> list[Job]:
    names = [job.number for job in jobs]
    if twice := [name for name in names if names.count(name) > 1]:
        raise BadValue(f"{twice[0]} is named twice; name each job once.")
    if len(jobs) < 2:
        raise BadValue(
            "One job alone shares no sheets. Name two or more:"
            " benchledger layout J-2507 J-2508 --together"
        )
    return sorted(jobs, key=lambda job: job.number)


def _require_cuttable(book: Book, job: Job) -> None:
    """Refuse a job that has nothing left to cut, or nothing that says what it is made of."""
    if why := over_words(book, job):
        raise NotAllowed(f"{large(why)}; only jobs that are still to be cut share sheets.")
    if not is_known(book, job):
        raise NotAllowed(
            f"{job.number} has no design or parts list yet, so nothing of it can be laid out:"
            f" benchledger job set {job.number} --design NAME, or --parts FILE"
        )


def _not_shared(book: Book, material: str, jobs: Sequence[Job], alone: Mapping[str, Layout]) -> str:
    """Why one material is not laid together at all, empty where it is."""
    if len(jobs) < 2:
        return _only(material, jobs[0])
    taken = [job.number for job in jobs if has_taken(book, job, material)]
    if taken:
        return f"{material}: {' and '.join(taken)} took sheets of it already."
    cut = [
        job.number
        for job in jobs
        if book.last(CutPart, job=job.key, layout=alone[job.number].digest) is not None
    ]
    return f"{material}: parts of {' and '.join(cut)} are cut already." if cut else ""


def _only(material: str, job: Job) -> str:
    return f"{material}: only {job.number} has parts of it."


def _alone(
    book: Book, jobs: Sequence[Job], progress: Progress | None
) -> dict[str, Mapping[str, MaterialLayout]]:
    """How each job is cut alone; a piece on the rack goes to one of them, to those won first."""
    alone: dict[str, Mapping[str, MaterialLayout]] = {}
    used: list[int] = []
    for job in sorted(jobs, key=lambda job: (not is_won(book, job), job.key)):
        made = assemble(book, job, progress=progress, without=used)
        alone[job.number] = made.plans
        used += [
            made.rack[sheet.label].lot
            for plan in made.plans.values()
            for sheet in plan.layout.sheets
            if sheet.source == "rack"
        ]
    return {job.number: alone[job.number] for job in jobs}


def _joint(
    book: Book,
    problem: Problem,
    alone: Mapping[str, Layout],
    *,
    harder: bool,
    progress: Progress | None,
) -> JointMaterial:
    layout = solve(problem, harder=harder, progress=progress)
    value = book.settings.offcut_value
    costs = {number: sheet_cost(own, value) for number, own in alone.items()}
    return JointMaterial(problem, layout, share_out(sheet_cost(layout, value), costs))


def _not_worth(book: Book, material: str, sharing: Sharing) -> str:
    """Why cutting one material together is not worth it, with both figures."""
    show, alone = book.currency.show, sharing.alone
    counts = " + ".join(str(share.alone.sheets) for share in sharing.shares)
    return (
        f"{material}: together {how_many(sharing.together.sheets, 'sheet')},"
        f" {show(sharing.together.sheets_cost)} with offcuts worth"
        f" {show(sharing.together.offcuts)}; alone {counts}, {show(alone.sheets_cost)} with"
        f" offcuts worth {show(alone.offcuts)}. Together saves nothing or makes it dearer for"
        " one of them."
    )


def _require_shared(
    jobs: Sequence[Job], materials: Sequence[JointMaterial], not_shared: Sequence[str]
) -> None:
    """Refuse where nothing is shared, or a job shares nothing."""
    shared = {share.job for one in materials for share in one.sharing.shares}
    idle = [job.number for job in jobs if job.number not in shared]
    if not materials:
        raise NotAllowed(f"Nothing is cut together. {' '.join(not_shared)}")
    if idle:
        raise NotAllowed(
            f"{' and '.join(idle)} would share no sheet with the others; leave it out."
            f" {' '.join(not_shared)}"
        )


def _plan_row(one: JointMaterial) -> JointPlan:
    body = layout_to_dict([(one.problem, one.layout)], digits=0)
    return JointPlan(
        material=one.problem.material,
        layout=one.layout.digest,
        question=question_of(one.problem, one.layout),
        sheets=len(one.layout.sheets),
        new_sheets=sum(sheet.source == "new" for sheet in one.layout.sheets),
        sheets_cost=one.sharing.together.sheets_cost,
        offcuts=one.sharing.together.offcuts,
        plan=json.dumps(body, sort_keys=True, separators=(",", ":")),
    )


def _share_row(plan: JointPlan, job: int, share: JobShare, problem: Problem) -> JointShare:
    return JointShare(
        joint_plan=plan.key,
        job=job,
        parts=parts_of(problem, share.job),
        alone_sheets=share.alone.sheets,
        alone_sheets_cost=share.alone.sheets_cost,
        alone_offcuts=share.alone.offcuts,
        sheets_cost=share.sheets_cost,
        offcuts=share.offcuts,
    )


def _sharing(book: Book, plan: JointPlan) -> Sharing:
    """What a kept plan says of the cost and of each job's share."""
    shares = []
    for row in shares_of(book, plan):
        job = book.row(Job, row.job)
        alone = SheetCost(row.alone_sheets, row.alone_sheets_cost, row.alone_offcuts)
        number = job.number if job else ""
        shares.append(JobShare(number, alone, row.sheets_cost, row.offcuts))
    return Sharing(SheetCost(plan.sheets, plan.sheets_cost, plan.offcuts), tuple(shares))

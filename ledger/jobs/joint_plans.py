"""Joint plans as the book keeps them: which one a job is in, whether it holds, how it is cut.

A plan holds until one of its jobs is over, is joined anew or takes such sheets alone, or its parts,
sheets or prices change; then each job goes by its own layout again, which was kept all the time.
Once its sheets are issued only its parts can make it untrue. Nothing is laid out to say so.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.stock import taken_by_job
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.joint import JointPlan, JointShare
from ledger.book.tables.quotes import Quote, QuoteState
from ledger.cutting.joining import joined
from ledger.cutting.layout import Layout
from ledger.cutting.problem import Problem
from ledger.cutting.record import layouts_from_dict
from ledger.errors import NotAllowed
from ledger.jobs.assembling import problems_now
from ledger.jobs.jobs import SHUT, state_of, state_words
from ledger.measures.spoken import large
from ledger.measures.values import replace
from ledger.stock.shared import is_issued

CUT_STATES = frozenset({"ready", "installed", *SHUT})
"""States in which a job has nothing left to cut."""

type Problems = Mapping[str, Mapping[str, Problem]]
"""What is to be laid out of jobs now, by their numbers and by material."""


class KeptPlan(Struct, frozen=True):
    """A joint plan by material; `why_not` says why it holds no longer, empty where it does."""

    entry: int
    day: date
    jobs: tuple[Job, ...]
    plans: tuple[JointPlan, ...]
    why_not: str = ""

    @property
    def names(self) -> str:
        """The numbers of the jobs, as `J-2507 + J-2508`."""
        return names_of(self.jobs)

    @property
    def words(self) -> str:
        """That it holds no longer, and why."""
        return (
            f"the joint plan of {self.names} of {self.day} holds no longer, for {self.why_not};"
            " each goes by its own layout"
        )

    def of(self, material: str) -> JointPlan | None:
        """What is kept of one material."""
        return next((plan for plan in self.plans if plan.material == material), None)

    def others(self, job: Job) -> str:
        """The numbers of the jobs beside one."""
        return names_of([one for one in self.jobs if one.key != job.key])


def names_of(jobs: Sequence[Job]) -> str:
    """The numbers of jobs that are cut together, as `J-2507 + J-2508`."""
    return " + ".join(job.number for job in jobs)


def joint_of(book: Book, job: Job) -> KeptPlan | None:
    """The joint plan that a job was last put into, whether it holds or not; None without one."""
    share = book.last(JointShare, job=job.key)
    first = book.row(JointPlan, share.joint_plan) if share else None
    return None if first is None else _kept(book, first.entry)


def outgrown_by(book: Book, job: Job) -> frozenset[str]:
    """The materials of a job's joint plan that parts changed since no longer fit."""
    kept = joint_of(book, job)
    if kept is None or not kept.why_not:
        return frozenset()
    now = {one.number: _problems(book, one) for one in kept.jobs}
    return frozenset(plan.material for plan in kept.plans if any(_parts_changed(book, plan, now)))


def joint_words(book: Book, job: Job) -> str:
    """What is to be minded beside a job's own layout: that it is cut with others, or no longer."""
    kept = joint_of(book, job)
    if kept is None:
        return ""
    if kept.why_not:
        return f"{large(kept.words)}."
    shared = ", ".join(plan.material for plan in kept.plans)
    numbers = " ".join(one.number for one in kept.jobs)
    return (
        f"{shared} of {job.number} is cut together with {kept.others(job)}; this is its own layout,"
        f" by which it is priced. The shared sheets: benchledger layout {numbers} --together"
    )


def _kept(book: Book, entry: int) -> KeptPlan:
    plans = tuple(book.rows(JointPlan, entry=entry))
    numbers = {share.job for plan in plans for share in shares_of(book, plan)}
    jobs = sorted(book.rows_of(Job, numbers), key=lambda job: job.number)
    kept = KeptPlan(entry, book.entry_of(entry).day, tuple(jobs), plans)
    return replace(kept, why_not=next(_broken(book, kept), ""))


def shares_of(book: Book, plan: JointPlan) -> list[JointShare]:
    """The shares of one material's plan, in the order in which they were posted."""
    return book.rows(JointShare, joint_plan=plan.key)


def has_taken(book: Book, job: Job, material: str) -> bool:
    """Whether a job has sheets or pieces of a material that it did not bring back."""
    return any(use.material == material and use.quantity for use in taken_by_job(book, job.key))


def read_plan(book: Book, plan: JointPlan) -> tuple[Problem, Layout]:
    """What is cut of one material, and how; parts that have changed since are as they are now.

    Raises:
        NotAllowed: a job of it has lost its design.
    """
    jobs = book.rows_of(Job, [share.job for share in shares_of(book, plan)])
    now = {job.number: problems_now(book, job) for job in jobs}
    problem, layout = _joint_now(now, plan), layout_of(plan)
    if problem is None:
        raise NotAllowed(f"The jobs of this joint plan have no {plan.material} any more.")
    return replace(problem, kerf_nm=layout.kerf_nm), layout


def question_of(problem: Problem, layout: Layout) -> str:
    """A fingerprint of what a joint layout answers, without prices and sheets it does not use."""
    used = {(sheet.source, sheet.label) for sheet in layout.sheets}
    stocks = [replace(s, cost=0) for s in problem.stocks if (s.source, s.label) in used]
    return replace(problem, stocks=tuple(stocks)).digest("joint", 0)


def parts_of(problem: Problem, job: str) -> str:
    """A fingerprint of one job's parts in a joint question, whatever they are cut from."""
    own = tuple(piece for piece in problem.pieces if piece.id.startswith(f"{job} "))
    return Problem(problem.material, own, (), 0).digest("parts", 0)


def over_words(book: Book, job: Job) -> str:
    """Why nothing of a job is to be cut any more, empty where something is."""
    state = state_of(book, job)
    if state in CUT_STATES:
        return f"{job.number} is {state_words(state)}"
    return f"the quote of {job.number} was declined" if _is_declined(book, job) else ""


def _is_declined(book: Book, job: Job) -> bool:
    """Whether the client declined last, and nothing was drafted or entered since."""
    states = [
        state
        for quote in book.rows(Quote, job=job.key)
        for state in book.rows(QuoteState, quote=quote.key)
    ]
    last = max(states, key=lambda state: state.key, default=None)
    entered = book.last(JobState, job=job.key)
    is_last = last is not None and (entered is None or entered.entry < last.entry)
    return is_last and last is not None and last.state == "declined"


def _broken(book: Book, kept: KeptPlan) -> Iterator[str]:
    """Why a plan holds no longer, each a half-sentence; nothing where it does."""
    issued = {plan.material for plan in kept.plans if is_issued(book, plan)}
    for job in kept.jobs:
        newest = book.last(JointShare, job=job.key)
        if newest is not None and newest.entry != kept.entry:
            yield f"{job.number} is cut together with others since"
        if not issued and (why := over_words(book, job)):
            yield why
    now = {job.number: _problems(book, job) for job in kept.jobs}
    for plan in kept.plans:
        yield from _parts_changed(book, plan, now)
        if plan.material not in issued:
            yield from _sheets_changed(book, plan, now)


def _problems(book: Book, job: Job) -> Mapping[str, Problem]:
    try:
        return problems_now(book, job)
    except NotAllowed:  # it has lost its design, or a material of it its price
        return {}


def _parts_changed(book: Book, plan: JointPlan, now: Problems) -> Iterator[str]:
    for share in shares_of(book, plan):
        job = book.row(Job, share.job)
        problem = now[job.number].get(plan.material) if job else None
        number = job.number if job else ""
        if problem is None or parts_of(joined({number: problem}), number) != share.parts:
            yield f"the {plan.material} parts of {number} have changed"


def _sheets_changed(book: Book, plan: JointPlan, now: Problems) -> Iterator[str]:
    for share in shares_of(book, plan):
        job = book.row(Job, share.job)
        if job and has_taken(book, job, plan.material):
            yield (
                f"{job.number} took {plan.material} for itself (it goes back by:"
                f" benchledger stock return {job.number} {plan.material} QTY)"
            )
    problem, layout = _joint_now(now, plan), layout_of(plan)
    if problem is None:
        return
    costs = {(stock.source, stock.label): stock.cost for stock in problem.stocks}
    for sheet in layout.sheets:
        if (sheet.source, sheet.label) not in costs:
            gone = "the rack" if sheet.source == "rack" else "the price list"
            yield f"{sheet.label or plan.material} is no longer on {gone}"
    # Sheets of one price are laid and shared alike whatever it is; of several, their ratio counts.
    ratios = {
        Fraction(costs[sheet.source, sheet.label] or 0, sheet.cost or 1) for sheet in layout.sheets
    }
    if len(ratios) > 1:
        yield f"the prices of its sheets of {plan.material} have changed"
    if question_of(problem, layout) != plan.question:
        yield f"the sheets of {plan.material} or the saw have changed"


def _joint_now(now: Problems, plan: JointPlan) -> Problem | None:
    mine = {
        number: problems[plan.material]
        for number, problems in now.items()
        if plan.material in problems
    }
    return joined(mine) if mine else None


def layout_of(plan: JointPlan) -> Layout:
    """How a joint plan cuts its material."""
    (layout,) = layouts_from_dict(json.loads(plan.plan), digits=0)
    return layout

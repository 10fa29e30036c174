"""The parts of a job as they come off the saw: what is cut of each sheet, counted by its mark.

What is counted belongs to one layout: laid out anew, a sheet counts from nothing.

How a job's sheets and rough boards are cut, as it is kept, else laid out now.
"""

from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import Struct

from ledger.book import Book, require_open_job
from ledger.book.journal import CUT
from ledger.book.tables.ground import Job
from ledger.book.tables.page import CutPart
from ledger.costing.lumber import board_faults, board_plans, lumber
from ledger.costing.sheet import CostSheet
from ledger.costing.taken import Taken
from ledger.cutting.boards import BoardPlan
from ledger.cutting.joining import own_part
from ledger.cutting.layout import LaidSheet, Layout, Name
from ledger.cutting.problem import Problem
from ledger.errors import NotAllowed
from ledger.jobs.assembling import Assembled, assemble
from ledger.jobs.joint_plans import joint_of, layout_of, read_plan
from ledger.jobs.lines import line_notes
from ledger.jobs.plans import MaterialLayout, Progress, kept_layout
from ledger.jobs.pricing import price_job
from ledger.jobs.together import JointLayout
from ledger.measures.values import replace
from ledger.reports.shop_pack import Pack


class JobLayouts(Struct, frozen=True):
    """The sheets of a job, by material in the order of the parts list, and its rough boards."""

    job: Job
    made: Assembled
    boards: tuple[BoardPlan, ...]

    @property
    def sheets(self) -> tuple[tuple[Problem, Layout], ...]:
        """What is cut of each material, and how."""
        return tuple((plan.problem, plan.layout) for plan in self.made.plans.values())


def of_job(
    book: Book, job: Job, *, harder: bool = False, progress: Progress | None = None
) -> JobLayouts:
    """Lay a job out, or read what is kept: that alone takes no solver.

    Raises:
        NotAllowed: the job has no design, or a material cannot give a part.
    """
    made = assemble(book, job, harder=harder, progress=progress)
    boards = board_plans(
        made.build, made.materials, book.settings.kerf, lambda problem: kept_layout(book, problem)
    )
    return JobLayouts(job, made, tuple(boards.values()))


def lumber_of(book: Book, laid: JobLayouts) -> tuple[tuple[Taken, str], ...]:
    """What is to be bought of solid wood that no boards are drawn of, with its unit.

    Beside sheets, which can be laid anyhow, nothing is told where the boards have a fault.

    Raises:
        NotAllowed: there is nothing but solid wood, and a board of it has no size.
    """
    drawn, made = {plan.problem.material for plan in laid.boards}, laid.made
    if made.plans and board_faults(made.build, made.materials):
        return ()
    lines = lumber(
        made.build, made.materials, book.settings.kerf, lambda problem: kept_layout(book, problem)
    )
    return tuple(
        (line, made.materials[line.material].unit) for line in lines if line.material not in drawn
    )


def pack_of(book: Book, laid: JobLayouts) -> Pack:
    """The shop pack of a job that is laid out: its cost sheet, parts, sheets and boards."""
    return pack_with(book, laid, price_job(book, laid.job))


def pack_with(book: Book, laid: JobLayouts, sheet: CostSheet) -> Pack:
    """The shop pack of a job whose cost sheet is worked out already.

    Of a material that it shares with other jobs its parts stand on the sheets that all share.
    """
    plans, shared = dict(laid.made.plans), dict[str, str]()
    kept = joint_of(book, laid.job)
    for joint in kept.plans if kept and not kept.why_not else ():
        own = plans.get(joint.material)
        if own is not None and kept:
            view = own_part(layout_of(joint), laid.job.number)
            plans[joint.material] = MaterialLayout(own.problem, view)
            shared[joint.material] = kept.others(laid.job)
    made, notes = replace(laid.made, plans=plans), line_notes(book, laid.job)
    return Pack(sheet, made, laid.boards, book.settings.saw_reach, notes, shared)


def joint_pack(book: Book, laid: JointLayout) -> Pack:
    """The shop pack of jobs that are cut together: their shared sheets, cuts, parts and labels."""
    plans = {one.problem.material: MaterialLayout(one.problem, one.layout)
             for one in laid.materials}  # fmt: skip
    made = {job.number: assemble(book, job) for job in laid.jobs}
    parts = tuple(
        replace(part, id=f"{number} {part.id}")
        for number, own in made.items()
        for part in own.build.parts
        if part.material in plans and not part.is_solid and part.cut != "bought"
    )
    first = made[laid.jobs[0].number]
    build = replace(first.build, parts=parts, bands=())
    sheet = replace(
        price_job(book, laid.jobs[0]), job=laid.names, title="cut together", lines=(), hours=(),
    )  # fmt: skip
    return Pack(
        sheet, replace(first, build=build, plans=plans), (), book.settings.saw_reach,
        together=tuple(made),
    )  # fmt: skip


class SheetToCut(Struct, frozen=True):
    """A sheet or board of a layout: how many parts of each mark are on it, and how many cut."""

    problem: Problem
    layout: Layout
    number: int
    marks: Mapping[str, int]
    cut: Mapping[str, int]

    @property
    def name(self) -> Name:
        """What it is called."""
        return "board" if self.problem.boards else "sheet"

    @property
    def laid(self) -> LaidSheet:
        """Its size, and the parts on it."""
        return self.layout.sheets[self.number - 1]

    @property
    def left(self) -> int:
        """Parts that are still to be cut."""
        return sum(self.marks.values()) - sum(self.cut.values())


def sheets_to_cut(book: Book, job: Job) -> list[SheetToCut]:
    """All sheets and boards of a job, with what is cut; it lays out where nothing is kept.

    Raises:
        NotAllowed: the job has no design, or nothing is kept and nothing may be laid out now.
    """
    sheets, laid = [], of_job(book, job)
    shared, owners = _shared_sheets(book, job)
    cut = Counter(
        (row.layout, row.sheet, row.mark)
        for one in owners.values()
        for row in book.rows(CutPart, job=one)
    )
    boards = ((plan.problem, plan.layout) for plan in laid.boards)
    for problem, layout in (*laid.sheets, *boards):
        problem, layout = shared.get(problem.material, (problem, layout))
        for number, sheet in enumerate(layout.sheets, 1):
            marks = Counter(part.mark for part in sheet.placements)
            done = {mark: cut[layout.digest, number, mark] for mark in marks}
            sheets.append(SheetToCut(problem, layout, number, marks, done))
    return sheets


def _shared_sheets(
    book: Book, job: Job
) -> tuple[dict[str, tuple[Problem, Layout]], dict[str, int]]:
    """How the materials that a job shares are cut, and the jobs whose parts are on its sheets."""
    kept = joint_of(book, job)
    if kept is None or kept.why_not:
        return {}, {job.number: job.key}
    shared = {plan.material: read_plan(book, plan) for plan in kept.plans}
    return shared, {one.number: one.key for one in kept.jobs}


def cut_parts(
    book: Book, job: Job, digest: str, sheet: int, parts: Sequence[tuple[str, int]]
) -> SheetToCut:
    """Note parts of one sheet as cut, each by its mark and the how-manieth of it that it is.

    Those that are noted already stay noted once.

    Raises:
        NotAllowed: the job is over, its layout is another one by now, or has no such part.
    """
    require_open_job(book, job.key)
    matching = [
        one for one in sheets_to_cut(book, job)
        if one.layout.digest == digest and one.number == sheet
    ]  # fmt: skip
    if not matching:
        raise NotAllowed(f"{job.number} is laid out otherwise by now; open its cut plan again.")
    for mark, number in parts:
        count = matching[0].marks.get(mark, 0)
        if not 1 <= number <= count:
            raise NotAllowed(f"Of {mark} there are {count} on that {matching[0].name}.")
    _, owners = _shared_sheets(book, job)
    noted = {
        (row.mark, row.number)
        for one in owners.values()
        for row in book.rows(CutPart, job=one, layout=digest, sheet=sheet)
    }
    if new := [one for one in dict.fromkeys(parts) if one not in noted]:
        with book.entry(CUT, f"{job.number} {', '.join(f'{m} {n}' for m, n in new)}"):
            for mark, number in new:
                owner = owners.get(mark.partition(" ")[0], job.key)
                book.post(CutPart(job=owner, layout=digest, sheet=sheet, mark=mark, number=number))
    return matching[0]

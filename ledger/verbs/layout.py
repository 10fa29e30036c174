"""How a job's sheets and rough boards are cut, as it is kept, else laid out now."""

from dataclasses import dataclass

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.costing.lumber import board_faults, board_plans, lumber
from ledger.costing.taken import Taken
from ledger.cutting.boards import BoardPlan
from ledger.cutting.layout import Layout
from ledger.cutting.problem import Problem
from ledger.jobs.assembling import Assembled, assemble
from ledger.jobs.plans import Progress, kept_layout
from ledger.jobs.pricing import price_job
from ledger.reports.shop_pack import Pack


@dataclass(frozen=True, slots=True)
class JobLayouts:
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
    return Pack(price_job(book, laid.job), laid.made, laid.boards, book.settings.saw_reach)

"""What jobs took of the sheets they share, and what of it they put on the rack together."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.joint import Outgrown
from ledger.book.questions.stock import IssueToJob, still_out
from ledger.book.tables.joint import JointIssue, JointOffcut, JointPlan, JointShare
from ledger.book.tables.stock import Lot, Movement
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.stock.lots import Pool


def weights_of(book: Book, plan: int) -> dict[int, int]:
    """Allocation keys of a joint plan: each job's cost alone in minor units, by job."""
    return {share.job: share.alone.minor for share in book.rows(JointShare, joint_plan=plan)}


def shared_out(book: Book, plan: int, job: int, day: date) -> list[IssueToJob]:
    """A job's issues of sheets of a joint plan up to a day that did not come back whole."""
    issues = {row.movement for row in book.rows(JointIssue, joint_plan=plan)}
    return [out for out in still_out(book, job, day) if out.movement in issues]


def shared_now(book: Book, plan: JointPlan, day: date) -> Quantity:
    """How many new sheets of a joint plan its jobs have, all together."""
    return sum(
        (
            out.quantity
            for job in weights_of(book, plan.key)
            for out in shared_out(book, plan.key, job, day)
            if (lot := book.row(Lot, out.lot)) is not None and lot.source != "offcut"
        ),
        Quantity(0),
    )


def as_own_plan(
    book: Book, job: int, planned: Mapping[str, Quantity], outgrown: Outgrown = tuple
) -> dict[str, Quantity]:
    """What a job's shared sheets are as good as in its own plan, for the materials it shares.

    Half of a joint plan issued is half of what the job's own layout takes. Materials of which
    nothing shared is issued are left out, and so are those `outgrown`, whose joint plan no longer
    fits the parts: of them a job has its share of the sheets and no more.
    """
    met: dict[str, Quantity] = {}
    for plan in issued_plans(book, job):
        if plan.material in outgrown():
            continue
        there = shared_now(book, plan, book.today).fraction
        part = min(Fraction(1), there / plan.new_sheets) if plan.new_sheets else Fraction(1)
        for code, wanted in planned.items():
            if is_of(code, plan.material):
                met[code] = Quantity.of(half_up(wanted.fraction * part, 6))
    return met


def issued_plans(book: Book, job: int) -> list[JointPlan]:
    """The joint plans of a job of which its jobs have sheets, one for each material."""
    numbers = [share.joint_plan for share in book.rows(JointShare, job=job)]
    return [plan for plan in book.rows_of(JointPlan, numbers) if is_issued(book, plan)]


def is_issued(book: Book, plan: JointPlan) -> bool:
    """Whether its jobs have any of a plan's sheets."""
    return any(pool.quantity for _, pool in shared_issues(book, plan.key))


def is_of(code: str, material: str) -> bool:
    """Whether a sheet is of a material: by its own code, or in another size as CODE/SIZE."""
    return code == material or code.startswith(f"{material}/")


def shared_offcuts(book: Book, plan: int) -> list[Lot]:
    """The pieces that the jobs of a plan put on the rack together."""
    rows = book.rows(JointOffcut, joint_plan=plan)
    return book.rows_of(Lot, [row.lot for row in rows if row.movement is None])


def shared_plan(book: Book, job: int, material: str) -> JointPlan | None:
    """The joint plan of whose sheets a job has some of a material; None where it shares none."""
    plans = (plan for plan in issued_plans(book, job) if plan.material == material)
    return next((plan for plan in plans if shared_out(book, plan.key, job, book.today)), None)


def shared_issues(book: Book, plan: int) -> list[tuple[Lot, Pool]]:
    """What was issued of a joint plan's sheets and did not come back, lot by lot."""
    pools = []
    for shared in book.rows(JointIssue, joint_plan=plan):
        row = book.row(Movement, shared.movement)
        lot = book.row(Lot, row.lot) if row else None
        if row is None or lot is None:
            continue
        pool = -Pool(row.quantity, row.full, row.cash)
        for back in book.rows(Movement, of_movement=row.key, kind="return"):
            if back.quantity:  # without goods it is the credit of an offcut
                pool = pool - Pool(back.quantity, back.full, back.cash)
        pools.append((lot, pool))
    return pools

"""Canceling a job: what is kept by the stage it had reached, worked out from the record.

Common practice, no source: before the deposit nothing; before material is ordered the hours of
design; before cutting also the material that cannot go back, with a restocking charge on what can;
after cutting all hours and material to date; once finished the whole price. It is a calculation to
talk about, not a right: contract and local law decide.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.book import Book, require_open_day
from ledger.book.questions.labor import WorkSum, work_of_job
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Cancellation
from ledger.costing.rates import Rates
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.jobs import set_state, state_of
from ledger.jobs.payments import Balance, balance
from ledger.jobs.shop_rates import rates_of
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.stock.worth import job_material

ZERO, NOTHING = Money(0), Fraction(0)
FREE, DESIGNED, ORDERED, CUT, FINISHED = (
    "before the deposit",
    "before material was ordered",
    "before cutting",
    "after cutting",
    "after finishing",
)
_STAGES = {
    "open": FREE,
    "won": FREE,
    "deposit paid": DESIGNED,
    "material ordered": ORDERED,
    "building": CUT,
    "finishing": CUT,
    "ready": FINISHED,
    "installed": FINISHED,
}
_BILLED = {"work", "first_time", "change_order"}


@dataclass(frozen=True, slots=True)
class KeptLine:
    """One line of what is kept: what for, how it was worked out, how much."""

    name: str
    calculation: str
    amount: Money


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept of a canceled job, what goes back, and what would still be owed."""

    stage: str
    lines: tuple[KeptLine, ...]
    kept: Money
    received: Money

    @property
    def back(self) -> Money:
        """What goes back to the client."""
        return max(self.received - self.kept, ZERO)

    @property
    def owed(self) -> Money:
        """What is kept beyond what was paid."""
        return max(self.kept - self.received, ZERO)


@dataclass(frozen=True, slots=True)
class Record:
    """What the book knows of a job that is canceled; rates only where hours are kept."""

    stage: str
    balance: Balance
    work: Sequence[WorkSum]
    material: Money
    rates: Rates | None


def reckon(record: Record, returnable: Money = ZERO, restocking: Fraction = NOTHING) -> Kept:
    """What is kept at a stage; never more than the price that was agreed.

    `returnable` is material that goes back to its seller, `restocking` what that costs of it.

    Raises:
        BadValue: more is said to go back than the job took.
    """
    if returnable > record.material:
        raise BadValue("More material is said to go back than the job took.")
    received = record.balance.received
    if record.stage == FINISHED:
        whole = KeptLine("the agreed price with tax", "finished", record.balance.asked)
        return Kept(record.stage, (whole,), whole.amount, received)
    lines = _lines(record, returnable, restocking)
    kept = min(total(line.amount for line in lines), record.balance.asked)
    return Kept(record.stage, tuple(lines), kept, received)


def _lines(record: Record, returnable: Money, restocking: Fraction) -> list[KeptLine]:
    if record.stage == FREE:
        return []
    if record.stage == DESIGNED:
        return _hours(record, "design", [row for row in record.work if row.group == "office"])
    lines = _hours(record, "work", record.work)
    lines.append(KeptLine("material", "as issued to the job", record.material))
    if returnable and record.stage == ORDERED:
        lines.append(KeptLine("material that goes back", "as said", -returnable))
        charge = returnable.times(restocking)
        lines.append(KeptLine("restocking", "of what goes back", charge))
    return lines


def _hours(record: Record, name: str, work: Sequence[WorkSum]) -> list[KeptLine]:
    if record.rates is None:
        return []
    rates = (("owner", record.rates.selling), ("helper", record.rates.helper_billed))
    found = []
    for person, rate in rates:
        own = person == "owner"
        minutes = sum(
            row.minutes
            for row in work
            if row.kind in _BILLED and (row.person == "owner") is own
        )  # fmt: skip
        if minutes:
            hours = to_hours(minutes)
            words = f"{hours} h, at the rate that is billed"
            found.append(KeptLine(f"{name}, {person}", words, rate.times(hours)))
    return found


def record_of(book: Book, job: Job) -> Record:
    """What the book knows of a job: its stage by state, and by what was really done.

    Raises:
        NotAllowed: the job is over already, or hours are kept and the shop has no rates yet.
    """
    state = state_of(book, job)
    if state not in _STAGES:
        raise NotAllowed(f"{job.number} is {state} already.")
    used = job_material(book, job.key)
    material = total(use.full for use in used)
    stage = _STAGES[state]
    if stage in {FREE, DESIGNED} and material > ZERO:
        stage = ORDERED
    work = work_of_job(book, job.key)
    is_billed = stage not in {FREE, FINISHED} and any(row.kind in _BILLED for row in work)
    rates = rates_of(book) if is_billed else None
    return Record(stage, balance(book, job), work, material, rates)


def cancel_job(
    book: Book, job: Job, kept: Kept, why: str, *, day: date | None = None
) -> Cancellation:
    """Post the cancellation and its sums; money that goes back is posted as a payment of its own.

    Raises:
        BadValue: no reason is given.
        NotAllowed: the day lies in the future or in a closed month.
    """
    if not why.strip():
        raise BadValue("Say why the job is canceled: --why TEXT")
    when = require_open_day(book, day or book.today)
    with book.deed("job cancel", f"{job.number} {why.strip()}"):
        row = book.post(
            Cancellation(
                job=job.key,
                day=when,
                stage=kept.stage,
                kept=kept.kept,
                back=kept.back,
                owed=kept.owed,
                why=why.strip(),
            )
        )
        set_state(book, job, "canceled", day=when, why=why.strip())
    return row

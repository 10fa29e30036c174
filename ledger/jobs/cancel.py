"""Canceling a job: what is kept by the stage it had reached, worked out from the record.

Common practice, no source: before the deposit nothing; before material is ordered the hours of
design; before cutting also the material that cannot go back, with a restocking charge on what can;
after cutting all hours and material to date; once finished the whole price. From the deposit on
what came beside is kept too, the work of others, driving, other costs; fees of payments stay with
the shop. What a stage does not ask for stands in the account all the same, with its figure. It is a
calculation to talk about, not a right: contract and local law decide. What was kept is what the job
owes from then on; where client and maker agree on another sum later, it is settled once more.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct, field

from ledger.book import Book, require_open_day
from ledger.book.questions.labor import WorkSum, work_of_job
from ledger.book.questions.progress import ON_THE_JOB
from ledger.book.questions.stock import JobUse
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Cancellation
from ledger.costing.rates import Rates
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import cancellation_of, dues_of
from ledger.jobs.answers import OUTSIDE_WORK, is_bill_of_others
from ledger.jobs.jobs import set_state, state_of
from ledger.jobs.payments import Balance, balance, received_on
from ledger.jobs.spent import KeptLine, costs_as_they_came, left_with_the_shop
from ledger.labor.clock import require_no_clock
from ledger.labor.people import HELPER, OWNER, helpers
from ledger.measures.chosen import choose
from ledger.measures.duration import to_hours
from ledger.measures.fields import made_of
from ledger.measures.money import Money, total
from ledger.measures.units import show_bought
from ledger.stock.use_tax import use_tax_of
from ledger.stock.worth import job_material, offcut_credit

ZERO, NOTHING = Money(0), Fraction(0)
FREE, DESIGNED, ORDERED, CUT, FINISHED = (
    "before the deposit",
    "before material was ordered",
    "before cutting",
    "after cutting",
    "after finishing",
)
_STAGES = {
    "open": FREE, "won": FREE, "deposit paid": DESIGNED, "material ordered": ORDERED,
    "building": CUT, "finishing": CUT, "ready": FINISHED, "installed": FINISHED,
}  # fmt: skip
STAGES = (FREE, DESIGNED, ORDERED, CUT, FINISHED)
"""How far a job had come, in order."""

WORK, COMPENSATION = "work", "compensation"
"""As what a sum is kept: as pay for work that was done, on which VAT falls, or as compensation."""

_BILLED = {"work", "first_time", "change_order"}
_DESIGN = "office"
_BEFORE_CUTTING = (_DESIGN, "out_of_shop", None)
"""Groups of operations that are no sign of a cut piece."""

_UNLOADING = "SHT"
_CUT_FROM = ("sheet", "lumber")


class Kept(Struct, frozen=True):
    """What is kept of a canceled job, what goes back, and what would still be owed.

    `tax` is the sales tax within `kept`; `doubts` say what stands against the stage;
    `returnable` is material that is to go back to its seller.
    """

    stage: str
    lines: tuple[KeptLine, ...]
    kept: Money
    received: Money
    tax: Money = ZERO
    doubts: tuple[str, ...] = ()
    kept_as: str = ""
    returnable: Money = ZERO

    @property
    def back(self) -> Money:
        """What goes back to the client."""
        return max(self.received - self.kept, ZERO)

    @property
    def owed(self) -> Money:
        """What is kept beyond what was paid."""
        return max(self.kept - self.received, ZERO)


class CancelBasis(Struct, frozen=True):
    """What the book knows of a job that is canceled; rates only where hours are kept."""

    stage: str
    balance: Balance
    work: Sequence[WorkSum]
    material: Money
    rates: Rates | None
    doubts: tuple[str, ...] = ()
    use_tax: Money = ZERO
    offcuts: Money = ZERO
    """What of the material the job put on the rack again, at the value it has there."""
    costs: Sequence[KeptLine] = ()
    """What was spent beside material: the work of others, driving, other costs as they came."""
    borne: Sequence[KeptLine] = ()
    """What was spent and is not asked for at this stage: it stays the shop's."""
    helpers: Mapping[str, Money] = field(default_factory=dict)
    """What an hour of each helper is billed at; who is not named has the usual helper's rate."""


class Terms(Struct, frozen=True):
    """What was agreed on a cancellation: goods that go back to their seller, tax, the sum kept.

    `returnable` is material that goes back, `restocking` what that costs of it, `tax` is sales tax
    that falls on what is kept, `tax_words` how it was found, and `kept` a sum, tax included, that
    stands for the calculation.
    """

    returnable: Money = ZERO
    restocking: Fraction = NOTHING
    tax: Money = ZERO
    kept: Money | None = None
    tax_words: str = "as said"


PLAIN_TERMS = Terms()


def kept_after_cancellation(record: CancelBasis, terms: Terms = PLAIN_TERMS) -> Kept:
    """What is kept at a stage; never more than the price that was agreed.

    Raises:
        BadValue: more is said to go back than the job took, or less than 0, a tax larger than what
            is kept, a sum larger than the price, or one below 0.
    """
    if terms.returnable < ZERO:
        raise BadValue("What goes back to its seller is worth 0 or more.")
    if terms.returnable > record.material:
        raise BadValue("More material is said to go back than the job took.")
    invoiced = record.balance.asked
    if record.stage == FINISHED:
        lines = [KeptLine("the agreed price with tax", "finished", invoiced)]
    else:
        lines = _lines(record, terms.returnable, terms.restocking)
    if terms.tax:
        lines.append(KeptLine("tax on it", terms.tax_words, terms.tax))
    summed = total(line.amount for line in lines)
    kept = min(summed, invoiced) if terms.kept is None else terms.kept
    if kept != summed:
        words = "no more than the price" if terms.kept is None else "as said, in place of the sum"
        lines.append(KeptLine("agreed", words, kept - summed))
    _require_sound(kept, terms.tax, invoiced)
    tax = record.balance.tax if kept == invoiced else terms.tax
    return Kept(
        record.stage,
        tuple(lines),
        kept,
        record.balance.received,
        tax,
        record.doubts,
        returnable=terms.returnable,
    )


def _require_sound(kept: Money, tax: Money, invoiced: Money) -> None:
    if kept < ZERO or tax < ZERO:
        raise BadValue("What is kept, and the tax in it, is 0 or more.")
    if kept > invoiced:
        raise BadValue("More is said to be kept than was agreed for the whole job.")
    if tax > kept:
        raise BadValue("The tax in what is kept is more than what is kept.")


def _lines(record: CancelBasis, returnable: Money, restocking: Fraction) -> list[KeptLine]:
    if record.stage == FREE:
        return [*record.borne]
    if record.stage == DESIGNED:
        design = [row for row in record.work if row.group == _DESIGN]
        return [*_hours(record, "design", design), *record.costs, *record.borne]
    lines = _hours(record, "work", record.work)
    lines.append(KeptLine("material", "as issued to the job", record.material))
    lines += record.costs
    if record.offcuts:
        lines.append(KeptLine("offcuts", "back on the rack", -record.offcuts))
    if record.use_tax:
        lines.append(KeptLine("use tax", "on what was issued", record.use_tax))
    if returnable and record.stage == ORDERED:
        lines.append(KeptLine("material that goes back", "as said", -returnable))
        charge = returnable.times(restocking)
        lines.append(KeptLine("restocking", "of what goes back", charge))
        tax = record.use_tax.times(Fraction(returnable.minor, record.material.minor))
        if tax:
            lines.append(KeptLine("use tax", "on what goes back", -tax))
    return lines


def _hours(record: CancelBasis, name: str, work: Sequence[WorkSum]) -> list[KeptLine]:
    """The hours of the owner and of the helpers, those of another rate by their name."""
    if record.rates is None:
        return []
    usual = record.rates.helper_billed
    billed: dict[tuple[str, Money], int] = {}
    for row in (row for row in work if row.kind in _BILLED and row.minutes):
        rate = record.helpers.get(row.person, usual)
        called = OWNER if row.person == OWNER else HELPER if rate == usual else row.person
        key = called, record.rates.selling if called == OWNER else rate
        billed[key] = billed.get(key, 0) + row.minutes
    ordered = sorted(billed.items(), key=lambda one: (one[0][0] != OWNER, one[0][0] != HELPER))
    return [
        KeptLine(
            f"{name}, {called}",
            f"{to_hours(minutes)} h, at the rate that is billed",
            rate.times(to_hours(minutes)),
        )
        for (called, rate), minutes in ordered
    ]


def find_stage(text: str) -> str:
    """The stage of that name, or of an unambiguous part of it.

    Raises:
        NotFound: there is no such stage.
        Ambiguous: several answer.

    >>> find_stage("after cut"), find_stage("Before cutting")
    ('after cutting', 'before cutting')
    """
    return choose("stage", text, STAGES, lambda stage: [stage], are_all=True)


def record_of(book: Book, job: Job, stage: str = "") -> CancelBasis:
    """What the book knows of a job: its stage by state, and by what was really done.

    `stage` is the one that the owner says. Without it, a job of which money came is past its
    deposit, and hours in the shop or sheets given to a job that stands before cutting are doubts
    about the stage.

    Raises:
        NotAllowed: the job is over already, or hours are kept and the shop has no rates yet.
    """
    state = state_of(book, job)
    if state == "canceled":
        raise NotAllowed(
            f"{job.number} is canceled already. Where you agreed on another sum since:"
            f" benchledger job cancel {job.number} --kept AMOUNT --why TEXT"
        )
    if state not in _STAGES:
        raise NotAllowed(f"{job.number} is {state} already.")
    used = job_material(book, job.key)
    material = total(use.full for use in used if not is_bill_of_others(use))
    costs = costs_as_they_came(book, job, used)
    is_given_out = any(line.name == OUTSIDE_WORK for line in costs)
    work = work_of_job(book, job.key)
    paid = balance(book, job)
    reached = stage or _STAGES[state]
    if not stage and reached == FREE and paid.received > ZERO:
        reached = DESIGNED
    doubts: tuple[str, ...] = ()
    if not stage and reached in {FREE, DESIGNED, ORDERED}:
        doubts = tuple(_signs_of_cutting(work, used))
    if not stage and reached in {FREE, DESIGNED} and (material > ZERO or is_given_out):
        reached = ORDERED
    is_billed = reached not in {FREE, FINISHED} and any(row.kind in _BILLED for row in work)
    rates, billed = None, {}
    if is_billed:
        from ledger.jobs.shop_rates import rates_of  # what reads a cancellation has no use for it

        rates = rates_of(book)
        billed = {one.name: one.billed for one in helpers(book).values()}
    tax = use_tax_of(book, job.key)
    borne: list[KeptLine] = []
    if reached in {FREE, DESIGNED}:
        is_free = reached == FREE
        left = [row.minutes for row in work
                if row.kind in _BILLED and (is_free or row.group != _DESIGN)]  # fmt: skip
        borne = left_with_the_shop(book, costs if is_free else (), sum(left), material, tax)
    return CancelBasis(reached, paid, work, material, rates, doubts, tax,
                       offcut_credit(book, job.key)[0], costs, borne, billed)  # fmt: skip


def _signs_of_cutting(work: Sequence[WorkSum], used: Sequence[JobUse]) -> list[str]:
    """What says that something was cut, or may have been: hours in the shop, sheets given out."""
    signs = []
    minutes = sum(
        row.minutes
        for row in work
        if row.kind in ON_THE_JOB
        and row.group not in _BEFORE_CUTTING
        and row.operation != _UNLOADING
    )
    if minutes:
        signs.append(f"{to_hours(minutes)} h of shop work are logged")
    signs += [
        f"{show_bought(use.quantity, use.unit)} of {use.material or use.words} stand issued"
        for use in used
        if use.category in _CUT_FROM and use.quantity
    ]
    return signs


def cancel_job(
    book: Book, job: Job, kept: Kept, why: str, *, day: date | None = None
) -> Cancellation:
    """Post the cancellation and its sums; what goes back is posted as a payment when it does.

    Raises:
        BadValue: no reason is given.
        NotAllowed: the day lies in the future or in a closed month, the stage is in doubt, or the
            clock runs on the job.
    """
    if not why.strip():
        raise BadValue("Say why the job is canceled: --why TEXT")
    require_no_clock(book, job)
    if kept.doubts:
        raise NotAllowed(
            f"{job.number} would be canceled {kept.stage}, yet {'; '.join(kept.doubts)}. Say which"
            f' it is: --stage "{CUT}", or --stage "{kept.stage}" where nothing was cut.'
        )
    when = require_open_day(book, day or book.today)
    with book.entry("job cancel", f"{job.number} {why.strip()}"):
        row = _post(book, job, kept, why.strip(), when)
        set_state(book, job, "canceled", day=when, why=why.strip())
    return row


def settle_again(
    book: Book,
    job: Job,
    kept: Money,
    why: str,
    *,
    tax: Money = ZERO,
    kept_as: str = "",
    day: date | None = None,
) -> Kept:
    """Post another sum that is kept of a canceled job, as client and maker agreed since.

    Raises:
        BadValue: no reason, a sum below 0, above what the job asked for, or below its tax.
        NotAllowed: the job is not canceled, or the day is closed or before the cancellation.
    """
    before = cancellation_of(book, job)
    if before is None:
        raise NotAllowed(f"{job.number} is not canceled; it is {state_of(book, job)}.")
    if not why.strip():
        raise BadValue("Say why another sum is kept: --why TEXT")
    agreed = total(due.asked for due in dues_of(book, job))
    _require_sound(kept, tax, agreed)
    when = require_open_day(book, day or book.today)
    if when < before.day:
        raise NotAllowed(f"{job.number} was canceled on {before.day}, after {when}.")
    words = f"in place of {book.currency.show(before.kept)}"
    lines = (KeptLine("agreed since", words, kept),)
    received = received_on(book, job)
    again = Kept(
        before.stage, lines, kept, received, tax,
        kept_as=kept_as, returnable=before.returnable,
    )  # fmt: skip
    with book.entry("job cancel", f"{job.number} settled again: {why.strip()}"):
        _post(book, job, again, why.strip(), when)
    return again


def _post(book: Book, job: Job, kept: Kept, why: str, day: date) -> Cancellation:
    row = made_of(Cancellation, kept, job=job.key, day=day, why=why)
    return book.post(row)

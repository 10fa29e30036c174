"""The close-out of a job: what it really cost, why it differs, and what the next estimate learns.

The plan is the cost sheet behind the accepted quote (or today's where none was sent); the actual
side is what stock, hours and costs say. Closing posts the counts as built, which is what the
standards learn from, and the job's four-in-five point beside its actual hours, which is the record
of how good the estimates are. Nothing is final: a job opens again with a reason.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.income import Rework, hired, rework_of
from ledger.book.questions.labor import WorkSum, work_of_job
from ledger.book.questions.progress import fewer_minutes
from ledger.book.questions.stock import JobUse
from ledger.book.tables.answers import JobCost
from ledger.book.tables.estimates import ForetoldRow
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.income import CloseOutRow
from ledger.costing.afterwards import Afterwards, Done, Variance, account_afterwards, variance
from ledger.costing.needs import needs_of
from ledger.costing.sheet import CostSheet
from ledger.errors import NotAllowed
from ledger.jobs.agreement import (
    WITHOUT_QUOTE,
    SaidPrice,
    agree_without_quote,
    agreement_of,
    cancellation_of,
    dues_of,
)
from ledger.jobs.answers import costs_of
from ledger.jobs.built_counts import built_if_closed, counts_at_closing, hours_as_changed
from ledger.jobs.changes import approved_minutes
from ledger.jobs.closing_plan import keep_plan
from ledger.jobs.cost_differences import (
    CostDifferences,
    cost_differences,
    planned_costs,
    tax_noted,
    tax_planned,
    with_consumables,
    with_goods_of_others,
    with_planned_tax,
)
from ledger.jobs.differences import (
    FreightDifference,
    HoursDifference,
    MaterialDifference,
    TaxDifference,
    hours_differences,
    material_differences,
)
from ledger.jobs.done import done_with
from ledger.jobs.income import incomes
from ledger.jobs.jobs import SHUT, set_state, state_of
from ledger.jobs.late import LateCost, late_cost_of
from ledger.jobs.lines import total_of
from ledger.jobs.next_time import NextTime, lessons
from ledger.jobs.other_costs import costs_not_noted
from ledger.jobs.payments import balance, received_on
from ledger.jobs.saved_together import saved_together
from ledger.jobs.tax import is_agreed_untaxed
from ledger.jobs.unlogged import LineWithoutHours, lines_without_hours
from ledger.labor.clock import require_no_clock, running_on
from ledger.labor.estimate import total_hours
from ledger.labor.plan import still_agreed, worked_on_changes
from ledger.labor.record import HoursRecord, hours_record
from ledger.labor.standards import standards
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.stock.worth import job_material


class CloseOut(Struct, frozen=True):
    """Everything a close-out tells, on the screen and in its workbook.

    `guess` has the hours that were guessed for a job sold in one sum, where none are planned.
    """

    job: Job
    day: date
    sheet: CostSheet
    afterwards: Afterwards
    materials: tuple[MaterialDifference, ...]
    freight: FreightDifference
    tax: TaxDifference
    hours: tuple[HoursDifference, ...]
    labor: Variance
    helper: Variance
    differences: CostDifferences
    not_noted: tuple[tuple[str, Money], ...]
    rework: tuple[Rework, ...]
    changes_hours: Decimal
    income: tuple[tuple[str, Money, Money], ...]
    record: HoursRecord
    not_logged: tuple[LineWithoutHours, ...]
    lessons: tuple[NextTime, ...]
    open_ends: tuple[str, ...]
    unpaid: Money
    late: LateCost | None
    guess: Decimal | None
    closing: SaidPrice | None = None
    together: tuple[tuple[str, Money], ...] = ()
    """What sheets that were shared make of the material used, by the jobs that shared them."""
    is_untaxed: bool = False
    agreed_hours: Decimal | None = None
    """The hours of the job as it is made now, where it was changed after it was agreed."""

    @property
    def planned_hours(self) -> Decimal:
        """The hours of the plan."""
        return sum((line.planned for line in self.hours), Decimal("0.00"))

    @property
    def foreseen_hours(self) -> Decimal:
        """The hours of the plan, or what was guessed for a job sold in one sum."""
        return self.planned_hours if self.guess is None else self.guess

    @property
    def actual_hours(self) -> Decimal:
        """The hours worked that the plan foresaw, from their minutes."""
        return to_hours(self.actual_minutes)

    @property
    def unanswered(self) -> tuple[LineWithoutHours, ...]:
        """The estimated lines without hours of which nobody said why."""
        return tuple(line for line in self.not_logged if not line.answer)

    @property
    def not_believed(self) -> tuple[HoursDifference, ...]:
        """The lines with hours so far from their standard that nothing is learned from them."""
        return tuple(line for line in self.hours if not line.is_believed)

    @property
    def actual_minutes(self) -> int:
        """The work that the plan foresaw, to the minute."""
        return sum(line.minutes for line in self.hours)


def take_account(
    book: Book,
    job: Job,
    sheet: CostSheet,
    price: Money,
    changes: Money,
    closing: SaidPrice | None = None,
) -> CloseOut:
    """The close-out as the book stands now; nothing is posted.

    `sheet` is the plan, `price` what was agreed before tax, `changes` the change orders; `closing`
    is a price that becomes the agreed one at closing.
    """
    is_canceled = cancellation_of(book, job) is not None
    work = work_of_job(book, job.key)
    used = with_planned_tax(job_material(book, job.key), sheet.others)
    noted = costs_of(book, job, "actual")
    after = account_afterwards(done_with(book, job, work, used, noted, price, changes), sheet.rates)
    planned = planned_costs(sheet)
    plan = with_consumables(with_goods_of_others(planned, used), used, noted)
    missing = () if is_canceled else costs_not_noted(
        plan.others, sheet.units, sheet.currency, noted, used, is_reworked=bool(after.rework)
    )  # fmt: skip
    return CloseOut(
        job=job,
        day=book.today,
        sheet=sheet,
        afterwards=after,
        materials=material_differences(
            sheet.lines, used, plan.material[len(planned.material) :]
        ),
        freight=FreightDifference(
            sheet.totals.freight,
            total(use.freight for use in used),
            total(use.freight_lost for use in used),
        ),
        tax=_tax(sheet, used, after.done, noted),
        hours=_hours(book, sheet, work),
        labor=_labor(sheet, after.done),
        helper=_helper(sheet, after.done),
        differences=cost_differences(plan, after.done, used, noted, missing, sheet.units),
        not_noted=missing,
        rework=tuple(rework_of(book, job.key)),
        changes_hours=to_hours(sum(row.minutes for row in work if row.kind == "change_order")),
        income=_streams(book, job),
        record=hours_record(book),
        not_logged=() if is_canceled else lines_without_hours(book, job, sheet, work),
        lessons=_next_time(book, job, sheet, work),
        open_ends=(
            *(() if is_canceled else (*_open_ends(sheet, used), *_changes_unlogged(book, job))),
            *_unpaid_helpers(book, job), *_running_clock(book, job),
        ),
        unpaid=_unpaid(book, job, closing),
        late=late_cost_of(book, job),
        guess=_guess(book, job, sheet),
        closing=closing,
        together=saved_together(book, job, needs_of(sheet.lines)),
        is_untaxed=is_agreed_untaxed(book, job),
        agreed_hours=None if is_canceled else _agreed_hours(book, job, sheet),
    )  # fmt: skip


def _unpaid(book: Book, job: Job, closing: SaidPrice | None) -> Money:
    """What the client has still to pay; a price said at closing replaces one said so before."""
    if closing is None:
        return balance(book, job).due
    rest = total(due.asked for due in dues_of(book, job) if due.source not in WITHOUT_QUOTE)
    return closing.asked + rest - received_on(book, job)


def _agreed_hours(book: Book, job: Job, sheet: CostSheet) -> Decimal | None:
    """The hours planned as they are still agreed, where design, pieces or change orders differ."""
    changed, fewer = hours_as_changed(book, job), fewer_minutes(book, job.key)
    if not changed and not fewer:
        return None
    lines = changed.values() or sheet.hours
    return still_agreed(total_hours(line.estimate for line in lines), fewer) if lines else None


def _guess(book: Book, job: Job, sheet: CostSheet) -> Decimal | None:
    agreed = None if sheet.hours else total_of(book, job)
    return to_hours(agreed.minutes) if agreed is not None and agreed.minutes else None


def _hours(book: Book, sheet: CostSheet, work: Sequence[WorkSum]) -> tuple[HoursDifference, ...]:
    return hours_differences(sheet, work, {o.code: o.name for o in standards(book).values()})


def _next_time(
    book: Book, job: Job, sheet: CostSheet, work: Sequence[WorkSum]
) -> tuple[NextTime, ...]:
    """What the next estimate does differently; of an open job as if it was closed now."""
    if state_of(book, job) in SHUT:
        return lessons(book, sheet, work)
    guessed = _guessed(_guess(book, job, sheet), _hours(book, sheet, work))
    return lessons(book, sheet, work, built_if_closed(book, job, sheet.hours, guessed))


def _guessed(guess: Decimal | None, hours: Iterable[HoursDifference]) -> set[str]:
    """The operations with hours of a job by a guess, which took its typed work in."""
    return {line.operation for line in hours if line.minutes} if guess is not None else set()


def close_job(book: Book, close_out: CloseOut) -> None:
    """Close the job: its price, counts as built, the record, the state, all in one entry.

    Raises:
        NotAllowed: the job is closed or canceled already, or the clock runs on it.
    """
    job, sheet = close_out.job, close_out.sheet
    state = state_of(book, job)
    if state in SHUT:
        raise NotAllowed(f"{job.number} is {state} already.")
    require_no_clock(book, job)
    with book.entry("job close", job.number):
        if close_out.closing is not None:
            agree_without_quote(book, job, close_out.closing)
        guessed = _guessed(close_out.guess, close_out.hours)
        for count in counts_at_closing(book, job, sheet.hours, guessed):
            book.post(count)
        done = close_out.afterwards.done
        book.post(
            CloseOutRow(
                job=job.key,
                day=book.today,
                price=done.price + done.changes,
                planned_hours=close_out.planned_hours
                if close_out.agreed_hours is None
                else close_out.agreed_hours,
                four_in_five=sheet.range.p80 if sheet.hours else Decimal(0),
                actual_minutes=close_out.actual_minutes,
            )
        )
        keep_plan(book, job, sheet)
        if sheet.hours:
            _post_points(book, close_out)
        set_state(book, job, "closed")


def _post_points(book: Book, close_out: CloseOut) -> None:
    """Post the points that a job was foretold at beside its minutes, inside its closing."""
    done, spread = close_out.afterwards.done, close_out.sheet.range
    rework = done.rework_minutes if spread.basis else 0  # older points were of work alone
    book.post(
        ForetoldRow(
            job=close_out.job.key,
            typical=spread.p50,
            safe=spread.p80,
            bad=spread.p95,
            past_jobs=spread.jobs,
            basis=spread.basis,
            minutes=close_out.actual_minutes + rework,
        )
    )


def reopen_job(book: Book, job: Job, why: str) -> None:
    """Open a closed or canceled job again, with the reason; a canceled one where it had come to.

    Raises:
        NotAllowed: the job is open, or no reason is given.
    """
    if not why.strip():
        raise NotAllowed(f"Say why {job.number} is opened again: --why TEXT")
    state = state_of(book, job)
    if state not in SHUT:
        raise NotAllowed(f"{job.number} is not closed; there is nothing to open again.")
    before = "installed"
    if state == "canceled":
        entered = [row.state for row in book.rows(JobState, job=job.key) if row.state not in SHUT]
        before = entered[-1] if entered else "open"
    if before == "deposit paid" and not received_on(book, job):
        before = "won" if agreement_of(book, job) is not None else "open"
    with book.entry("job reopen", f"{job.number}: {why.strip()}"):
        set_state(book, job, before, why=why.strip())


def _tax(
    sheet: CostSheet, used: Iterable[JobUse], done: Done, noted: Iterable[JobCost]
) -> TaxDifference:
    paid = total(use.tax for use in used) + total(r.amount for r in tax_noted(sheet.others, noted))
    return TaxDifference(tax_planned(sheet.others), paid + done.use_tax)


def _labor(sheet: CostSheet, done: Done) -> Variance:
    """The owner's hours at break-even; the rate is one, so all of it is efficiency."""
    planned, rate = Fraction(sheet.totals.owner_hours), sheet.rates.break_even
    worked = Fraction(done.owner_minutes, 60)
    return variance(rate.times(worked), worked, rate.times(planned), planned)


def _helper(sheet: CostSheet, done: Done) -> Variance:
    planned = Fraction(sheet.totals.helper_hours)
    meant = sheet.rates.helper_cost.times(planned)
    return variance(done.helper, Fraction(done.helper_minutes, 60), meant, planned)


def _streams(book: Book, job: Job) -> tuple[tuple[str, Money, Money], ...]:
    streams: dict[str, tuple[Money, Money]] = {}
    for row in incomes(book, job):
        gross, fee = streams.get(row.stream, (Money(0), Money(0)))
        streams[row.stream] = gross + row.gross, fee + row.fee
    return tuple((stream, gross, fee) for stream, (gross, fee) in streams.items())


def _unpaid_helpers(book: Book, job: Job) -> list[str]:
    """Helpers' hours that were entered while their hour cost nothing."""
    return [
        f"what an hour of {row.person} costs: {to_hours(row.minutes)} h stand at"
        f" {book.currency.show(Money(0))}"
        for row in hired(book, job.key)
        if not row.rate
    ]


def _changes_unlogged(book: Book, job: Job) -> list[str]:
    """The hours that approved change orders added, where none are logged on change orders."""
    changed, worked = approved_minutes(book, job), worked_on_changes(work_of_job(book, job.key))
    if not changed or worked:
        return []
    return [f"hours of its change orders: {to_hours(changed)} h agreed, none logged on them"]


def _running_clock(book: Book, job: Job) -> list[str]:
    """The clock where it still runs on the job: its hours are not in the account."""
    clock = running_on(book, job)
    if clock is None:
        return []
    since = f"{clock.began:%H:%M} of {clock.began:%Y-%m-%d}"
    return [f"the clock, on {clock.words} since {since}: benchledger clock off"]


def _open_ends(sheet: CostSheet, used: list[JobUse]) -> tuple[str, ...]:
    """What looks forgotten: planned and never taken from stock."""
    taken = {use.material for use in used}
    unused = [line.item for line in sheet.lines if line.item not in taken]
    return (f"not taken from stock: {', '.join(dict.fromkeys(unused))}",) if unused else ()

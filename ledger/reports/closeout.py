"""A close-out as facts: the plan behind the accepted quote, and what happened beside it."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.quotes import QuoteBasis
from ledger.costing.forgotten import forgettable
from ledger.costing.sheet import CostSheet, read_cost_sheet
from ledger.errors import NotAllowed
from ledger.jobs.agreement import agreement_of, asked_for, cancellation_of, require_agreement
from ledger.jobs.answers import COST_KINDS
from ledger.jobs.changes import changes_total
from ledger.jobs.closeout import CloseOut, take_account
from ledger.jobs.closing_plan import plan_at_closing
from ledger.jobs.cost_differences import HELPER, MATERIAL, MATERIAL_TAX
from ledger.jobs.estimate import planned_at
from ledger.jobs.lines import total_of
from ledger.jobs.one_sum import closing_price
from ledger.jobs.other_costs import PRICE_RISE
from ledger.jobs.pricing import price_job
from ledger.jobs.unlogged import LineWithoutHours
from ledger.labor.observations import FORGOTTEN
from ledger.labor.plan import plan_of
from ledger.labor.standards import staffed
from ledger.measures.driving import driving
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.measures.spoken import how_many, large
from ledger.quotes.revisions import accepted
from ledger.reports.settled import LATE


def account_of(
    book: Book, job: Job, price: Money | None = None, tax: Money | None = None
) -> CloseOut:
    """The close-out of a job as the book stands, against its accepted quote.

    `price` is what was agreed where no quote was accepted, `tax` what of a sum that was said with
    tax remains for it. A canceled job brought what was kept.

    Raises:
        NotAllowed: no quote was accepted and no price is said, or another one than was quoted.
    """
    quote = accepted(book, job)
    if quote is None:
        return _without_quote(book, job, price, tax)
    agreed = require_agreement(book, job).price  # the quote's, with the options that were taken
    if price is not None and price != agreed:
        show = book.currency.show
        raise NotAllowed(
            f"{job.number} was agreed at {show(agreed)} by {quote.name}; what is more or less than"
            f' that is a change order: benchledger job change {job.number} "WHAT" --price SUM'
        )
    basis = book.last(QuoteBasis, quote=quote.key)
    sheet = read_cost_sheet(basis.basis) if basis else price_job(book, job)
    if cancellation_of(book, job) is not None:
        kept = total(due.price for due in asked_for(book, job))
        return take_account(book, job, sheet, kept, Money(0))
    return take_account(book, job, sheet, agreed, changes_total(book, job))


TOGETHER = "Together, the cost above the plan"
NEVER_BOOKED = ("planned costs never booked", "your planned hours never booked")
OF_IT_REWORK = "Of it rework at break-even, its material in it"


class AccountLine(Struct, frozen=True):
    """A line of a close-out's account, at full value and in cash; None where it has no figure."""

    name: str
    full: Money | None
    cash: Money | None


def account_lines(close_out: CloseOut) -> list[AccountLine]:
    """What came in and went out, in the order it is shown; together it is what you earned."""
    done = close_out.afterwards.done
    rows = [
        AccountLine(
            "price" if close_out.is_untaxed else "price before tax", done.price, done.price
        ),
        AccountLine("change orders", done.changes, done.changes),
        AccountLine("material", -done.material, -done.material_cash),
        AccountLine("offcuts back on the rack", done.credit, done.credit_cash),
    ]
    if done.use_tax:
        rows.append(AccountLine("use tax on material", -done.use_tax, -done.use_tax))
    rows.append(AccountLine("helper", -done.helper, -done.helper))
    driven = f"{driving(close_out.sheet.units).many}, fees, other costs"
    return [*rows, AccountLine(driven, -done.other, -done.other)]


def hourly_lines(close_out: CloseOut) -> list[AccountLine]:
    """What the owner earned an hour, beside the target; the overhead that the hours carried."""
    after, pay = close_out.afterwards, close_out.sheet.rates.pay
    overhead = after.overhead_applied
    rate = close_out.sheet.currency.show(close_out.sheet.rates.overhead)
    return [
        AccountLine("earned an hour", after.full.hour, after.cash.hour),
        AccountLine(
            f"after overhead of {rate}", after.full.after_overhead, after.cash.after_overhead
        ),
        AccountLine("target", pay, pay),
        AccountLine("overhead that these hours carry", overhead, overhead),
    ]


def not_certain(close_out: CloseOut) -> str:
    """What the figures an hour rest on that is not certain; nothing where all is."""
    rests = []
    if close_out.unpaid > Money(0):
        rests.append("count money that the client has not paid yet")
    unknown = _never_logged(close_out)
    if unknown:
        hours = sum(line.estimate for line in unknown)
        lines = how_many(len(unknown), "estimated line")
        rests.append(f"leave out the hours of {lines}, {hours} h")
    if twice := close_out.differences.twice_words(close_out.sheet.currency.show):
        rests.append(twice)
    return f"These figures an hour {' and '.join(rests)}." if rests else ""


def content_lines(close_out: CloseOut) -> list[AccountLine]:
    """What publishing the build brought, after fees; none where nothing was published."""
    after, done = close_out.afterwards, close_out.afterwards.done
    if not (done.content or done.content_minutes or after.in_kind):
        return []
    streams = [
        AccountLine(f"income: {stream}", gross - fee, gross - fee)
        for stream, gross, fee in close_out.income
    ]
    return [
        *streams,
        AccountLine("content together", done.content, done.content),
        AccountLine("content an hour", after.content_hour, after.content_hour),
        AccountLine("goods in kind that were used", after.in_kind, None),
        AccountLine("furniture and content together", None, after.together),
    ]


def _never_logged(close_out: CloseOut) -> list[LineWithoutHours]:
    """The planned lines without hours, which may have been worked all the same."""
    return [line for line in close_out.not_logged if line.answer in {"", FORGOTTEN}]


def variance_lines(close_out: CloseOut) -> list[tuple[str, Money]]:
    """Where the cost differs from the plan; positive is unfavorable.

    The owner's hours have rework and change orders in them. Together they are all that the job
    cost, hours at break-even, less all that was planned.
    """
    materials, lost, costs = close_out.materials, close_out.freight.lost, close_out.differences
    on_returned = f" ({close_out.sheet.currency.show(lost)} on goods sent back)" if lost else ""
    rate, shared = close_out.helper.price, total(amount for _, amount in close_out.together)
    silent = {line.operation for line in _never_logged(close_out)}
    hours = sum(line.owner for line in close_out.sheet.hours if line.operation in silent)
    unlogged = close_out.sheet.rates.break_even.times(Fraction(hours))
    used = total(m.told_apart.usage for m in materials) + total(c for _, c in costs.not_taken)
    fee = total(m.fee for m in materials)
    return [
        ("material price", total(m.told_apart.price for m in materials)),
        ("material used", used - shared),
        *([("kept by suppliers of goods sent back", fee)] if fee else []),
        *((f"cut together with {others}", amount) for others, amount in close_out.together),
        ("offcuts back on the rack", -close_out.afterwards.done.credit),
        (f"freight{on_returned}", close_out.freight.variance),
        ("your hours at break-even, rework and changes in them", close_out.labor.total + unlogged),
        ("helper's rate", rate),
        ("helper's hours", costs.of(HELPER) - rate),
        *((line.name, line.amount) for line in costs.lines if line.name not in (MATERIAL, HELPER)),
        *zip(NEVER_BOOKED, (-costs.unbooked, -unlogged), strict=True),
    ]  # fmt: skip


def hours_over(close_out: CloseOut) -> list[tuple[str, Decimal]]:
    """What operations took beyond their plan, most first.

    A planned line whose hours stand on another one is counted with that one.
    """
    moved: dict[str, Decimal] = {}
    for line in close_out.not_logged:
        moved[line.onto] = moved.get(line.onto, Decimal(0)) + line.estimate
    over = [
        (line.name, line.actual - line.planned - moved.get(line.operation, Decimal(0)))
        for line in close_out.hours
    ]
    return sorted((one for one in over if one[1] > 0), key=lambda one: -one[1])


def unpaid_words(close_out: CloseOut, show: Callable[[Money], str]) -> str:
    """What the client has still to pay, or what has still to go back; nothing where all is paid."""
    if close_out.unpaid > Money(0):
        return f"The client still has {show(close_out.unpaid)} to pay."
    if close_out.unpaid < Money(0):
        return f"{show(-close_out.unpaid)} of what the client paid has still to go back."
    return ""


def not_logged_words(close_out: CloseOut) -> list[str]:
    """Each estimated line without hours, and what was answered for it."""
    return [
        f"{line.name}, {line.estimate} h without hours: {line.answer or 'nothing said of it'}"
        f"{f' ({line.onto_name})' if line.onto else ''}."
        for line in close_out.not_logged
    ]


def above_plan_words(close_out: CloseOut) -> str:
    """What the job cost above its plan in all; nothing without a plan or hours of the owner."""
    show, lines = close_out.sheet.currency.show, variance_lines(close_out)
    if not (close_out.sheet.totals.full_cost and close_out.afterwards.done.owner_minutes):
        return ""
    more = total(amount for _, amount in lines)
    never = total(amount for name, amount in lines if name in NEVER_BOOKED)
    side = "more" if more > Money(0) else "less"
    left = f"; {show(-never)} planned and never booked is taken as not spent" if never else ""
    changes = close_out.changes_hours
    added = f", {changes} h of change orders in them" if changes else ""
    return (
        f"In all it cost {show(abs(more))} {side} than planned, your hours at"
        f" break-even{added}{left}."
    )


def price_rise_words(close_out: CloseOut) -> str:
    """What of a price rise was counted on, after the prices as they came; else nothing."""
    lines = [one for one in close_out.differences.lines if one.name == PRICE_RISE]
    show, rise = close_out.sheet.currency.show, total(one.planned for one in lines)
    return f", {show(rise)} of price rise in the plan" if rise else ""


def other_words(close_out: CloseOut) -> list[str]:
    """Driving, the work of others, fees and the rest that came otherwise than planned."""
    show, told = close_out.sheet.currency.show, {MATERIAL, HELPER, MATERIAL_TAX, PRICE_RISE}
    return [
        f"{large(line.name)}: {show(line.actual)} noted, {show(line.planned)} planned."
        for line in close_out.differences.lines
        if line.name not in told and line.amount
    ]


def not_noted_words(close_out: CloseOut) -> str:
    """The planned costs of which none was noted; nothing where all are."""
    show, planned = close_out.sheet.currency.show, close_out.not_noted
    if not planned:
        return ""
    costs = " and ".join(f"{show(cost)} of {name}" for name, cost in planned)
    maybe = close_out.differences.maybe_words(show)
    return f"Planned {costs}, none noted, so none is in the figures.{f' {maybe}.' if maybe else ''}"


def not_noted_advice(close_out: CloseOut) -> str:
    """The planned costs of which none was noted, and how to mend that."""
    is_booked = "If it is, take that receipt back and enter it with --category outside. "
    return (
        f"{not_noted_words(close_out)} {is_booked if close_out.differences.maybe_bills else ''}"
        f"Note each by its name: benchledger job add-cost {close_out.job.number}"
        f" {_typed(close_out.not_noted[0][0], close_out.sheet.units)} --actual (and --after-close"
        " once closed)"
    )


def _typed(name: str, units: str) -> str:
    """How a planned cost is typed as it came: its kind or line of the list, or its own words."""
    driven, kind = driving(units).many, name.partition(" ")[0]
    if name == driven:
        return f"{driven} NUMBER"
    if any(line.item == name for line in forgettable(units)):
        return f"{name} 1 AMOUNT" if name.isalpha() else f'"{name}" 1 AMOUNT'
    return f"{kind} 1 AMOUNT" if kind in COST_KINDS else f'other 1 AMOUNT --note "{name}"'


def _planned(book: Book, job: Job) -> CostSheet:
    """The plan of a job without a quote: that of its closing, else the hours kept, else today's."""
    if kept := plan_at_closing(book, job):
        return read_cost_sheet(kept)
    sheet, plan = price_job(book, job), plan_of(book, job)
    return sheet if plan is None else planned_at(sheet, plan, staffed(book))


def _without_quote(book: Book, job: Job, price: Money | None, tax: Money | None) -> CloseOut:
    """The close-out of a job without a quote: what was kept, or the price said at closing."""
    agreed, is_canceled = agreement_of(book, job), cancellation_of(book, job) is not None
    total_price = total_of(book, job)
    if price is None and agreed is None and total_price is not None:
        price, tax = total_price.price, total_price.tax
    if is_canceled:
        kept = total(due.price for due in asked_for(book, job))
        return take_account(book, job, _planned(book, job), kept, Money(0))
    closing = None if price is None else closing_price(book, job, price, tax)
    said = closing or agreed
    if said is None:
        raise NotAllowed(f"{job.number} has no accepted quote. Say what was agreed: --price AMOUNT")
    changes = changes_total(book, job)
    return take_account(book, job, _planned(book, job), said.price, changes, closing)


def close_out_json(close_out: CloseOut) -> dict[str, Any]:
    """The facts of a close-out for other programs; money and hours as decimal strings."""
    currency, record = close_out.sheet.currency, close_out.record
    return {
        **plain_fields(close_out, "job=job.number day currency=sheet.currency.code"),
        **plain_fields(close_out.afterwards, _EARNED, currency),
        "hours": _hours_facts(close_out),
        "materials": plain_rows(close_out.materials, _MATERIAL, currency),
        **plain_fields(
            close_out,
            "freight_planned=freight.planned freight=freight.actual freight_lost=freight.lost"
            " material_tax_planned=tax.planned material_tax=tax.actual",
            currency,
        ),
        "variances": {
            "material_price": plain(total(m.variance.price for m in close_out.materials), currency),
            "material_usage": plain(total(m.variance.usage for m in close_out.materials), currency),
            **plain_fields(close_out, _VARIANCES, currency),
        },
        "cut_together": {others: plain(amount, currency) for others, amount in close_out.together},
        "differences": [
            {"name": name, "amount": plain(amount, currency)}
            for name, amount in variance_lines(close_out)
            if amount
        ],
        "unpaid": plain(close_out.unpaid, currency),
        "late_cost": close_out.late and plain_fields(close_out.late, LATE, currency),
        "record": {
            "jobs": len(record.counted),
            "under_four_in_five": record.under_safe,
            "not_counted": [one.job for one in record.uncounted],
        },
        "not_noted": [
            {"name": name, "planned": plain(cost, currency)} for name, cost in close_out.not_noted
        ],
        "not_logged": plain_rows(close_out.not_logged, "operation estimate answer onto"),
    }


_EARNED = (
    "price=done.price changes=done.changes material=done.material"
    " material_cash=done.material_cash offcut_credit=done.credit use_tax=done.use_tax"
    " helper=done.helper other=done.other earned=full.amount earned_an_hour=full.hour"
    " after_overhead=full.after_overhead earned_cash=cash.amount earned_cash_an_hour=cash.hour"
    " in_kind_used=in_kind content=done.content content_an_hour=content_hour together rework"
)
_MATERIAL = (
    "item words unit from_rack quantity_planned=planned quantity_used=used"
    " quantity_scrapped=scrapped planned_cost cost price_variance=variance.price"
    " usage_variance=variance.usage"
)
_VARIANCES = (
    "freight=freight.variance labor_rate=labor.price labor_efficiency=labor.usage"
    " helper_rate=helper.price helper_efficiency=helper.usage"
)


def _hours_facts(close_out: CloseOut) -> dict[str, Any]:
    done = close_out.afterwards.done
    return {
        **plain_fields(
            close_out, "planned=planned_hours as_changed=agreed_hours guess actual=actual_hours"
        ),
        "owner": str(to_hours(done.owner_minutes)),
        "helper": str(to_hours(done.helper_minutes)),
        "rework": str(to_hours(done.rework_minutes)),
        "changes": str(close_out.changes_hours),
        "operations": plain_rows(close_out.hours, "operation planned actual"),
    }

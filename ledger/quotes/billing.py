"""Billing a job: a deposit, a stage or the rest invoiced, or a payment asked for without invoice.

An invoice settles what came for it. Outside VAT it covers payments of the schedule, asked for
before or after the money came. Under VAT a payment before the work is done is first asked for by a
payment request, which is no invoice; its invoice, with its tax, follows the money; the last one
shows all that is supplied and takes off the payments invoiced before, each with its own tax.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from ledger.book import Book, is_closed, require_open_day
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.jobs import ChangeOrder, ChangeState, Due, Payment
from ledger.errors import NotAllowed
from ledger.jobs.agreement import agreement_of, no_price_words
from ledger.jobs.jobs import HANDED_OVER, SHUT, find_job, set_state, state_of
from ledger.jobs.lines import total_of
from ledger.jobs.one_sum import agree_on_total
from ledger.jobs.payments import payments
from ledger.measures.chosen import choose
from ledger.measures.day import Month
from ledger.measures.money import Money, total
from ledger.quotes.contract import ZERO, Contract, Portion, contract_on, sum_of
from ledger.quotes.excess import excess_words
from ledger.quotes.invoice import (
    ALONE,
    DEPOSIT,
    FINAL,
    INVOICE,
    REQUEST,
    STAGE,
    Deducted,
    Invoice,
    papers,
)
from ledger.quotes.issuing import Bill, is_under_vat, post_paper
from ledger.quotes.revisions import find_quote, standing


def write_invoice(
    book: Book,
    job: Job,
    *,
    which: str = "",
    rest: bool = False,
    request: bool = False,
    by_card: bool = False,
    day: date | None = None,
    supplied: date | None = None,
) -> Invoice:
    """Post the next paper of a job: the next payment, a named one, or all the rest.

    All the rest where everything asked for has come, or the piece is installed or the job closed.
    Under VAT: the rest once the piece is installed (or where `rest` says so), else an invoice of
    the money that came, else a payment request. `supplied` is the day the piece was
    delivered or picked up: what is invoiced as handed over is installed, and held no more.

    Raises:
        NotAllowed: nothing is agreed, all was invoiced, nothing happened since the last paper and
            no payment is named, or the law asks for what is not known.
        NotFound: no payment that is left is named so.
    """
    when = require_open_day(book, day or book.today)
    if supplied and supplied > when:
        raise NotAllowed(
            f"The piece cannot be delivered or picked up on {supplied}, after this invoice."
        )
    agree_on_total(book, job)
    contract = contract_on(book, job, when)
    handed_over = supplied or _installed(book, job, when)
    if is_under_vat(book) or request:
        if (rest or handed_over) and not request:
            _require_all_named(contract, which, contract.invoiced_in_part)
        state = state_of(book, job)
        if handed_over is None and not request and state in HANDED_OVER:
            raise NotAllowed(
                f"{job.number} {'is' if state == 'closed' else 'was'} closed, and nothing says when"
                " the piece was delivered, or the work done. Its final invoice must say the day:"
                f" benchledger quote invoice {job.number} --supplied DAY"
            )
        bill = _under_vat(book, contract, which, rest, request, handed_over)
    else:
        chosen = _chosen(contract, which)
        is_paid = contract.received >= contract.whole.asked and not contract.has_final
        is_done = state_of(book, job) in HANDED_OVER or _installed(book, job, when) is not None
        is_over = not which and (is_paid or is_done)
        everything = rest or contract.canceled or is_over or _nothing_else(contract, chosen)
        if everything:
            _require_all_named(contract, which, contract.uninvoiced)
        bill = _rest(contract, handed_over) if everything else _next(contract, chosen)
    if not (which or rest or supplied):
        _require_news(book, contract, bill)
    with book.entry("quote invoice", job.number):
        paper = post_paper(book, contract, bill, by_card=by_card)
        if supplied and bill.supplied:
            _hand_over(book, job, supplied, when)
    return paper


def _hand_over(book: Book, job: Job, supplied: date, when: date) -> None:
    """Post that the piece stands, on the day of its supply, or of the invoice in a later month."""
    if state_of(book, job) not in {"installed", *SHUT}:
        is_shut = is_closed(book, Month.of(supplied))
        set_state(book, job, "installed", day=when if is_shut else supplied)


def find_job_to_bill(book: Book, text: str) -> Job:
    """The job of a quote; without one, a job whose price was agreed in one sum or at closing.

    Raises:
        NotFound: nothing answers.
        NotAllowed: the job has neither a quote nor a price.
    """
    try:
        return standing(book, find_quote(book, text)).job
    except NotAllowed:
        job = find_job(book, text)
        if agreement_of(book, job) is None and total_of(book, job) is None:
            raise NotAllowed(no_price_words(job)) from None
        return job


def since_then(book: Book, job: Job, paper: Invoice) -> str:
    """What changed since a paper was written, where it says what is no longer so."""
    contract = contract_on(book, job, book.today)
    show, notes = contract.currency.show, []
    if contract.received != paper.received:
        notes.append(f"received {show(contract.received)} by now")
    credits = [one.credits for one in contract.billed if one.row.number == paper.number]
    notes += [f"credited by {', '.join(numbers)}" for numbers in credits if numbers]
    return f"It reads as it was sent; since then: {'; '.join(notes)}." if notes else ""


def next_paper(book: Book, job: Job) -> str:
    """The paper called for once a job was canceled, comes to less, or money moved under VAT."""
    if agreement_of(book, job) is None:
        return ""
    contract = contract_on(book, job, book.today)
    if contract.canceled is not None:
        return _next_of_canceled(book, contract)
    if (words := excess_words(contract)) or not is_under_vat(book):
        return words
    came = min(contract.received, contract.whole.asked)
    if contract.has_final or came == contract.invoiced.asked:
        return ""
    if came > contract.invoiced.asked:
        more = _show(contract, came - contract.invoiced.asked)
        return (
            f"{more} came for {job.number} and stands in no invoice. Under VAT its invoice follows:"
            f" benchledger quote invoice {job.number}"
        )
    last, ahead = contract.standing[-1].row.number, contract.invoiced.asked - came
    return (
        "More is invoiced than came; a credit note takes it off:"
        f" benchledger quote credit {last} {_show(contract, ahead)} --why TEXT"
    )


def _next_of_canceled(book: Book, contract: Contract) -> str:
    """The paper that makes what is invoiced tie with what was kept; nothing where it does."""
    kept, billed = contract.whole, contract.invoiced
    if (kept.price, kept.tax) == (billed.price, billed.tax):
        return ""
    if not contract.standing and not is_under_vat(book):
        return ""
    show, job = contract.currency.show, contract.job.number
    of_kept = f" (tax in it {show(kept.tax)})" if kept.tax or billed.tax else ""
    of_billed = f" ({show(billed.tax)})" if kept.tax or billed.tax else ""
    return (
        f"{show(kept.asked)}{of_kept} is kept of {job}, and {show(billed.asked)}{of_billed} is"
        f" invoiced. The invoice that settles it: benchledger quote invoice {job}"
    )


def find_due(left: Sequence[Due], text: str) -> Due:
    """The payment of that name, or of an unambiguous part of it.

    Raises:
        NotFound: none answers.
        Ambiguous: several do.
    """
    return choose("payment", text, left, lambda due: [due.name, due.source])


# --- what is billed ------------------------------------------------------------------------


def _chosen(contract: Contract, which: str) -> list[Due]:
    """The payment to be invoiced: the one named, else the next that is asked for."""
    left = contract.uninvoiced
    if which:
        return [find_due(left, which)]
    open_dues = [due for due in left if due.asked > ZERO]
    return open_dues[:1]


def _nothing_else(contract: Contract, chosen: Sequence[Due]) -> bool:
    """Whether nothing but credits is left beside what was chosen."""
    left = [due for due in contract.uninvoiced if due.asked > ZERO]
    return all(due in chosen for due in left)


def _require_all_named(contract: Contract, which: str, left: Sequence[Due]) -> None:
    """Refuse a payment by name where all that is open is invoiced at once, and it is not all."""
    if which and any(due.asked > ZERO for due in left if due != find_due(left, which)):
        raise NotAllowed(
            f"All that is open on {contract.job.number} is due now, in one final invoice:"
            f" {', '.join(due.name for due in left)}. Leave --for out"
        )


def _next(contract: Contract, chosen: Sequence[Due]) -> Bill:
    """An invoice of one payment of the schedule, settled as far as money has filled it.

    What approved changes take off stands on it too, as far as something is left to ask for: the
    credit fills this payment, and an invoice that left it out would ask for more than is owed.
    """
    (due,) = chosen
    if due.asked < ZERO:
        raise NotAllowed(
            f"{due.source} takes {_show(contract, -due.asked)} off, and has no invoice of its own;"
            " the next invoice for a payment takes it off, as far as that asks for more:"
            f" benchledger quote invoice {contract.job.number}"
        )
    covers = contract.with_credits(due)
    portions = [contract.portion_of(one) for one in covers]
    portion = sum_of(portions)
    first = due.key == contract.dues[0].key
    return Bill(
        paper=INVOICE,
        kind=DEPOSIT if first else STAGE,
        lines=contract.lines_of(covers, portions),
        portion=portion,
        to_pay=min(max(contract.open_of([due]), ZERO), portion.asked),
        covers=covers,
    )


def _rest(contract: Contract, supplied: date | None) -> Bill:
    """The final invoice: all that is supplied, less what was invoiced before."""
    portion = contract.whole - contract.invoiced
    _require_something(contract, portion)
    late = contract.uninvoiced if contract.has_final else []
    if late and total(due.asked for due in late) == portion.asked:
        portions = [contract.portion_of(due) for due in late]
        lines = contract.lines_of(late, portions)
        deducted: tuple[Deducted, ...] = ()
    else:
        lines, deducted = contract.lines, _deducted(contract)
    due = max(contract.whole.asked - contract.received - contract.awaited, ZERO)
    return Bill(
        paper=INVOICE,
        kind=FINAL if deducted else ALONE,
        lines=lines,
        portion=portion,
        to_pay=min(due, portion.asked),
        deducted=deducted,
        covers=tuple(contract.uninvoiced),
        supplied=supplied,
    )


def _require_something(contract: Contract, portion: Portion) -> None:
    job, excess = contract.job.number, portion.asked
    if words := excess_words(contract):
        raise NotAllowed(words)
    if contract.canceled is not None and not (portion.price or portion.tax):
        raise NotAllowed(f"{job} was canceled, and nothing that is kept is left to be invoiced.")
    if contract.canceled is not None:
        return
    if excess <= ZERO and (contract.has_final or not contract.standing):
        raise NotAllowed(f"Everything asked for on {job} was invoiced already.")


def _under_vat(
    book: Book, contract: Contract, which: str, rest: bool, request: bool, supplied: date | None
) -> Bill:
    came = min(contract.received, contract.whole.asked)
    if request:
        return _request(contract, which, rest=rest)
    if rest or supplied or contract.canceled or (contract.has_final and not which):
        return _rest(contract, supplied)
    if came > contract.invoiced.asked and not which:
        return _received(book, contract, came)
    return _request(contract, which)


def _received(book: Book, contract: Contract, came: Money) -> Bill:
    """An invoice of the money that came and was not invoiced yet, with the tax in it."""
    before, now = contract.filled(contract.invoiced.asked), contract.filled(came)
    parts = [later - earlier for later, earlier in zip(now, before, strict=True)]
    touched = [(due, part) for due, part in zip(contract.dues, parts, strict=True) if part.asked]
    summed = sum_of([part for _, part in touched])
    portion = contract.at_rate(summed)
    largest = max(range(len(touched)), key=lambda place: touched[place][1].asked)
    due, part = touched[largest]
    touched[largest] = (due, part + (portion - summed))  # the cent that the rounding moves
    return Bill(
        paper=INVOICE,
        kind=DEPOSIT,
        lines=contract.lines_of([due for due, _ in touched], [part for _, part in touched]),
        portion=portion,
        to_pay=ZERO,
        paid_on=_days_paid(book, contract),
    )


def _days_paid(book: Book, contract: Contract) -> tuple[date, ...]:
    """The days of the payments beyond what was invoiced before."""
    came, days = ZERO, []
    for payment in payments(book, contract.job):
        if payment.day <= contract.day:
            came += payment.amount
            if payment.amount > ZERO and came > contract.invoiced.asked:
                days.append(payment.day)
    return tuple(sorted(set(days)))


def _request(contract: Contract, which: str, *, rest: bool = False) -> Bill:
    """A payment asked for, or all that are open: without number and tax to enter, no invoice."""
    opened = [due for due in contract.dues if contract.open_of([due]) > ZERO]
    if not opened:
        raise NotAllowed(f"Nothing asked for on {contract.job.number} is open.")
    asked = [find_due(opened, which)] if which else opened if rest else opened[:1]
    parts = [
        contract.portion_of(due).share(Fraction(contract.open_of([due]).minor, due.asked.minor))
        for due in asked
    ]
    return Bill(
        paper=REQUEST,
        kind="Payment request",
        lines=contract.lines_of(asked, parts),
        portion=sum_of(parts),
        to_pay=contract.open_of(asked),
    )


def _require_news(book: Book, contract: Contract, bill: Bill) -> None:
    """Refuse a paper typed twice: nothing came or changed on the job since the last one.

    Raises:
        NotAllowed: so it is; the last paper can be shown again, or a payment named.
    """
    job = contract.job
    last = max(papers(book, job), key=lambda paper: paper.key, default=None)
    if last is None or last.kind != bill.paper or contract.received > contract.invoiced.asked:
        return
    happened: list[Payment | JobState | ChangeState] = [*book.rows(Payment, job=job.key)]
    happened += book.rows(JobState, job=job.key)
    for order in book.rows(ChangeOrder, job=job.key):
        happened += book.rows(ChangeState, change_order=order.key)
    if any(row.entry > last.entry or row.day > last.day for row in happened):
        return
    name = last.number or "the payment request"
    due = bill.covers[0].name if bill.covers else bill.lines[0].name
    raise NotAllowed(
        f"Nothing came or changed on {job.number} since {name} of {last.day}. To read it:"
        f" benchledger quote invoice {job.number} --again {last.number or REQUEST}. To ask for more"
        f' now, name the payment, --for "{due}", or --rest'
    )


def _deducted(contract: Contract) -> tuple[Deducted, ...]:
    """What was invoiced before, each with its own price and tax, its credit notes taken off."""
    deductions = []
    for one in contract.standing:
        less = f" less {', '.join(one.credits)}" if one.credits else ""
        deductions.append(
            Deducted(one.row.number + less, one.row.day, one.stands.price, one.stands.tax)
        )
    return tuple(deductions)


def _installed(book: Book, job: Job, day: date) -> date | None:
    """The last day on which the job was said to be installed, by that day.

    A closed job that was opened again stands as installed, too: since when, nobody said with it.
    """
    entered = book.rows(JobState, job=job.key)
    days = [
        row.day
        for before, row in zip([None, *entered], entered, strict=False)
        if row.state == "installed" and (before is None or before.state not in SHUT)
    ]
    return max((one for one in days if one <= day), default=None)


def _show(contract: Contract, amount: Money) -> str:
    return contract.currency.show(amount)

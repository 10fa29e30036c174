"""Change orders: what changes after a quote was accepted, in writing and before the work.

CO-1, CO-2 … each with a price (0 for a favor, negative for something left out), the days it adds
and its estimated hours. Those hours, and the hours logged on it, stand apart from the job's own
estimate, so that changes never spoil what the shop learns.
"""

import re
from datetime import date
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.questions.labor import work_of_job
from ledger.book.questions.progress import fewer_minutes
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Agreement, ChangeOrder, ChangeState, Due
from ledger.errors import BadValue, NotAllowed, NotFound
from ledger.jobs.agreement import Ask, add_due, require_agreement
from ledger.jobs.jobs import state_of
from ledger.labor.estimate import total_hours
from ledger.labor.plan import plan_of, still_agreed, worked_on_changes
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, sales_tax, total
from ledger.measures.values import replace


class Change(Struct, frozen=True):
    """A change order and how it stands."""

    order: ChangeOrder
    state: str
    since: date
    how: str


def propose(
    book: Book,
    job: Job,
    words: str,
    price: Money,
    *,
    days: int = 0,
    minutes: int = 0,
    affects: str = "",
    asked_by: str = "",
    taxed: bool = True,
    day: date | None = None,
) -> ChangeOrder:
    """Post a change order as proposed; it gets the job's next number.

    Raises:
        NotAllowed: nothing is agreed yet, the job is over, or the day is closed.
        BadValue: it does not say what changes.
    """
    require_agreement(book, job)
    state = state_of(book, job)
    if state in {"closed", "canceled"}:
        raise NotAllowed(f"{job.number} is {state}; nothing changes in it any more.")
    if not words.strip():
        raise BadValue("A change order says what changes, for example “one more shelf a tower”.")
    when = require_open_day(book, day or book.today)
    number = _next_number(book, job)
    with book.entry("job change", f"{job.number} CO-{number} {words.strip()}"):
        order = book.post(
            ChangeOrder(
                job=job.key,
                number=number,
                words=words.strip(),
                price=price,
                taxed=taxed,
                days=days,
                minutes=max(minutes, 0),
                fewer_minutes=max(-minutes, 0),
                affects=affects,
                asked_by=asked_by,
                day=when,
            )
        )
        book.post(ChangeState(change_order=order.key, state="proposed", day=when))
    return order


def approve(
    book: Book, job: Job, order: ChangeOrder, how: str, *, day: date | None = None
) -> Change:
    """Record that the client approved a change order; its payment is asked for from now on.

    Raises:
        NotAllowed: it is not open any more, or the day lies before it was written.
    """
    agreed = require_agreement(book, job)
    when = _answer_day(book, order, day)
    with book.entry("job change", f"{job.number} {order.name} approved by {how}"):
        book.post(ChangeState(change_order=order.key, state="approved", day=when, how=how))
        if order.price:
            tax = tax_on_change(book, order, agreed)
            ask = Ask(f"{order.name}: {order.words}", order.price, tax)
            add_due(book, job, order.name, ask)
    return change_of(book, order)


def typed_price(book: Book, job: Job, text: str, *, taxed: bool) -> Money:
    """The price of a change before tax, as it was typed: 120, or “120 with tax”."""
    from ledger.jobs.agreed_total import parse_total  # with all that prices a job
    from ledger.jobs.tax import is_untaxed

    amount, with_tax = parse_total(text)
    amount_typed, agreed = book.currency.parse(amount), require_agreement(book, job)
    if not (with_tax and taxed) or is_untaxed(agreed.tax_standing):
        return amount_typed
    return amount_typed.times(1 / (1 + agreed.tax_rate))


def rounded_words(book: Book, job: Job, text: str, order: ChangeOrder) -> str:
    """That a price said with tax comes to another sum, for no price and its tax make just that."""
    from ledger.jobs.agreed_total import parse_total

    amount, with_tax = parse_total(text)
    asked = order.price + tax_on_change(book, order, require_agreement(book, job))
    if not with_tax or asked == book.currency.parse(amount):
        return ""
    show = book.currency.show
    return (
        f"{order.name} asks for {show(asked)} with tax: no price and the rounded tax on it come to"
        f" {show(book.currency.parse(amount))}."
    )


def tax_on_change(book: Book, order: ChangeOrder, agreed: Agreement) -> Money:
    """The tax on a change order, at the rate of what was agreed."""
    from ledger.jobs.tax import is_untaxed  # with use tax and stock: reports need neither

    if not order.taxed or is_untaxed(agreed.tax_standing):
        return Money(0)
    return sales_tax(order.price, agreed.tax_rate, book.currency)


CREDITED = "credited by"
"""How a change begins that a credit note made."""


SURCHARGED = "card fee asked for by"
"""How a change begins that a payment by card made, with the surcharge that its paper asked for."""


def has_own_paper(order: ChangeOrder) -> bool:
    """Whether a change order follows a credit note or an invoice, which is its paper."""
    begins = CREDITED if order.price < Money(0) else SURCHARGED
    return order.words.startswith(f"{begins} ")


def change_price(book: Book, job: Job, ask: Ask, how: str, *, day: date) -> Due:
    """Post a change order, approved at once, that another paper made; give its payment.

    It is open to a closed job too. `ask` is what is added, or below zero taken off; its tax is that
    of the other paper, so that contract and invoices tie.
    """
    number, words = _next_number(book, job), ask.name
    with book.entry("job change", f"{job.number} CO-{number} {words}"):
        order = book.post(
            ChangeOrder(
                job=job.key, number=number, words=words, price=ask.price, taxed=bool(ask.tax),
                days=0, minutes=0, day=day,
            )
        )  # fmt: skip
        book.post(ChangeState(change_order=order.key, state="approved", day=day, how=how))
        return add_due(book, job, order.name, replace(ask, name=f"{order.name}: {words}"))


def decline(
    book: Book, job: Job, order: ChangeOrder, how: str = "", *, day: date | None = None
) -> Change:
    """Record that the client did not want a change order.

    Raises:
        NotAllowed: it is not open any more.
    """
    when = _answer_day(book, order, day)
    with book.entry("job change", f"{job.number} {order.name} declined"):
        book.post(ChangeState(change_order=order.key, state="declined", day=when, how=how))
    return change_of(book, order)


def changes(book: Book, job: Job) -> list[Change]:
    """The change orders of a job, in the order of their numbers."""
    return [change_of(book, order) for order in book.rows(ChangeOrder, job=job.key)]


def change_of(book: Book, order: ChangeOrder) -> Change:
    """A change order and its last state."""
    last = book.last(ChangeState, change_order=order.key)
    if last is None:
        raise NotAllowed(f"{order.name} was taken back.")
    return Change(order, last.state, last.day, last.how)


def find_change(book: Book, job: Job, text: str) -> ChangeOrder:
    """The change order of that number: CO-1, co1 or 1.

    Raises:
        NotFound: the job has no such change order.
    """
    match = re.fullmatch(r"(?:co-?)?(\d{1,4})", text.strip().casefold())
    known = book.rows(ChangeOrder, job=job.key)
    for order in known:
        if match and order.number == int(match[1]):
            return order
    raise NotFound(f"change order of {job.number}", text, [order.name for order in known])


def changes_total(book: Book, job: Job) -> Money:
    """What the approved change orders add to the price, before tax."""
    return total(change.order.price for change in approved(book, job))


def approved_minutes(book: Book, job: Job) -> int:
    """Minutes that approved change orders add; what they take off is in the job's own hours."""
    return sum(c.order.minutes for c in approved(book, job))


def approved(book: Book, job: Job) -> list[Change]:
    """The change orders that stand approved, each since its day."""
    return [change for change in changes(book, job) if change.state == "approved"]


def changed_minutes(book: Book, job: Job) -> tuple[int, int]:
    """Minutes by which approved change orders change a job, and minutes logged on change orders."""
    fewer = fewer_minutes(book, job.key)
    return approved_minutes(book, job) - fewer, worked_on_changes(work_of_job(book, job.key))


def agreed_hours(book: Book, job: Job) -> Decimal | None:
    """The hours planned or guessed that changes left of a job; what they add stands apart."""
    from ledger.jobs.lines import total_of  # with the tables of counts: most changes need none

    if plan := plan_of(book, job):
        return still_agreed(total_hours(plan.values()), fewer_minutes(book, job.key))
    guess = total_of(book, job)
    return to_hours(guess.minutes) if guess is not None and guess.minutes else None


def hours_that_stay(book: Book, job: Job, order: ChangeOrder) -> str:
    """That a change takes money off and no hours, and how it would; else nothing."""
    hours = agreed_hours(book, job)
    if order.price >= Money(0) or order.minutes_changed or not hours:
        return ""
    price = book.currency.decimal(order.price)
    return (
        f"{order.name} takes {book.currency.show(-order.price)} off and no hours: {hours} h stay"
        f" agreed. If it saves some, take it back, benchledger undo, and say them: benchledger job"
        f" change {job.number} WORDS --price {price} --hours -HOURS"
    )


def worked_ahead(book: Book, job: Job) -> bool:
    """Whether hours were logged on change orders while none was approved."""
    return changed_minutes(book, job)[1] > 0 and not approved(book, job)


def _next_number(book: Book, job: Job) -> int:
    return len(book.rows(ChangeOrder, in_force=False, job=job.key)) + 1


def _answer_day(book: Book, order: ChangeOrder, day: date | None) -> date:
    when = require_open_day(book, day or book.today)
    now = change_of(book, order)
    if now.state != "proposed":
        other = "takes it off" if now.state == "approved" else "asks for it again"
        raise NotAllowed(
            f"{order.name} is {now.state} since {now.since}. If that was typed by mistake, take the"
            f" entry back, its number is in: benchledger undo --list. Else a new change order"
            f" {other}."
        )
    if when < order.day:
        raise NotAllowed(f"{order.name} was written on {order.day}, after {when}.")
    return when

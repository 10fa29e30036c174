"""Payments received, what is still due, and what is held until the work is done.

Until a piece stands installed, what the client paid ahead is a liability, not income: it is *held*.
A canceled job asks for what its cancellation kept: what came beyond that goes back to the client.
The fee of a card payment is a cost of the job; to receive a full amount the fee is grossed up.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.questions.progress import overpaid_jobs, unpaid_jobs
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.jobs import Cancellation, ChangeOrder, Due, Payment
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import asked_for, cancellation_of, dues_of
from ledger.jobs.jobs import HANDED_OVER, set_state, state_of
from ledger.jobs.laid import lay_money
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity

WAYS = ("card", "check", "transfer", "cash", "other")
"""How a payment comes."""

HELD_WORDS = "Income tax on a cash basis may count a deposit when it comes; your adviser decides."
"""What stands beside what is held: what is earned and what is taxed may be two things."""

_DONE = {"installed", "closed", "canceled"}


class Balance(Struct, frozen=True):
    """What a job asks for, what came, what is due; `held` was paid ahead of the work."""

    price: Money
    tax: Money
    received: Money
    held: Money

    @property
    def asked(self) -> Money:
        """All that is asked for, tax included."""
        return self.price + self.tax

    @property
    def due(self) -> Money:
        """What is still to be paid; negative where more came than was asked for."""
        return self.asked - self.received


class Settlement(Struct, frozen=True):
    """A canceled job: what was kept of it, and what was received by a day."""

    job: Job
    canceled: Cancellation
    received: Money

    @property
    def owed(self) -> Money:
        """What the client still owes of what was kept."""
        return max(self.canceled.kept - self.received, Money(0))

    @property
    def back(self) -> Money:
        """What has still to go back to the client."""
        return max(self.received - self.canceled.kept, Money(0))

    @property
    def is_settled(self) -> bool:
        """Whether nothing is owed either way."""
        return self.received == self.canceled.kept


class Refund(Struct, frozen=True):
    """A closed job whose client paid more than it came to, and what has still to go back."""

    job: Job
    back: Money


class Outstanding(Struct, frozen=True):
    """One payment asked for, and how much of it has come.

    `changes` names what is asked for together with it, as its invoice does: change orders, and
    once the work is done the other payments; what is open of them is in `open`.
    """

    due: Due
    open: Money
    changes: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What it is called, what is asked for with it named."""
        return f"{self.due.name} with {', '.join(self.changes)}" if self.changes else self.due.name

    @property
    def filled(self) -> Fraction:
        """The share of it that has come."""
        due = self.due.asked.minor
        return Fraction(due - self.open.minor, due) if due > 0 else Fraction(1)


def receive(
    book: Book,
    job: Job,
    amount: Money,
    how: str,
    *,
    day: date | None = None,
    words: str = "",
    fee: Money | None = None,
) -> Payment:
    """Post a payment; a negative amount is one that went back to the client.

    The fee of a card payment (as the settings make it, unless said) is posted as a cost of the
    job. A total that no quote stands beside is agreed by its first payment. The first payment of a
    job that is won makes its state “deposit paid”; where all of it went back, it is “won” again.

    Raises:
        BadValue: no amount, or an unknown way of paying.
        NotAllowed: the day lies in the future or in a closed month, or more would go back than
            came, or than the cancellation of the job left over.
    """
    # What only posting needs is loaded here: every report reads payments.
    from ledger.jobs.answers import FEE, add_cost
    from ledger.jobs.one_sum import agree_unless_quoted

    if how not in WAYS:
        raise BadValue(f"“{how}” is not a way of paying; there is: {', '.join(WAYS)}.")
    if not amount:
        raise BadValue("A payment of 0 is none.")
    when = require_open_day(book, day or book.today)
    if amount < Money(0):
        _require_refundable(book, job, -amount)
    shown = book.currency.show(amount)
    with book.entry("job pay", f"{job.number} {shown} {how}"):
        if amount > Money(0):
            agree_unless_quoted(book, job)
        payment = book.post(
            Payment(job=job.key, day=when, amount=amount, how=how, words=words.strip())
        )
        is_charged = fee is None and how == "card" and amount > Money(0)
        charged = card_fee(book, amount) if is_charged else fee
        if charged:
            cost: Decimal = book.currency.decimal(charged)
            reason = f"card fee on {shown}" if how == "card" else f"fee on {shown}"
            add_cost(
                book, job, FEE, reason, Quantity.of(1), cost,
                actual=True, is_fee_of_payment=True, day=when,
            )  # fmt: skip
        state = state_of(book, job)
        if amount > Money(0) and state == "won":
            set_state(book, job, "deposit paid", day=when)
        if amount < Money(0) and state == "deposit paid" and not received_on(book, job):
            set_state(book, job, "won", day=when, why="the deposit went back")
    return payment


def refundable(book: Book, job: Job) -> Money:
    """What has to go back to the client of a job, where its amount is not said.

    Raises:
        NotAllowed: nothing has to go back, or nothing is agreed that says how much.
    """
    settled, received = settlement_of(book, job), received_on(book, job)
    shown = book.currency.show(received)
    if settled is None and not dues_of(book, job):
        raise NotAllowed(
            f"Nothing is agreed for {job.number} that says what goes back of the {shown} paid:"
            f" benchledger job pay {job.number} AMOUNT --refund"
        )
    back = settled.back if settled is not None else -balance(book, job).due
    if back <= Money(0):
        raise NotAllowed(
            f"Nothing has to go back on {job.number}, which has {shown} of its client. Where"
            f" something does: benchledger job pay {job.number} AMOUNT --refund"
        )
    return back


def refunded_beyond(book: Book, job: Job, amount: Money) -> Money:
    """What a payment back to the client is more than had to go back; 0 where nothing is agreed."""
    if amount >= Money(0) or settlement_of(book, job) is not None or not dues_of(book, job):
        return Money(0)
    return max(-amount - max(-balance(book, job).due, Money(0)), Money(0))


def _require_refundable(book: Book, job: Job, amount: Money) -> None:
    show, received = book.currency.show, received_on(book, job)
    if amount > received:
        raise NotAllowed(
            f"{job.number} has {show(received)} of its client; {show(amount)} cannot go back."
        )
    settled = settlement_of(book, job)
    if settled is not None and amount > settled.back:
        raise NotAllowed(
            f"The cancellation of {job.number} leaves {show(settled.back)} to go back, not"
            f" {show(amount)}. Where you agreed on something else, say first what is kept:"
            f" benchledger job cancel {job.number} --kept AMOUNT --why TEXT"
        )


def card_fee(book: Book, amount: Money) -> Money:
    """What the shop's card company keeps of a payment, by the settings."""
    rate: Fraction = book.settings.card_fee
    fixed: Money = book.settings.card_fee_fixed
    return amount.times(rate) + fixed if rate or fixed else Money(0)


def payments(book: Book, job: Job) -> list[Payment]:
    """The payments of a job in the order they were noted."""
    return book.rows(Payment, job=job.key)


def received_on(book: Book, job: Job, day: date | None = None) -> Money:
    """What a client had paid on a job by a day, refunds taken off."""
    return total(row.amount for row in payments(book, job) if not day or row.day <= day)


def balance(book: Book, job: Job) -> Balance:
    """What a job asks for, what came, what is due and what is held."""
    dues = asked_for(book, job)
    received = received_on(book, job)
    held = Money(0) if state_of(book, job) in _DONE else received
    return Balance(total(due.price for due in dues), total(due.tax for due in dues), received, held)


def came_already(book: Book, job: Job, amount: Money, how: str, day: date) -> bool:
    """Whether the same amount of a job is noted of that day, paid in the same way."""
    return bool(book.rows(Payment, job=job.key, day=day, amount=amount, how=how))


def is_beyond_due(book: Book, job: Job, amount: Money) -> bool:
    """Whether a payment is more than is still due; not where nothing is asked for yet."""
    now = balance(book, job)
    return now.asked > Money(0) and amount > max(now.due, Money(0))


def outstanding(book: Book, job: Job) -> list[Outstanding]:
    """The payments asked for with what is still open of each, as the money that came was laid."""
    if cancellation_of(book, job) is not None:
        return spread(asked_for(book, job), received_on(book, job))
    opened = lay_money(book, job).open
    return [Outstanding(due, opened[due.key]) for due in dues_of(book, job)]


def settlement_of(book: Book, job: Job, day: date | None = None) -> Settlement | None:
    """How a canceled job stood at the end of a day; None where it was not canceled by then."""
    canceled = cancellation_of(book, job, day)
    return None if canceled is None else Settlement(job, canceled, received_on(book, job, day))


def settlements(book: Book, day: date | None = None) -> list[Settlement]:
    """Every job that was canceled by the end of a day, as it stood then."""
    numbers = dict.fromkeys(row.job for row in book.rows(Cancellation))
    stood = (settlement_of(book, job, day) for job in book.rows_of(Job, sorted(numbers)))
    return [one for one in stood if one is not None]


def refund_of(book: Book, job: Job, day: date | None = None) -> Refund | None:
    """What a closed job still owes its client at the end of a day; None where it owes nothing.

    A job that was closed without anything agreed asks for nothing, and so is not judged.
    """
    states = [row for row in book.rows(JobState, job=job.key) if not day or row.day <= day]
    dues = dues_of(book, job)
    if not states or states[-1].state != "closed" or not dues:
        return None
    back = received_on(book, job, day) - total(due.asked for due in dues)
    return Refund(job, back) if back > Money(0) else None


def refunds(book: Book, day: date | None = None) -> list[Refund]:
    """Every closed job that still owed its client at the end of a day, by number."""
    jobs = book.rows_of(Job, overpaid_jobs(book, day))
    refunds_due = [refund_of(book, job, day) for job in jobs]
    return sorted((one for one in refunds_due if one is not None), key=lambda one: one.job.number)


def spread(dues: Sequence[Due], received: Money) -> list[Outstanding]:
    """Lay what was received against what a canceled job asks for."""
    left = received
    shares = []
    for due in dues:
        taken = min(max(left, Money(0)), due.asked) if due.asked > Money(0) else due.asked
        left -= max(taken, Money(0))
        shares.append(Outstanding(due, due.asked - taken))
    return shares


def taxes_in(book: Book, job: Job, days: Sequence[date]) -> list[Money]:
    """The tax in what a job had received by the end of each of some days.

    Of a canceled job it is that in what was kept.
    """
    laid = lay_money(book, job, max(days))
    return [
        laid.tax_by(day) if cancellation_of(book, job, day) is None else _tax_kept(book, job, day)
        for day in days
    ]


def _tax_kept(book: Book, job: Job, day: date) -> Money:
    kept = spread(asked_for(book, job, day), received_on(book, job, day))
    return total(one.due.tax.times(one.filled) for one in kept)


def payments_due(book: Book) -> list[tuple[Job, Outstanding]]:
    """The next payment still open of every job that is agreed."""
    jobs = book.rows_of(Job, unpaid_jobs(book))
    return [(job, _next_open(book, job, outstanding(book, job))) for job in jobs]


def _next_open(book: Book, job: Job, dues: Sequence[Outstanding]) -> Outstanding:
    """The next payment still open; the last one, or that of a job done, has all the rest in it."""
    first, *rest = [one for one in dues if one.open > Money(0)]
    orders = {row.name for row in book.rows(ChangeOrder, job=job.key)}
    is_last = all(one.due.source in orders for one in rest)
    if not rest or not (is_last or state_of(book, job) in HANDED_OVER):
        return first
    together = total(one.open for one in (first, *rest))
    names = [one.due.source if one.due.source in orders else one.due.name for one in rest]
    return Outstanding(first.due, together, tuple(names))

"""A job's contract on a day: what was agreed and changed by then, what came, what was invoiced.

Money is laid along the payments asked for as `job pay` shows it; price, taxed part and tax of a
payment go with it, so that all invoices together are the contract.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import InvoicedDue
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.book.tables.jobs import Agreement, Cancellation, Due
from ledger.errors import NotAllowed
from ledger.jobs.agreement import (
    Delivered,
    agreed_lines,
    asked_for,
    cancellation_of,
    dues_of,
    require_agreement,
)
from ledger.jobs.cancel import COMPENSATION
from ledger.jobs.changes import Change, changes
from ledger.jobs.laid import Filling, lay_money
from ledger.jobs.payments import received_on
from ledger.measures.money import Currency, Money, sales_tax, split, total
from ledger.measures.values import replace
from ledger.quotes.answers import agreed_deliverables
from ledger.quotes.invoice import (
    ALONE,
    CREDIT,
    FINAL,
    INVOICE,
    ChangeLine,
    Invoice,
    InvoiceLine,
    papers,
    read_invoice,
)
from ledger.quotes.offer import Offer
from ledger.quotes.revisions import accepted, offer_of
from ledger.quotes.terms import tax_within

ZERO = Money(0)


class Portion(Struct, frozen=True):
    """A part of the contract: its price, the part of that on which tax falls, and the tax."""

    price: Money = ZERO
    taxed: Money = ZERO
    tax: Money = ZERO

    @property
    def asked(self) -> Money:
        """The part with its tax."""
        return self.price + self.tax

    def __add__(self, other: "Portion") -> "Portion":
        return Portion(self.price + other.price, self.taxed + other.taxed, self.tax + other.tax)

    def __sub__(self, other: "Portion") -> "Portion":
        return Portion(self.price - other.price, self.taxed - other.taxed, self.tax - other.tax)

    def __neg__(self) -> "Portion":
        return Portion() - self

    def share(self, part: Fraction) -> "Portion":
        """A share of it; price and tax together are the share of what is asked for."""
        tax = self.tax.times(part)
        return Portion(self.asked.times(part) - tax, self.taxed.times(part), tax)


def sum_of(portions: "Sequence[Portion]") -> Portion:
    """Sum of portions: price, the part of it that is taxed, and tax."""
    return sum(portions, Portion())


class Billed(Struct, frozen=True):
    """An invoice in force, and what of it stands once its credit notes are taken off."""

    row: InvoiceRow
    page: Invoice
    credits: tuple[str, ...]
    stands: Portion

    @property
    def is_void(self) -> bool:
        """Whether it was credited in full."""
        return bool(self.credits) and not self.stands.asked


class Contract(Struct, frozen=True):
    """A job's contract on a day; `lines` say what for, `portions` go with `dues` one by one.

    `whole` is what is to be invoiced in all: the agreed whole, or what a cancellation left of it.
    """

    job: Job
    currency: Currency
    agreement: Agreement
    offer: Offer | None
    day: date
    lines: tuple[InvoiceLine, ...]
    changes: tuple[ChangeLine, ...]
    whole: Portion
    agreed_whole: Portion
    dues: tuple[Due, ...]
    portions: tuple[Portion, ...]
    covered: frozenset[int]
    laid: Filling
    received: Money
    billed: tuple[Billed, ...]
    canceled: Cancellation | None

    @property
    def invoiced(self) -> Portion:
        """What was invoiced until now, credit notes taken off."""
        return sum_of([one.stands for one in self.billed])

    @property
    def standing(self) -> list[Billed]:
        """The invoices of which something stands."""
        return [one for one in self.billed if one.stands.asked]

    @property
    def uninvoiced(self) -> list[Due]:
        """The payments asked for that no invoice covers yet, in their order."""
        return [due for due in self.dues if due.key not in self.covered]

    @property
    def has_final(self) -> bool:
        """Whether an invoice over the whole, or all that was left, stands."""
        return any(one.page.kind in (FINAL, ALONE) and not one.is_void for one in self.billed)

    def portion_of(self, due: Due) -> Portion:
        """Price, taxed part and tax of a payment asked for."""
        return self.portions[self.dues.index(due)]

    def with_credits(self, due: Due) -> tuple[Due, ...]:
        """A payment and the credits that no invoice took off yet, while something is left of it."""
        covers = [due]
        for credit in (one for one in self.uninvoiced if one.asked < ZERO):
            if total(one.asked for one in (*covers, credit)) > ZERO:
                covers.append(credit)
        return tuple(covers)

    def lines_of(self, dues: Sequence[Due], parts: Sequence[Portion]) -> tuple[InvoiceLine, ...]:
        """What an invoice of some payments says that it is for, each with its part."""
        rate = self.agreement.tax_rate
        return tuple(
            InvoiceLine(due.name, part.price, part.tax, rate if part.tax else None)
            for due, part in zip(dues, parts, strict=True)
        )

    def filled(self, amount: Money) -> list[Portion]:
        """What the first money of an amount is for, payment by payment, as it was laid."""
        parts, whole = self.laid.first(amount), self.agreed_whole
        filled = []
        for due, portion in zip(self.dues, self.portions, strict=True):
            came, tax = parts.get(due.key, (ZERO, ZERO))
            taxed = portion.taxed.times(Fraction(tax.minor, portion.tax.minor)) if tax else ZERO
            if whole.taxed == whole.price:
                taxed = came - tax
            filled.append(Portion(came - tax, taxed, tax))
        return filled

    @property
    def invoiced_in_part(self) -> list[Due]:
        """The payments asked for of which money to come, or that came, stands in no invoice."""
        before, now = self.filled(self.invoiced.asked), self.filled(self.received)
        return [
            due
            for due, part, came in zip(self.dues, before, now, strict=True)
            if part.asked < came.asked + self.open_of([due])
        ]

    def at_rate(self, portion: Portion) -> Portion:
        """The same sum with its tax the rounded tax on its net, where there is such a net.

        Of a contract that is not taxed in whole, and of a sum that no net and its tax add up to,
        the portion stays as it is.
        """
        rate = self.agreement.tax_rate
        if not portion.tax or self.agreed_whole.taxed != self.agreed_whole.price:
            return portion
        tax = tax_within(portion.asked, rate, self.currency)
        if tax is None:
            return portion
        net = portion.asked - tax
        return Portion(net, net, tax)

    def tax_on(self, net: Money) -> Money:
        """The tax on a net sum whose taxed part is that of the contract, at the rate agreed."""
        return sales_tax(self.taxed_part(net), self.agreement.tax_rate, self.currency)

    def taxed_part(self, net: Money) -> Money:
        """The part of a net sum on which tax falls, in the share in which the contract has it."""
        whole = self.agreed_whole
        return net.times(Fraction(whole.taxed.minor, whole.price.minor)) if whole.taxed else ZERO

    def tax_within(self, asked: Money) -> Money:
        """The tax within a sum that is said with it."""
        whole = self.agreed_whole
        part = Fraction(asked.minor, whole.asked.minor) if whole.tax else Fraction(0)
        return self.at_rate(whole.share(part)).tax

    @property
    def awaited(self) -> Money:
        """What the invoices that stand still wait for, what was credited of them left out."""
        if self.canceled is not None:
            return ZERO
        covered = [due for due in self.dues if due.key in self.covered]
        credited = max(total(due.asked for due in covered) - self.invoiced.asked, ZERO)
        return max(self.open_of(covered) - credited, ZERO)

    def open_of(self, dues: Sequence[Due]) -> Money:
        """What is still to be paid of some of the payments asked for."""
        return total(self.laid.open[due.key] for due in dues)


def contract_on(book: Book, job: Job, day: date) -> Contract:
    """What was agreed for a job, received and invoiced, at the end of a day.

    A change order approved later is no part of it. Invoices count whatever their day: what was
    invoiced once is not invoiced again.

    Raises:
        NotAllowed: nothing was agreed by that day.
    """
    agreed = require_agreement(book, job)
    if day < agreed.day:
        raise NotAllowed(f"{agreed.source} was accepted on {agreed.day}, after {day}.")
    approved = [c for c in changes(book, job) if c.state == "approved"]
    late = {c.order.name for c in approved if c.since > day}
    approved = [c for c in approved if c.since <= day]
    dues = tuple(due for due in dues_of(book, job) if due.source not in late)
    quote = accepted(book, job)
    offer = None if quote is None else offer_of(book, quote)
    delivered = agreed_lines(book, agreed) or _of_offer(agreed, offer, job)
    lines = _agreed_parts(agreed, delivered, book.currency)
    portions = _portions(agreed, dues, delivered, approved)
    billed = _billed(book, agreed, job)
    contract = Contract(
        job=job,
        currency=book.currency,
        agreement=agreed,
        offer=offer,
        day=day,
        lines=(*lines, *_changed_parts(agreed, approved, dues)),
        changes=tuple(_change_line(change, dues) for change in approved),
        whole=sum_of(portions),
        agreed_whole=sum_of(portions),
        dues=dues,
        portions=portions,
        covered=_covered(book, billed),
        laid=lay_money(book, job, day),
        received=received_on(book, job, day),
        billed=billed,
        canceled=cancellation_of(book, job, day),
    )
    if contract.canceled is None:
        return contract
    return _as_canceled(contract, contract.canceled, asked_for(book, job, day))


def _of_offer(agreed: Agreement, offer: Offer | None, job: Job) -> list[Delivered]:
    """What an agreement of an earlier release is for: its quote's deliverables, and the rest."""
    lines = agreed_deliverables(offer) if offer is not None else []
    rest = agreed.price - total(line.price for line in lines)
    if not lines:
        return [Delivered(job.title, agreed.price, bool(agreed.tax))]
    tax = offer.tax.amount if offer is not None else ZERO
    return lines + ([Delivered("Options as accepted", rest, agreed.tax > tax)] if rest else [])


def _agreed_parts(
    agreed: Agreement, delivered: Sequence[Delivered], currency: Currency
) -> list[InvoiceLine]:
    """The deliverables with their tax: line by line where that is the tax agreed, else in share."""
    rate = agreed.tax_rate if agreed.tax else Fraction(0)
    taxes = [sales_tax(d.price, rate, currency) if d.taxed else ZERO for d in delivered]
    taxed = [d.price.minor if d.taxed else 0 for d in delivered]
    if total(taxes) != agreed.tax:
        taxes = split(agreed.tax, taxed if any(taxed) else [d.price.minor for d in delivered])
    return [
        InvoiceLine(d.name, d.price, tax, rate if d.taxed and rate else None, d.pieces)
        for d, tax in zip(delivered, taxes, strict=True)
    ]


def _portions(
    agreed: Agreement,
    dues: Sequence[Due],
    delivered: Sequence[Delivered],
    approved: Sequence[Change],
) -> tuple[Portion, ...]:
    """Every payment asked for as a portion; the taxed part is split over the quote's payments."""
    taxed = total(d.price for d in delivered if d.taxed) if agreed.tax else ZERO
    of_quote = [due for due in dues if due.source == agreed.source]
    weights = [due.price.minor for due in of_quote]
    if any(weight < 0 for weight in weights):
        # A price said at closing gave way to a later one: each payment, and the one that takes it
        # off again, is taxed whole or not at all.
        bases = [_base(due, set()) for due in of_quote]
    else:
        bases = split(taxed, weights) if any(weights) else [ZERO] * len(weights)
    base_of = {due.key: base for due, base in zip(of_quote, bases, strict=True)}
    untaxed = {c.order.name for c in approved if not c.order.taxed}
    return tuple(
        Portion(due.price, base_of.get(due.key, _base(due, untaxed)), due.tax) for due in dues
    )


def _base(due: Due, untaxed: set[str]) -> Money:
    return due.price if due.tax and due.source not in untaxed else ZERO


def _changed_parts(
    agreed: Agreement, approved: Sequence[Change], dues: Sequence[Due]
) -> list[InvoiceLine]:
    """The change orders that ask for something, as things the contract is for."""
    lines = []
    for change in approved:
        line = _change_line(change, dues)
        if line.price:
            rate = agreed.tax_rate if line.tax else None
            lines.append(InvoiceLine(f"{line.name}: {line.words}", line.price, line.tax, rate))
    return lines


def _change_line(change: Change, dues: Sequence[Due]) -> ChangeLine:
    order = change.order
    tax = total(due.tax for due in dues if due.source == order.name)
    return ChangeLine(order.name, order.words, order.price, tax)


def _billed(book: Book, agreed: Agreement, job: Job) -> tuple[Billed, ...]:
    """The invoices of a job that are in force, each with what its credit notes leave of it."""
    rows = papers(book, job)
    lines = []
    for row in (row for row in rows if row.kind == INVOICE):
        page = read_invoice(row)
        credits = [one for one in rows if one.kind == CREDIT and one.corrects == row.key]
        stands = _portion_on(page, agreed.tax_rate)
        for credit in credits:
            stands += _portion_on(read_invoice(credit), agreed.tax_rate)
        lines.append(Billed(row, page, tuple(one.number for one in credits), stands))
    return tuple(lines)


def _portion_on(page: Invoice, rate: Fraction) -> Portion:
    """What a paper invoices; one of the first schema does not say on which part the tax is."""
    if page.changes is not None:
        return Portion(page.price, total(t.base for t in page.taxes if t.rate), page.tax)
    base = Money(1).times(page.tax.minor / rate) if rate else ZERO
    return Portion(page.price, base, page.tax)


def _covered(book: Book, billed: Sequence[Billed]) -> frozenset[int]:
    """The payments that are invoiced; an invoice that was credited in full covers none."""
    void = {one.row.key for one in billed if one.is_void}
    return frozenset(row.due for row in book.rows(InvoicedDue) if row.invoice not in void)


def _as_canceled(contract: Contract, canceled: Cancellation, kept: Sequence[Due]) -> Contract:
    """What a canceled job is still invoiced for: what is kept of it, with the tax said of that.

    What is kept as compensation is no supply: there is no invoice for it.
    """
    is_work = canceled.kept_as != COMPENSATION
    due_parts = [
        Portion(due.price, contract.taxed_part(due.price) if due.tax else ZERO, due.tax)
        for due in kept if is_work
    ]  # fmt: skip
    whole = sum_of(due_parts)
    off = whole - contract.whole
    words = f"Work and material until canceled on {canceled.day}"
    rate = contract.agreement.tax_rate if whole.tax else None
    line = InvoiceLine(words, whole.price, whole.tax, rate)
    return replace(
        contract,
        lines=(line,) if whole.asked else (),
        changes=(*contract.changes, ChangeLine("Canceled", canceled.why, off.price, off.tax)),
        whole=whole,
    )

"""The surcharge of an invoice paid by card: asked for on the paper, earned where it is paid so.

A price that has the fee of card payments in it bears none: the fee would be paid twice. A surcharge
that came is a change order of its own, so that contract, close-out and invoices tie with the money,
and the fee that the card company keeps stands against it. Under VAT it is a part of what is paid
for the piece and bears its tax; elsewhere no tax is reckoned on it (common practice, no source).
"""

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Agreement, ChangeOrder, Payment
from ledger.costing.buildup import CARD_FEE
from ledger.errors import NotAllowed
from ledger.jobs.agreement import Ask, agreement_of
from ledger.jobs.answers import answers_of
from ledger.jobs.changes import SURCHARGED, change_price
from ledger.jobs.jobs import state_of
from ledger.jobs.payments import card_fee, receive
from ledger.jobs.price_rules import rules_of
from ledger.measures.money import Money, grossed_up
from ledger.quotes.contract import ZERO, Contract
from ledger.quotes.drift import basis_sheet
from ledger.quotes.invoice import CREDIT, REQUEST, Invoice, papers, read_invoice
from ledger.quotes.revisions import accepted


class Surcharge(Struct, frozen=True):
    """What a payment by card has in it for its fee, and the words that name the paper."""

    words: str
    price: Money
    tax: Money

    @property
    def amount(self) -> Money:
        """The surcharge with its tax."""
        return self.price + self.tax

    def said(self, show: Callable[[Money], str]) -> str:
        """How much of a payment it is, what for, and how it stands to tax."""
        tax = f"tax in it {show(self.tax)}" if self.tax else "no tax is reckoned on it"
        return f"{show(self.amount)} of it is the {self.words}; {tax}, and local law decides."


def to_pay_by_card(book: Book, contract: Contract, amount: Money) -> Money | None:
    """What is asked for by card, the fee grossed up; None where the shop has no fee.

    Raises:
        NotAllowed: the price has the fee in it.
    """
    if not card_fee(book, amount):
        return None
    job = contract.job
    if _is_fee_in_price(book, job):
        raise NotAllowed(
            f"The price of {job.number} has the fee of card payments in it; a surcharge would ask"
            " for it twice. By card it comes to the same sum: leave --card out."
        )
    rate, fixed = book.settings.card_fee, book.settings.card_fee_fixed
    taxed = 1 + _tax_rate(contract.agreement)
    # the part without tax covers the fee of all that is paid, the surcharge and its tax in it
    without = grossed_up(amount.times(rate) + fixed, rate * taxed, ZERO)
    return amount + without.times(taxed)


def surcharge_in(book: Book, job: Job, amount: Money, how: str) -> Surcharge | None:
    """The surcharge in a payment by card of just what a paper of the job asks for by card."""
    agreed = agreement_of(book, job)
    if how != "card" or agreed is None or state_of(book, job) == "canceled":
        return None
    paid = {row.words for row in book.rows(ChangeOrder, job=job.key)}
    for row in papers(book, job):
        if row.kind == CREDIT:
            continue
        page = read_invoice(row)
        words = f"{SURCHARGED} {_name(page)}"
        if page.by_card == amount and words not in paid:
            more = amount - page.to_pay
            price = more.times(1 / (1 + _tax_rate(agreed)))
            return Surcharge(words, price, more - price)
    return None


def receive_with_surcharge(
    book: Book, job: Job, amount: Money, how: str, *,
    day: date, words: str = "", fee: Money | None = None,
) -> Surcharge | None:  # fmt: skip
    """Post a payment, and the surcharge that is in it as a change order; give back the surcharge.

    Raises:
        BadValue, NotAllowed: as `receive` does.
    """
    with book.entry("job pay", f"{job.number} {book.currency.show(amount)} {how}"):
        found = surcharge_in(book, job, amount, how)
        payment: Payment = receive(book, job, amount, how, day=day, words=words, fee=fee)
        if found is not None:
            ask = Ask(found.words, found.price, found.tax)
            change_price(book, job, ask, "payment by card", day=payment.day)
    return found


def _name(page: Invoice) -> str:
    return f"the payment request of {page.day}" if page.paper == REQUEST else page.number


def _tax_rate(agreed: Agreement) -> Fraction:
    return agreed.tax_rate if agreed.tax_standing == "vat" and agreed.tax else Fraction(0)


def _is_fee_in_price(book: Book, job: Job) -> bool:
    """Whether the price that was agreed counts on card fees: as quoted, else as the shop says."""
    quote = accepted(book, job)
    sheet = basis_sheet(book, quote) if quote is not None else None
    if sheet is None:
        cost, _ = answers_of(book, job).get(CARD_FEE, (ZERO, ""))
        return bool(cost) or rules_of(book, Fraction(0)).has_card_fee
    return any(line.name == CARD_FEE and line.amount for line in sheet.build_up)

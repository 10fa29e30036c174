"""What an invoice, payment request or credit note says in words, the same on every front."""

from collections.abc import Callable
from datetime import date

from ledger.jobs.agreement import WITHOUT_QUOTE
from ledger.measures.bank import show_iban
from ledger.measures.money import Money
from ledger.quotes.invoice import CREDIT, Deducted, Invoice


def payment_words(invoice: Invoice, day: Callable[[date], str] = str) -> list[str]:
    """When and how to pay, and what the paper says of itself; `day` writes a day."""
    lines = []
    if invoice.due_day is not None:
        on_receipt = invoice.due_day == invoice.day
        lines.append("Due on receipt." if on_receipt else f"Please pay by {day(invoice.due_day)}.")
    if invoice.iban and invoice.to_pay > Money(0):
        bank = f", BIC {invoice.bic}" if invoice.bic else ""
        account = f"Account: IBAN {show_iban(invoice.iban)}{bank}."
        lines.append(f"{account} Reference: {reference_of(invoice)}.")
    old_or_open = invoice.changes is None or invoice.to_pay > Money(0)
    if invoice.pay_to and old_or_open:
        lines.append(invoice.pay_to)
    if invoice.by_card is not None:
        amount = f"{invoice.currency.show(invoice.by_card)} {invoice.currency.code}"
        lines.append(f"Paid by card, with the fee of the card company: {amount}.")
    return [*lines, *invoice.notes]


def reference_of(invoice: Invoice) -> str:
    """What a client names when paying: the paper's number, else the quote or the piece."""
    return invoice.number or (
        invoice.title if invoice.quote in WITHOUT_QUOTE else invoice.quote or invoice.title
    )


def asked_words(invoice: Invoice) -> tuple[str, Money]:
    """The line that the reader looks for: what is to be paid, that it is paid, or credited."""
    if invoice.paper == CREDIT:
        return "Credited to you", -invoice.asked
    return ("To pay now (paid in full)" if invoice.is_paid else "To pay now"), invoice.to_pay


def deducted_words(less: Deducted, day: Callable[[date], str] = str) -> str:
    """Which earlier invoice a line takes off, and the credit notes that are counted in it."""
    number, *credits = less.number.split(" less ")
    counted = f", net of credit {' and '.join(credits)}" if credits else ""
    return f"Less {number} of {day(less.day)}{counted}"


def left_words(invoice: Invoice) -> str:
    """What the last line of the contract is about."""
    if invoice.left < Money(0):
        return "Overpaid, due back to you"
    return "Balance remaining once it is paid" if invoice.to_pay else "Balance remaining"


def agreed_words(invoice: Invoice) -> str:
    """Where the price was agreed: in a quote by its number, or without one."""
    return "agreed" if invoice.quote in WITHOUT_QUOTE else f"agreed in {invoice.quote}"

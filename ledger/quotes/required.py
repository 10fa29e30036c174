"""What a paper must show, and what is missing of it before it is sent.

Under VAT the law says what makes an invoice (Directive 2006/112/EC, Article 226): without the full
name and address of both sides and the supplier's VAT number it is none, so it is not written.
Elsewhere custom asks for much the same, and what is missing is only said.
"""

from ledger.book import Book
from ledger.book.settings import SETTINGS
from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed
from ledger.jobs.jobs import client_of
from ledger.quotes.invoice import REQUEST, Invoice

REVERSE_CHARGE = "reverse charge"
"""How an invoice says that its client owes the tax (Article 226, point 11a)."""


def require_particulars(book: Book, job: Job, *, untaxed: bool = False) -> None:
    """Refuse an invoice or credit note under VAT that lacks what the law asks for.

    With `untaxed` no tax falls on a part of it: where that is a reverse charge, the client's VAT
    number must stand on it too (Article 226, point 4).

    Raises:
        NotAllowed: something is missing; the message says how each is entered.
    """
    lacking = [*_of_shop(book, numbered=True), *_of_client(book, job)]
    if untaxed and REVERSE_CHARGE in str(book.setting("wording_untaxed")).casefold():
        lacking += _of_debtor(book, job)
    if lacking:
        raise NotAllowed(
            "Under VAT this would be no invoice (Article 226 of the VAT directive). It lacks "
            + "; ".join(lacking)
        )


def missing_particulars(book: Book, job: Job, invoice: Invoice) -> list[str]:
    """What a paper that was written does not say and its reader would look for."""
    lacking = [*_of_shop(book, numbered=False), *_of_client(book, job)]
    if invoice.to_pay and not (invoice.pay_to or invoice.iban):
        lacking.append("how to pay: benchledger shop set wording_pay_to=WORDS, or iban=IBAN")
    if _says_not_why_untaxed(book, invoice):
        lacking.append(
            "why no tax falls on a part of it; your adviser knows which holds: benchledger shop set"
            ' wording_untaxed="Reverse charge", or the provision that exempts it'
        )
    if invoice.tax and not invoice.tax_number and invoice.paper != REQUEST:
        lacking.append(
            "your tax or permit number, where your state asks for it:"
            " benchledger shop set tax_number=NUMBER"
        )
    return lacking


def _of_shop(book: Book, *, numbered: bool) -> list[str]:
    lacking = []
    if not str(book.settings.shop).strip():
        lacking.append("your name: benchledger shop set shop=NAME")
    if not str(book.settings.address).strip():
        lacking.append("your address: benchledger shop set address=ADDRESS")
    if numbered and not str(book.setting("tax_number")).strip():
        lacking.append("your VAT number: benchledger shop set tax_number=NUMBER")
    return lacking


def _of_client(book: Book, job: Job) -> list[str]:
    client = client_of(book, job)
    if client is None:
        words = "the client's name and address"
        return [f"{words}: benchledger job client {job.number} --name NAME --address ADDRESS"]
    if not client.address.strip():
        words = "the client's address"
        return [f"{words}: benchledger job client {job.number} --address ADDRESS"]
    return []


def _of_debtor(book: Book, job: Job) -> list[str]:
    """The VAT number of a client who owes the tax."""
    client = client_of(book, job)
    if client is not None and client.vat_number.strip():
        return []
    words = "the client's VAT number, as they owe the tax"
    return [f"{words}: benchledger job client {job.number} --vat-number NUMBER"]


def _says_not_why_untaxed(book: Book, invoice: Invoice) -> bool:
    """Whether, under VAT, no tax falls on a part and the shop's own reason is not on the paper."""
    taxed = sum((part.base.minor for part in invoice.taxes if part.rate is not None), 0)
    usual = SETTINGS["wording_untaxed"].default
    return (
        invoice.tax_standing == "vat"
        and invoice.paper != REQUEST
        and invoice.price.minor != taxed
        and book.setting("wording_untaxed") == usual
    )

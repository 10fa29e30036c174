"""Writing a paper: its number, its taxes and terms, frozen and posted with whom it is for.

Under VAT invoices and credit notes have one series a year for the whole shop, without gap; else
each job counts its own. A payment request has no number.

What a paper must show, and what is missing of it before it is sent.

Under VAT the law says what makes an invoice (Directive 2006/112/EC, Article 226): without the full
name and address of both sides and the supplier's VAT number it is none, so it is not written.
Elsewhere custom asks for much the same, and what is missing is only said.
"""

from datetime import date, timedelta

from msgspec import Struct

from ledger.book import Book
from ledger.book.clients import keep_addressee
from ledger.book.settings import SETTINGS
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import InvoicedDue
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.book.tables.jobs import Due
from ledger.errors import NotAllowed
from ledger.jobs.jobs import client_number, client_of
from ledger.jobs.lines import total_of
from ledger.jobs.tax import is_untaxed
from ledger.measures.fields import made_of
from ledger.measures.frozen import freeze
from ledger.measures.money import Money, sales_tax
from ledger.quotes.contract import ZERO, Contract, Portion
from ledger.quotes.invoice import REQUEST, SCHEMA, Deducted, Invoice, InvoiceLine, TaxPart
from ledger.quotes.offer import Tax
from ledger.quotes.snapshot import digest
from ledger.quotes.surcharges import to_pay_by_card
from ledger.quotes.terms import tax_inside, tax_words
from ledger.quotes.wording import maker, untaxed_words

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


NO_INVOICE = (
    "This is a payment request and no invoice: no tax can be deducted on it. The invoice follows"
    " when your payment has come."
)

TAX_OF_SUM = "Tax is taken out of the sum with tax; worked out from the net it may differ by 0.01."


class Bill(Struct, frozen=True):
    """What a paper is to say: what it is for, how much of it stands open, what it covers."""

    paper: str
    kind: str
    lines: tuple[InvoiceLine, ...]
    portion: Portion
    to_pay: Money
    deducted: tuple[Deducted, ...] = ()
    covers: tuple[Due, ...] = ()
    supplied: date | None = None
    paid_on: tuple[date, ...] = ()
    corrects: str = ""
    reason: str = ""


def is_under_vat(book: Book) -> bool:
    """Whether the shop is registered for VAT: its invoices follow that law."""
    return bool(book.settings.tax_standing == "vat")


def post_paper(
    book: Book,
    contract: Contract,
    bill: Bill,
    *,
    by_card: bool = False,
    corrects: int | None = None,
) -> Invoice:
    """Freeze a paper and post it under its number, with the client's details as they are now.

    Raises:
        NotAllowed: under VAT, where it would be no invoice by law.
    """
    job, vat = contract.job, is_under_vat(book)
    if vat and bill.paper != REQUEST:
        require_particulars(book, job, untaxed=bill.portion.price != bill.portion.taxed)
    series = f"{contract.day:%Y}" if vat and bill.paper != REQUEST else ""
    with book.entry("quote invoice", f"{job.number} {bill.kind.lower()}"):
        place = _place(book, series, contract.day) if series else 0
        number = "" if bill.paper == REQUEST else _number(book, job, series, place)
        invoice = _written(book, contract, bill, number, by_card=by_card)
        page = freeze(invoice)
        row = book.post(
            InvoiceRow(
                job=job.key,
                number=number,
                day=invoice.day,
                asked=invoice.asked,
                schema_number=SCHEMA,
                page=page,
                sha256=digest(page),
                kind=bill.paper,
                series=series,
                place=place,
                corrects=corrects,
            )
        )
        for due in bill.covers:
            book.post(InvoicedDue(invoice=row.key, due=due.key))
        if invoice.client is not None:
            keep_addressee(book, invoice.client, invoice=row.key)
    return invoice


def _place(book: Book, series: str, day: date) -> int:
    """The next place of the year's series, which has no gap and goes with the days."""
    rows = [row for row in book.rows(InvoiceRow, in_force=False) if row.series]
    last = max(rows, key=lambda row: (row.series, row.place), default=None)
    if last is not None and day < last.day:
        raise NotAllowed(
            f"{last.number} is of {last.day}: the next number of the series cannot be of an earlier"
            " day. Date it later, and name the day of the supply by itself: --supplied DAY"
        )
    return max((row.place for row in rows if row.series == series), default=0) + 1


def _number(book: Book, job: Job, series: str, place: int) -> str:
    """The number of the shop's yearly series under VAT, else the next one of the job."""
    if series:
        return f"I-{series[2:]}-{place:04}"
    written = book.rows(InvoiceRow, in_force=False, job=job.key)
    count = sum(row.kind != REQUEST for row in written)
    return f"I-{job.number.removeprefix('J-')}-{count + 1}"


def _written(book: Book, contract: Contract, bill: Bill, number: str, *, by_card: bool) -> Invoice:
    job, agreed, offer = contract.job, contract.agreement, contract.offer
    days: int = book.settings.invoice_days
    return made_of(
        Invoice,
        bill,
        number=number,
        day=contract.day,
        due_day=contract.day + timedelta(days=days) if bill.to_pay else None,
        currency=book.currency,
        units=book.units,
        maker=maker(book),
        tax_standing=agreed.tax_standing,
        tax_number=str(book.setting("tax_number")),
        client=client_number(book, job),
        quote=agreed.source,
        title=job.title,
        description=offer.description if offer is not None else "",
        taxes=_taxes(book, contract, bill),
        tax_words=_tax_words(book, contract, bill),
        changes=contract.changes,
        agreed_price=contract.whole.price,
        agreed_tax=contract.whole.tax,
        received=contract.received,
        settled=bill.portion.asked - bill.to_pay,
        pay_to=str(book.setting("wording_pay_to")),
        iban=str(book.settings.iban),
        bic=str(book.settings.bic),
        by_card=to_pay_by_card(book, contract, bill.to_pay) if by_card and bill.to_pay else None,
        notes=_notes(book, contract, bill),
    )


def _taxes(book: Book, contract: Contract, bill: Bill) -> tuple[TaxPart, ...]:
    """The bases of what is invoiced here: at the rate that was agreed, and without tax."""
    agreed, portion = contract.agreement, bill.portion
    if not (contract.agreed_whole.tax or portion.tax):
        return ()
    words = tax_words(agreed.tax_standing, agreed.tax_rate, whole=True)
    words = _with_rounding(book, contract, portion, words)
    parts = [TaxPart(words, agreed.tax_rate, portion.taxed, portion.tax)]
    if untaxed := portion.price - portion.taxed:
        parts.append(TaxPart(str(book.setting("wording_untaxed")), None, untaxed, ZERO))
    return tuple(parts)


def _tax_words(book: Book, contract: Contract, bill: Bill) -> str:
    agreed = contract.agreement
    if is_untaxed(agreed.tax_standing):
        return untaxed_words(book, agreed.tax_standing)
    if not contract.agreed_whole.tax:  # the law asks why no tax falls on any of it
        return str(book.setting("wording_untaxed")) if is_under_vat(book) else ""
    whole = contract.whole.price == contract.whole.taxed
    words = tax_words(agreed.tax_standing, agreed.tax_rate, whole=whole)
    return _with_rounding(book, contract, bill.portion, words)


def _with_rounding(book: Book, contract: Contract, portion: Portion, words: str) -> str:
    """The words of a sales tax with the cent that a sum agreed with tax may leave, as quoted."""
    agreed, in_sum = contract.agreement, total_of(book, contract.job)
    if is_under_vat(book) or in_sum is None or in_sum.tax is None:
        return words
    by_rate = sales_tax(portion.taxed, agreed.tax_rate, book.currency)
    on_base = Tax(agreed.tax_standing, agreed.tax_rate, portion.taxed, by_rate, words)
    return tax_inside(on_base, portion.tax, book.currency).words if by_rate else words


def _notes(book: Book, contract: Contract, bill: Bill) -> tuple[str, ...]:
    if bill.paper == REQUEST:
        return (NO_INVOICE,)
    if not is_under_vat(book):
        return ()
    notes = ["Cash accounting"] if book.settings.cash_accounting else []
    part, rate = bill.portion, contract.agreement.tax_rate
    if part.tax and sales_tax(part.taxed, rate, book.currency) != part.tax:
        notes.append(TAX_OF_SUM)
    return tuple(notes)

"""An invoice, payment request or credit note: what is asked for now, its tax, and the contract."""

from pathlib import Path

from ledger.book.tables.ground import Client
from ledger.book.tables.jobs import Addressee
from ledger.measures.money import Money
from ledger.quotes.invoice import ALONE, CREDIT, FINAL, REQUEST, Invoice
from ledger.quotes.offer import address_lines
from ledger.quotes.paper_words import asked_words, deducted_words, left_words, payment_words
from ledger.quotes.text import pieces_words
from ledger.workbooks.paper import Look, add_sheet, money_format, new_workbook, save
from ledger.workbooks.writers.page import (
    FIGURE,
    GRAY,
    GRAY_RIGHT,
    HEAD,
    HEAD_RIGHT,
    INK,
    NAME,
    SMALL,
    SUM,
    SUM_NAME,
    TEXT,
    Page,
)

WIDTHS = (16, 15.5, 15.5, 16, 15.5, 15.5)

_TITLE = Look(bold=True, size=14, color=INK, wrap=True)
_KIND = Look(bold=True, size=16, color="8A7B66", right=True)
_ASKED = Look(bold=True, size=12, color=INK, right=True, line_above=True)
_ASKED_NAME = Look(bold=True, size=12, color=INK, line_above=True)
_BIG = Look(size=11, wrap=True)
_BOLD_RIGHT = Look(bold=True, size=11, right=True)


def write_invoice_file(invoice: Invoice, client: Client | Addressee | None, path: Path) -> Path:
    """Write a paper's workbook, readable by its owner alone."""
    name = f"{invoice.kind} {invoice.number}".strip()
    workbook = new_workbook(name, invoice.maker.name, invoice.day)
    sheet = add_sheet(workbook, name, WIDTHS, letter=invoice.units == "inch")
    page = Page(sheet, WIDTHS)
    _letterhead(page, invoice)
    _addressee(page, client)
    _subject(page, invoice)
    _asked(page, invoice)
    if invoice.changes is None:
        _whole(page, invoice)
    elif invoice.paper != CREDIT:
        _contract(page, invoice)
    for words in payment_words(invoice):
        page.line(words, TEXT, space=4)
    sheet.page_setup.fitToHeight = 1
    return save(workbook, path, private=True)


def _letterhead(page: Page, invoice: Invoice) -> None:
    page.span(1, 4, invoice.maker.name, NAME)
    page.span(5, 6, invoice.kind, _KIND)
    page.end()
    ways = [*address_lines(invoice.maker.address), invoice.maker.contact]
    page.span(1, 4, " · ".join(part for part in ways if part), GRAY)
    page.span(5, 6, invoice.number, _BOLD_RIGHT)
    page.end()
    label = "VAT number" if invoice.tax_standing == "vat" else "Tax number"
    page.span(1, 4, f"{label} {invoice.tax_number}" if invoice.tax_number else "", GRAY)
    page.span(5, 6, f"Date {invoice.day}", GRAY_RIGHT)
    page.end(10)


def _addressee(page: Page, client: Client | Addressee | None) -> None:
    if client is not None:
        for words in (client.name, *address_lines(client.address)):
            page.line(words, _BIG)
        if client.vat_number:
            page.line(f"VAT number {client.vat_number}", GRAY)
    page.gap(8)


def _subject(page: Page, invoice: Invoice) -> None:
    """The piece, what the paper is about, and the day of the supply or of the payment."""
    is_whole = invoice.kind in (FINAL, ALONE) or invoice.changes is None
    if invoice.paper == CREDIT:
        page.line(f"Credit note on invoice {invoice.corrects}", _TITLE, space=2)
        page.line(f"{invoice.title}. {invoice.reason}", TEXT, space=2)
    else:
        title = invoice.title if is_whole else f"Payment toward: {invoice.title}"
        page.line(title, _TITLE, space=2)
        if invoice.description:
            page.line(invoice.description, TEXT, space=2)
    page.line(f"As agreed in {invoice.quote}", GRAY, space=2)
    if invoice.supplied is not None:
        page.line(f"Handed over on {invoice.supplied}", GRAY, space=2)
    if invoice.paid_on:
        days = ", ".join(day.isoformat() for day in invoice.paid_on)
        page.line(f"Payment received on {days}", GRAY, space=2)
    page.gap(6)


def _asked(page: Page, invoice: Invoice) -> None:
    taxed = bool(invoice.tax) and invoice.paper != REQUEST
    page.span(1, 3, "For", HEAD)
    for column, words in ((4, "price"), (5, "tax"), (6, invoice.currency.code)):
        page.span(column, column, words if taxed or column == 6 else "", HEAD_RIGHT)
    page.end(2)
    for line in invoice.lines:
        name = pieces_words(line.name, line.pieces, invoice.currency.show(line.piece))
        _row(page, invoice, name, line.price, line.tax, taxed=taxed)
    for less in invoice.deducted:
        _row(page, invoice, deducted_words(less), -less.price, -less.tax, taxed=taxed)
    if taxed or invoice.deducted:
        _row(page, invoice, "Sum", invoice.price, invoice.tax, taxed=taxed, looks=(SUM_NAME, SUM))
    if invoice.settled and invoice.paper != CREDIT:
        page.span(1, 5, "Received for it, thank you", TEXT)
        _amount(page, invoice, 6, -invoice.settled)
        page.end(2)
    words, amount = asked_words(invoice)
    page.span(1, 5, words, _ASKED_NAME)
    _amount(page, invoice, 6, amount, _ASKED)
    page.end(2)
    _taxes(page, invoice)
    page.gap(12)


def _taxes(page: Page, invoice: Invoice) -> None:
    """The tax by rate with the price it is on; one rate on all of it is said in the words alone."""
    if invoice.paper != REQUEST and len(invoice.taxes) > 1:
        page.span(1, 3, "Tax", HEAD)
        page.span(4, 4, "on", HEAD_RIGHT)
        page.span(5, 5, "tax", HEAD_RIGHT)
        page.end(2)
        for part in invoice.taxes:
            page.span(1, 3, part.words, TEXT)
            _amount(page, invoice, 4, part.base)
            _amount(page, invoice, 5, part.tax)
            page.end(2)
    elif invoice.tax_words and invoice.paper != REQUEST:
        page.line(invoice.tax_words, SMALL)


def _contract(page: Page, invoice: Invoice) -> None:
    """What was agreed and changed, what came, what is asked for here, and what remains.

    Under VAT the tax of the whole stands nowhere by itself: only what is invoiced shows its tax.
    """
    taxed = bool(invoice.agreed_tax) and invoice.tax_standing != "vat" and invoice.paper != REQUEST
    page.span(1, 3, "The contract", HEAD)
    for column, words in ((4, "price"), (5, "tax"), (6, invoice.currency.code)):
        page.span(column, column, words if taxed or column == 6 else "", HEAD_RIGHT)
    page.end(2)
    price, tax = invoice.first_agreed
    _row(page, invoice, f"Agreed in {invoice.quote}", price, tax, taxed=taxed)
    for change in invoice.changes or ():
        name = f"{change.name}: {change.words}"
        _row(page, invoice, name, change.price, change.tax, taxed=taxed)
    if invoice.changes:
        whole = (invoice.agreed_price, invoice.agreed_tax)
        _row(page, invoice, "Agreed now", *whole, taxed=taxed, looks=(SUM_NAME, SUM))
    for words, amount in (
        ("Received, thank you", -invoice.received),
        ("To pay with this paper", -invoice.to_pay),
    ):
        if amount:
            page.span(1, 5, words, TEXT)
            _amount(page, invoice, 6, amount)
            page.end(2)
    page.span(1, 5, left_words(invoice), SUM_NAME)
    _amount(page, invoice, 6, abs(invoice.left), SUM)
    page.end(14)


def _whole(page: Page, invoice: Invoice) -> None:
    """The whole as papers of the first schema showed it: they read as they were sent."""
    page.span(1, 5, "The whole", HEAD)
    page.span(6, 6, invoice.currency.code, HEAD_RIGHT)
    page.end(2)
    for name, amount in (
        ("Agreed price", invoice.agreed_price),
        ("Tax on it", invoice.agreed_tax),
        ("Payments received, thank you", -invoice.received),
        ("Asked for here", -invoice.asked),
    ):
        if amount:
            page.span(1, 5, name, TEXT)
            _amount(page, invoice, 6, amount)
            page.end(2)
    page.span(1, 5, "Stays to be paid later" if invoice.left else "Then all is paid", SUM_NAME)
    _amount(page, invoice, 6, invoice.left, SUM)
    page.end(14)


def _row(
    page: Page,
    invoice: Invoice,
    name: str,
    price: Money,
    tax: Money,
    *,
    taxed: bool,
    looks: tuple[Look, Look] = (TEXT, FIGURE),
) -> None:
    page.span(1, 3 if taxed else 5, name, looks[0])
    if taxed:
        _amount(page, invoice, 4, price, looks[1])
        _amount(page, invoice, 5, tax, looks[1])
    _amount(page, invoice, 6, price + tax, looks[1])
    page.end(2)


def _amount(page: Page, invoice: Invoice, column: int, amount: Money, look: Look = FIGURE) -> None:
    value = invoice.currency.decimal(amount)
    page.span(column, column, value, look, money_format(invoice.currency))

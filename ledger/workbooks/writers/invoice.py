"""An invoice: what is asked for now, the tax in it, what was paid and what stays to be paid."""

from pathlib import Path

from ledger.book.tables.ground import Client
from ledger.measures.money import Money
from ledger.quotes.invoice import Invoice
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


def write_invoice_file(invoice: Invoice, client: Client | None, path: Path) -> Path:
    """Write an invoice's workbook, readable by its owner alone."""
    workbook = new_workbook(f"Invoice {invoice.number}", invoice.maker.name, invoice.day)
    sheet = add_sheet(workbook, f"Invoice {invoice.number}", WIDTHS, letter=invoice.units == "inch")
    page = Page(sheet, WIDTHS)
    _letterhead(page, invoice, client)
    _asked(page, invoice)
    _whole(page, invoice)
    for words in (invoice.pay_to, _card_words(invoice)):
        if words:
            page.line(words, TEXT, space=6)
    sheet.page_setup.fitToHeight = 1
    return save(workbook, path, private=True)


def _letterhead(page: Page, invoice: Invoice, client: Client | None) -> None:
    page.span(1, 4, invoice.maker.name, NAME)
    page.span(5, 6, invoice.kind, _KIND)
    page.end()
    ways = [part for part in (invoice.maker.address, invoice.maker.contact) if part]
    page.span(1, 4, " · ".join(ways), GRAY)
    page.span(5, 6, invoice.number, Look(bold=True, size=11, right=True))
    page.end()
    page.span(1, 4, f"Tax number {invoice.tax_number}" if invoice.tax_number else "", GRAY)
    page.span(5, 6, f"Date {invoice.day}", GRAY_RIGHT)
    page.end(10)
    for words in (client.name, client.address) if client else ():
        if words:
            page.line(words, Look(size=11, wrap=True))
    page.gap(8)
    page.line(invoice.title, _TITLE, space=2)
    page.line(f"As agreed in {invoice.quote}", GRAY, space=10)


def _asked(page: Page, invoice: Invoice) -> None:
    taxed = bool(invoice.tax)
    page.span(1, 3, "For", HEAD)
    for column, words in ((4, "price"), (5, "tax"), (6, invoice.currency.code)):
        page.span(column, column, words if taxed or column == 6 else "", HEAD_RIGHT)
    page.end(2)
    for line in invoice.lines:
        page.span(1, 3, line.name, TEXT)
        if taxed:
            _amount(page, invoice, 4, line.price)
            _amount(page, invoice, 5, line.tax)
        _amount(page, invoice, 6, line.price + line.tax)
        page.end(2)
    if taxed:
        page.span(1, 3, "Sum", SUM_NAME)
        _amount(page, invoice, 4, invoice.price, SUM)
        _amount(page, invoice, 5, invoice.tax, SUM)
        _amount(page, invoice, 6, invoice.asked, SUM)
        page.end()
    page.span(1, 5, "To pay now", _ASKED_NAME)
    _amount(page, invoice, 6, invoice.asked, _ASKED)
    page.end(2)
    if invoice.tax_words:
        page.line(invoice.tax_words, SMALL)
    page.gap(12)


def _whole(page: Page, invoice: Invoice) -> None:
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


def _card_words(invoice: Invoice) -> str:
    if invoice.by_card is None:
        return ""
    return (
        f"Paid by card, with the fee of the card company:"
        f" {invoice.currency.show(invoice.by_card)} {invoice.currency.code}."
    )


def _amount(page: Page, invoice: Invoice, column: int, amount: Money, look: Look = FIGURE) -> None:
    value = invoice.currency.decimal(amount)
    page.span(column, column, value, look, money_format(invoice.currency))

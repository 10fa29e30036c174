"""The client's quote: one printed page (two at most), values only, nothing from inside the shop.

The writer is handed an `Offer`, which has no field for what the client must not see.
"""

from collections.abc import Sequence
from itertools import zip_longest
from pathlib import Path

from ledger.measures.money import Money
from ledger.quotes.offer import Offer, address_lines
from ledger.quotes.text import Reader, lead_words, pieces_words
from ledger.workbooks.paper import Look, add_sheet, money_format, new_workbook, save
from ledger.workbooks.writers.page import (
    FIGURE,
    GRAY,
    GRAY_RIGHT,
    HEAD,
    HEAD_RIGHT,
    INK,
    NAME,
    RULE,
    SMALL,
    SUM,
    SUM_NAME,
    TEXT,
    Page,
)

WIDTHS = (16, 15.5, 15.5, 16, 15.5, 15.5)
ONE_PAGE = 860
"""Points of rows that still print well on one page; more go on two."""

_ITEMS = 12
"""Items of a list in one cell: a row cannot be higher than a hand."""

_TITLE = Look(bold=True, size=14, color=INK, wrap=True)
_TOTAL = Look(bold=True, size=12, color=INK, right=True, line_above=True)
_TOTAL_NAME = Look(bold=True, size=12, color=INK, line_above=True)


def write_quote(offer: Offer, client: Reader, path: Path) -> Path:
    """Write the client's workbook, readable by its owner alone."""
    workbook = new_workbook(f"Quote {offer.name}", offer.maker.name, offer.day)
    sheet = add_sheet(workbook, f"Quote {offer.name}", WIDTHS, letter=offer.units == "inch")
    page = Page(sheet, WIDTHS)
    _letterhead(page, offer, client)
    _piece(page, offer)
    _prices(page, offer)
    _payments(page, offer)
    _options(page, offer)
    _terms(page, offer)
    _acceptance(page, offer)
    sheet.page_setup.fitToHeight = 1 if page.height() <= ONE_PAGE else 2
    sheet.print_area = f"A1:F{page.row - 1}"
    return save(workbook, path, private=True)


def _letterhead(page: Page, offer: Offer, client: Reader) -> None:
    page.span(1, 4, offer.maker.name, NAME)
    page.span(5, 6, "Quote", Look(bold=True, size=20, color="8A7B66", right=True))
    page.end()
    ways = [part for part in (*address_lines(offer.maker.address), offer.maker.contact) if part]
    page.span(1, 4, " · ".join(ways), GRAY)
    page.span(5, 6, offer.name, Look(bold=True, size=11, right=True))
    page.end(10)
    person = [client.name, *address_lines(client.address)] if client else []
    right = [f"Date {offer.day}", f"Valid until {offer.valid_until}"]
    right += [f"Drawing {offer.drawing}"] if offer.drawing else []
    right += [f"Sample {offer.sample}"] if offer.sample else []
    left = [("For", GRAY), *((part, Look(size=11, wrap=True)) for part in person)]
    for left_words, right_words in zip_longest(left if person else [], right):
        if left_words:
            page.span(1, 4, *left_words)
        page.span(5, 6, right_words or "", GRAY_RIGHT)
        page.end()
    page.gap(11)


def _piece(page: Page, offer: Offer) -> None:
    page.line(offer.title, _TITLE, space=2)
    if offer.description:
        page.line(offer.description, TEXT, space=4)
    details = [(fact.name, fact.words) for fact in offer.facts]
    if offer.included:
        details.append(("Included", " · ".join(offer.included)))
    for name, words in details:
        page.span(1, 1, name, GRAY)
        page.span(2, 6, words, TEXT)
        page.end()
    page.gap(11)


def _prices(page: Page, offer: Offer) -> None:
    page.span(1, 5, "What you get", HEAD)
    page.span(6, 6, offer.currency.code, HEAD_RIGHT)
    page.end(2)
    for line in offer.deliverables:
        name = pieces_words(line.name, line.pieces, offer.currency.show(line.piece))
        page.span(1, 5, name, TEXT)
        _amount(page, offer, 6, line.amount)
        page.end(2)
    if offer.tax.amount:
        page.span(1, 5, "Price before tax", SUM_NAME)
        _amount(page, offer, 6, offer.price, SUM)
        page.end()
        page.span(1, 5, offer.tax.words, TEXT)
        _amount(page, offer, 6, offer.tax.amount)
        page.end()
    page.span(1, 5, "Total to pay" if offer.tax.amount else "Total", _TOTAL_NAME)
    _amount(page, offer, 6, offer.to_pay, _TOTAL)
    page.end()
    if offer.tax.words and not offer.tax.amount:
        page.line(offer.tax.words, SMALL)
    page.gap(11)


def _payments(page: Page, offer: Offer) -> None:
    taxed = bool(offer.tax.amount)
    page.span(1, 3, "Payments", HEAD)
    for column, words in ((4, "of the price"), (5, "tax"), (6, "to pay")):
        page.span(column, column, words if taxed or column == 6 else "", HEAD_RIGHT)
    page.end(2)
    for payment in offer.payments:
        page.span(1, 3, payment.name, TEXT)
        if taxed:
            _amount(page, offer, 4, payment.price)
            _amount(page, offer, 5, payment.tax)
        _amount(page, offer, 6, payment.asked, Look(bold=True, size=10, right=True))
        page.end(2)
    page.gap(4)
    page.line(lead_words(offer), TEXT, space=8)


def _options(page: Page, offer: Offer) -> None:
    if not offer.options:
        return
    taxed = any(option.tax for option in offer.options)
    page.span(1, 3, "If you like, in addition", HEAD)
    for column, words in ((4, "price"), (5, "tax"), (6, "adds")):
        page.span(column, column, words if taxed or column == 6 else "", HEAD_RIGHT)
    page.end(2)
    for option in offer.options:
        page.span(1, 3, option.name, TEXT)
        if taxed:
            _amount(page, offer, 4, option.amount)
            _amount(page, offer, 5, option.tax)
        _amount(page, offer, 6, option.asked)
        page.end(2)
    page.gap(9)


def _terms(page: Page, offer: Offer) -> None:
    page.span(1, 3, "We assume", HEAD)
    page.span(4, 6, "Not included", HEAD)
    page.end(2)
    for start in range(0, max(len(offer.assumptions), len(offer.exclusions)), _ITEMS):
        for first, last, items in ((1, 3, offer.assumptions), (4, 6, offer.exclusions)):
            page.span(first, last, _bullets(items[start : start + _ITEMS]), SMALL)
        page.end()
    page.gap(9)
    if offer.cautions:
        page.line("Please note", HEAD, space=2)
        for caution in offer.cautions:
            page.line(f"• {caution}", SMALL, space=1)
        page.gap(9)
    for number, clause in enumerate(offer.clauses):
        rule = number == 0
        page.span(1, 1, clause.name, Look(bold=True, size=9, color=INK, line_above=rule))
        page.span(2, 6, clause.words, Look(size=9, wrap=True, color="333333", line_above=rule))
        page.end(2)
    page.gap(9)


def _acceptance(page: Page, offer: Offer) -> None:
    page.line(offer.acceptance, TEXT, space=24)
    page.span(1, 2, "Date", RULE)
    page.span(4, 6, "Signature", RULE)
    page.end()


def _bullets(items: Sequence[str]) -> str:
    return "\n".join(f"• {item}" for item in items)


def _amount(page: Page, offer: Offer, column: int, amount: Money, look: Look = FIGURE) -> None:
    value = offer.currency.decimal(amount)
    page.span(column, column, value, look, money_format(offer.currency))

"""A quote as a workbook: plain rows with sums, for a client who works on with the figures.

What is read and signed is the paper. It is made of an `Offer`, which has no field for what the
client must not see.
"""

from collections.abc import Sequence
from pathlib import Path

from openpyxl.workbook import Workbook

from ledger.measures.money import totals
from ledger.quotes.offer import Offer, address_lines
from ledger.quotes.text import Reader, lead_words, pieces_words
from ledger.workbooks.paper import new_workbook, save
from ledger.workbooks.writers.rows import Rows, new_page

_WORDS = (22, 62)
_AMOUNTS = (44, 13, 13, 13)


def write_quote(offer: Offer, client: Reader, path: Path, *, letter: bool = True) -> Path:
    """Write the client's workbook, readable by its owner alone."""
    workbook = new_workbook(f"Quote {offer.name}", offer.maker.name, offer.day)
    _prices(workbook, offer)
    _words(workbook, offer, client)
    return save(workbook, path, private=True, letter=letter)


def _begin(workbook: Workbook, offer: Offer, title: str, widths: Sequence[float]) -> Rows:
    return new_page(workbook, title, widths, offer.currency, f"Quote {offer.name}", offer.title)


def _prices(workbook: Workbook, offer: Offer) -> None:
    """What is got and paid, payment by payment; each list with its sum."""
    rows = _begin(workbook, offer, "Prices", _AMOUNTS)
    heads = ("price before tax", "tax", f"to pay, {offer.currency.code}")
    rows.headings(("What you get", *heads), (2, 3, 4))
    for line in offer.deliverables:
        name = pieces_words(line, offer.currency.show)
        rows.add((name, line.amount))
    rows.sums("Total to pay", (offer.price, offer.tax.amount, offer.to_pay))
    rows.add((offer.tax.words,))
    if offer.payments:
        rows.subtitle("Payments")
        rows.headings(("Payment", *heads), (2, 3, 4))
        for payment in offer.payments:
            rows.add((payment.name, payment.price, payment.tax, payment.asked))
        rows.sums("All payments", totals(offer.payments, "price tax asked"))
    if offer.options:
        rows.subtitle("If you like, in addition")
        rows.headings(("Option", *heads), (2, 3, 4))
        for option in offer.options:
            rows.add((option.name, option.amount, option.tax, option.asked))


def _words(workbook: Workbook, offer: Offer, client: Reader) -> None:
    """Who, what and on which terms, a row each."""
    rows = _begin(workbook, offer, "Words", _WORDS)
    rows.headings(("What", "Words"))
    person = [client.name, *address_lines(client.address)] if client else []
    maker = [offer.maker.name, *address_lines(offer.maker.address), offer.maker.contact]
    pairs = [
        ("From", ", ".join(filter(None, maker))),
        ("For", ", ".join(filter(None, person))),
        ("Date", str(offer.day)),
        ("Valid until", str(offer.valid_until)),
        ("Drawing", offer.drawing),
        ("Sample", offer.sample),
        ("Piece", offer.title),
        ("", offer.description),
        *((fact.name, fact.words) for fact in offer.facts),
        ("Included", " · ".join(offer.included)),
        ("When", lead_words(offer)),
        *(("We assume", words) for words in offer.assumptions),
        *(("Not included", words) for words in offer.exclusions),
        *(("Please note", words) for words in offer.cautions),
        *((clause.name, clause.words) for clause in offer.clauses),
        ("Acceptance", offer.acceptance),
    ]
    for name, words in pairs:
        if words:
            rows.add((name, words))

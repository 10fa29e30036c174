"""Variants of a piece side by side for the client, on one page: quotes read column by column."""

from collections.abc import Sequence
from itertools import zip_longest
from pathlib import Path

from openpyxl import Workbook

from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.spoken import how_many
from ledger.quotes.offer import Offer
from ledger.workbooks.paper import (
    TOTAL,
    WRAPPED,
    Look,
    add_sheet,
    money_format,
    new_workbook,
    save,
)
from ledger.workbooks.writers.rows import Rows, padded

LEAST, MOST = 2, 4
"""Variants that can be read side by side on one page; more than two want it landscape."""


def write_variants(offers: Sequence[Offer], path: Path) -> Path:
    """Write two to four offers side by side, readable by its owner alone.

    Raises:
        NotAllowed: one offer is nothing to compare, and more than four do not fit on a page.
    """
    if not LEAST <= len(offers) <= MOST:
        message = f"Name {LEAST} to {MOST} quotes to put side by side; not {len(offers)}."
        raise NotAllowed(message)
    if len({offer.currency for offer in offers}) > 1:
        raise NotAllowed("Quotes in different currencies cannot be put side by side.")
    first = offers[0]
    workbook = new_workbook("Variants", first.maker.name, max(offer.day for offer in offers))
    rows = _sheet(workbook, first, len(offers))
    rows.title(f"{first.maker.name}: {' or '.join(dict.fromkeys(o.title for o in offers))}")
    rows.headings(("", *(offer.name for offer in offers)))
    _words(rows, offers)
    _amounts(rows, offers)
    message = "; ".join(f"{offer.name} stands until {offer.valid_until}" for offer in offers)
    rows.row += 1
    rows.note(f"{message}. Amounts in {first.currency.code}.")
    rows.sheet.page_setup.fitToHeight = 1
    return save(workbook, path, private=True)


def _sheet(workbook: Workbook, first: Offer, count: int) -> Rows:
    widths = (24.0, *(66.0 / count,) * count)
    sheet = add_sheet(
        workbook, "Variants", widths, landscape=count > LEAST, letter=first.units == "inch"
    )
    return Rows(sheet, widths)


def _words(rows: Rows, offers: Sequence[Offer]) -> None:
    """What each piece is: its title and description, and every fact that any of them names."""
    rows.add(("Piece", *(offer.title for offer in offers)))
    if any(offer.description for offer in offers):
        rows.add(("", *(offer.description for offer in offers)))
    for name in dict.fromkeys(fact.name for offer in offers for fact in offer.facts):
        rows.add((name, *(_fact(offer, name) for offer in offers)))
    rows.add(("Drawing", *(offer.drawing for offer in offers)))
    rows.add(
        (
            "Ready after deposit",
            *(f"about {how_many(offer.lead_weeks, 'week')}" for offer in offers),
        )
    )


def _fact(offer: Offer, name: str) -> str:
    return next((fact.words for fact in offer.facts if fact.name == name), "–")


def _amounts(rows: Rows, offers: Sequence[Offer]) -> None:
    rows.row += 1
    # By their places: the piece of each offer first, then what is delivered beside it.
    places = zip_longest(*(offer.deliverables for offer in offers))
    for name in dict.fromkeys(line.name for place in places for line in place if line):
        _add(rows, offers, name, [_deliverable(offer, name) for offer in offers])
    _add(rows, offers, "Price before tax", [offer.price for offer in offers], TOTAL)
    if any(offer.tax.amount for offer in offers):
        _add(rows, offers, "Tax", [offer.tax.amount for offer in offers])
        _add(rows, offers, "Total to pay", [offer.to_pay for offer in offers], TOTAL)
    for name in dict.fromkeys(option.name for offer in offers for option in offer.options):
        _add(rows, offers, f"In addition: {name}", [_option(offer, name) for offer in offers])


def _add(
    rows: Rows,
    offers: Sequence[Offer],
    name: str,
    amounts: Sequence[Money | None],
    look: Look = WRAPPED,
) -> None:
    """A row of amounts, empty where an offer has no such line."""
    currency = offers[0].currency
    values = [None if amount is None else currency.decimal(amount) for amount in amounts]
    rows.add((name, *values), ("", *(padded(money_format(currency)),) * len(offers)), look)


def _deliverable(offer: Offer, name: str) -> Money | None:
    return next((line.amount for line in offer.deliverables if line.name == name), None)


def _option(offer: Offer, name: str) -> Money | None:
    return next((option.asked for option in offer.options if option.name == name), None)

"""Variants of a piece side by side for the client, on one page: quotes read column by column."""

from collections.abc import Sequence
from itertools import zip_longest

from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.spoken import how_many
from ledger.papers.engine import Paper
from ledger.papers.quote import maker_lines
from ledger.papers.words import Words, amount, day_words, footer
from ledger.quotes.offer import Offer

LEAST, MOST = 2, 4
"""Variants that can be read side by side on one page; more than two want it landscape."""


def variants_paper(offers: Sequence[Offer], size: str) -> Paper:
    """Two to four offers side by side; where they differ stands bold, what none says is left out.

    Raises:
        NotAllowed: one offer is nothing to compare, and more than four do not fit on a page.
    """
    if not LEAST <= len(offers) <= MOST:
        raise NotAllowed(f"Name {LEAST} to {MOST} quotes to put side by side; not {len(offers)}.")
    if len({offer.currency for offer in offers}) > 1:
        raise NotAllowed("Quotes in different currencies cannot be put side by side.")
    first, last = offers[0], max(offers, key=lambda offer: offer.day)
    names = [offer.name for offer in offers]
    titles = " or ".join(dict.fromkeys(offer.title for offer in offers))
    return Paper(
        template="variants",
        title=f"Variants {', '.join(names)}",
        author=last.maker.name,
        day=last.day,
        size=size,
        footer=footer(", ".join(names), titles, last.maker.name),
        texts={
            "shop": last.maker.name,
            "ways": maker_lines(last.maker),
            "number": f"Amounts in {first.currency.code}",
            "title": titles,
            "landscape": len(offers) > LEAST,
            "heads": ["", *names],
            "words": [row for row in _words(offers) if row],
            "amounts": [row for row in _amounts(offers) if row],
        },
    )


def _words(offers: Sequence[Offer]) -> list[Words]:
    """What each piece is: its title and description, and every fact that any of them names."""
    names = dict.fromkeys(fact.name for offer in offers for fact in offer.facts)
    return [
        _row("Piece", [offer.title for offer in offers]),
        _row("", [offer.description for offer in offers]),
        *(_row(name, [_fact(offer, name) for offer in offers]) for name in names),
        _row("Drawing", [offer.drawing for offer in offers]),
        _row("Ready after deposit", [_weeks(offer) for offer in offers]),
        _row("Valid until", [_day(offer) for offer in offers]),
    ]


def _amounts(offers: Sequence[Offer]) -> list[Words]:
    # By their places: the piece of each offer first, then what is delivered beside it.
    places = zip_longest(*(offer.deliverables for offer in offers))
    names = dict.fromkeys(line.name for place in places for line in place if line)
    rows = [_money(name, offers, [_deliverable(offer, name) for offer in offers]) for name in names]
    if any(offer.tax.amount for offer in offers):
        rows.append(_money("Price before tax", offers, [o.price for o in offers], look="sum"))
        rows.append(_money("Tax", offers, [offer.tax.amount for offer in offers]))
        rows.append(_money("Total to pay", offers, [o.to_pay for o in offers], look="total"))
    else:
        rows.append(_money("Total", offers, [offer.price for offer in offers], look="total"))
    for name in dict.fromkeys(option.name for offer in offers for option in offer.options):
        prices = [_option(offer, name) for offer in offers]
        rows.append(_money(f"In addition: {name}", offers, prices))
    return rows


def _row(name: str, cells: Sequence[str], look: str = "") -> Words:
    """A row whose cells are bold where the offers differ; nothing where none says anything."""
    if not any(cells):
        return ""
    return {
        "name": name,
        "cells": [cell or "–" for cell in cells],
        "differs": len(set(cells)) > 1,
        "look": look,
    }


def _money(
    name: str, offers: Sequence[Offer], amounts: Sequence[Money | None], look: str = ""
) -> Words:
    signed = look == "total"
    cells = [
        "" if money is None else amount(offer.currency, money, sign=signed)
        for offer, money in zip(offers, amounts, strict=True)
    ]
    return _row(name, cells, look)


def _weeks(offer: Offer) -> str:
    return f"about {how_many(offer.lead_weeks, 'week')}"


def _day(offer: Offer) -> str:
    return day_words(offer.valid_until, offer.currency, offer.units)


def _fact(offer: Offer, name: str) -> str:
    return next((fact.words for fact in offer.facts if fact.name == name), "")


def _deliverable(offer: Offer, name: str) -> Money | None:
    return next((line.amount for line in offer.deliverables if line.name == name), None)


def _option(offer: Offer, name: str) -> Money | None:
    return next((option.asked for option in offer.options if option.name == name), None)

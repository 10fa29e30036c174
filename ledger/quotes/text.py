"""An offer as plain text, to be pasted into an e-mail: 72 wide, no signs that a mailer breaks."""

import textwrap
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from ledger.book.tables.clients import Addressee, Client
from ledger.measures.money import Money
from ledger.measures.spoken import how_many
from ledger.quotes.offer import Offer, QuoteDeliverable, address_lines

if TYPE_CHECKING:
    from ledger.quotes.invoice import InvoiceLine

WIDTH = 72
_FIGURE = 14


type Reader = Client | Addressee | None
"""Whom a paper is for: the client as they are, or as they were on its day."""


def offer_text(offer: Offer, client: Reader) -> str:
    """The whole offer as text."""
    return "\n".join(_lines(offer, client)) + "\n"


def _lines(offer: Offer, client: Reader) -> Iterator[str]:
    yield from (line for line in _letterhead(offer, client))
    yield from _block("", [offer.title])
    if offer.description:
        yield from _wrapped(offer.description)
    yield from (line for fact in offer.facts for line in _wrapped(f"{fact.name}: {fact.words}"))
    yield ""
    yield from _prices(offer)
    yield from _payments(offer)
    yield ""
    yield from _wrapped(lead_words(offer))
    if offer.options:
        yield ""
        yield "If you like, in addition" + (" (tax included)" if offer.tax.amount else "")
        for option in offer.options:
            yield from _figure(offer, option.name, option.asked)
    yield from _list("Included", offer.included)
    yield from _list("We assume", offer.assumptions)
    yield from _list("Not included", offer.exclusions)
    yield from _list("Please note", offer.cautions)
    for clause in offer.clauses:
        yield from _block(clause.name, [clause.words])
    yield from _block("To accept", [offer.acceptance])
    yield ""
    yield offer.maker.name
    yield from (part for part in (offer.maker.contact,) if part)


def pieces_words(line: "QuoteDeliverable | InvoiceLine", show: Callable[[Money], str]) -> str:
    """What is sold, and of several pieces how many, at what price each where they have one."""
    if line.pieces == 1:
        return line.name
    each = "" if line.piece is None else f", {show(line.piece)} each"
    return f"{line.name}, {line.pieces} pieces{each}"


def lead_words(offer: Offer, day: Callable[[date], str] = str) -> str:
    """When the piece comes, what the drawings include, how long the offer stands.

    `day` writes a day, otherwise than 2025-05-25.
    """
    weeks = how_many(offer.lead_weeks, "week")
    sentences = [f"Ready about {weeks} after the deposit."]
    if offer.revisions:
        drawings = f"drawing revision{'' if offer.revisions == 1 else 's'}"
        sentences.append(f"{offer.revisions} {drawings} included.")
    return " ".join([*sentences, f"This quote stands until {day(offer.valid_until)}."])


def _letterhead(offer: Offer, client: Reader) -> Iterator[str]:
    yield offer.maker.name
    yield from address_lines(offer.maker.address)
    yield from (part for part in (offer.maker.contact,) if part)
    yield ""
    yield f"Quote {offer.name}, {offer.day}, valid until {offer.valid_until}"
    if client is not None:
        yield f"For {client.name}"
        yield from address_lines(client.address)
    if offer.drawing:
        yield f"Drawing {offer.drawing}"
    if offer.sample:
        yield f"Sample {offer.sample}"


def _prices(offer: Offer) -> Iterator[str]:
    for line in offer.deliverables:
        name = pieces_words(line, offer.currency.show)
        yield from _figure(offer, name, line.amount)
    yield from _figure(offer, "Price before tax" if offer.tax.amount else "Price", offer.price)
    if offer.tax.amount:
        yield from _figure(offer, offer.tax.words, offer.tax.amount)
        yield from _figure(offer, f"To pay, {offer.currency.code}", offer.to_pay)
    elif offer.tax.words:
        yield from _wrapped(offer.tax.words)


def _payments(offer: Offer) -> Iterator[str]:
    yield ""
    yield "Payments" + (", tax included" if offer.tax.amount else "")
    for payment in offer.payments:
        yield from _figure(offer, payment.name, payment.asked)


def _figure(offer: Offer, words: str, amount: Money) -> Iterator[str]:
    room = WIDTH - _FIGURE
    lines = textwrap.wrap(words, room - 1) or [""]
    yield from lines[:-1]
    yield f"{lines[-1]:<{room}}{offer.currency.show(amount):>{_FIGURE}}"


def _list(heading: str, items: Sequence[str]) -> Iterator[str]:
    if items:
        yield ""
        yield heading
    for item in items:
        yield from textwrap.wrap(f"- {item}", WIDTH, subsequent_indent="  ")


def _block(heading: str, paragraphs: Sequence[str]) -> Iterator[str]:
    yield ""
    yield from (line for line in (heading,) if line)
    for paragraph in paragraphs:
        yield from _wrapped(paragraph)


def _wrapped(text: str) -> Iterator[str]:
    yield from (textwrap.wrap(text, WIDTH) or [""])

"""The client's quote on paper: one page where it fits, with room to sign.

It is made of an `Offer`, which has no field for what the client must not see.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial

from ledger.measures.money import Money
from ledger.papers.engine import Paper
from ledger.papers.words import Words, amount, day_words, footer, row
from ledger.quotes.offer import Maker, Offer, address_lines
from ledger.quotes.text import Reader, lead_words, pieces_words


def quote_paper(offer: Offer, client: Reader, size: str, *, is_draft: bool = False) -> Paper:
    """A quote as the client reads it; a draft says so beside its number."""

    def day(when: date) -> str:
        return day_words(when, offer.currency, offer.units)

    dated = [("Date", day(offer.day)), ("Valid until", day(offer.valid_until))]
    dated += [("Drawing", offer.drawing)] if offer.drawing else []
    dated += [("Sample", offer.sample)] if offer.sample else []
    described = [(fact.name, fact.words) for fact in offer.facts]
    if offer.included:
        described.append(("Included", " · ".join(offer.included)))
    return Paper(
        template="quote",
        title=f"Quote {offer.name}: {offer.title}",
        author=offer.maker.name,
        day=offer.day,
        size=size,
        footer=footer(offer.name, offer.title, offer.maker.name),
        texts={
            "shop": offer.maker.name,
            "ways": maker_lines(offer.maker),
            "number": offer.name,
            "mark": "Draft, not an offer yet" if is_draft else "",
            "client": reader_lines(client),
            "dated": dated,
            "title": offer.title,
            "description": offer.description,
            "described": described,
            "prices": _prices(offer),
            "payments": _payments(offer),
            "lead": lead_words(offer, day),
            "options": _options(offer),
            "assumptions": offer.assumptions,
            "exclusions": offer.exclusions,
            "cautions": offer.cautions,
            "clauses": [(clause.name, clause.words) for clause in offer.clauses],
            "acceptance": offer.acceptance,
        },
    )


def maker_lines(maker: Maker) -> list[str]:
    """Address of the shop on one line, and how to reach it on the next."""
    ways = [" · ".join(address_lines(maker.address)), maker.contact]
    return [words for words in ways if words]


def reader_lines(client: Reader) -> list[str]:
    """Name and address of the client, a line each."""
    if client is None:
        return []
    return [line for line in (client.name, *address_lines(client.address)) if line.strip()]


def _prices(offer: Offer) -> dict[str, Words]:
    rows = []
    for line in offer.deliverables:
        name = pieces_words(line, partial(amount, offer.currency, sign=True))
        rows.append(row(name, amount(offer.currency, line.amount)))
    if offer.tax.amount:
        rows.append(row("Price before tax", amount(offer.currency, offer.price), look="sum"))
        rows.append(row(offer.tax.words, amount(offer.currency, offer.tax.amount)))
    whole = "Total to pay" if offer.tax.amount else "Total"
    rows.append(row(whole, amount(offer.currency, offer.to_pay, sign=True), look="total"))
    note = "" if offer.tax.amount else offer.tax.words
    return {"heads": ["What you get", offer.currency.code], "rows": rows, "note": note}


def _payments(offer: Offer) -> dict[str, Words]:
    lines = ((one.name, one.price, one.tax, one.asked) for one in offer.payments)
    heads = ("Payments", "of the price", "tax", "to pay")
    return _with_tax(offer, heads, lines, taxed=bool(offer.tax.amount))


def _options(offer: Offer) -> dict[str, Words]:
    lines = ((one.name, one.amount, one.tax, one.asked) for one in offer.options)
    heads = ("If you like, in addition", "price", "tax", "adds")
    return _with_tax(offer, heads, lines, taxed=any(one.tax for one in offer.options))


def _with_tax(
    offer: Offer,
    heads: Sequence[str],
    lines: Iterable[tuple[str, Money, Money, Money]],
    *,
    taxed: bool,
) -> dict[str, Words]:
    """Names with a price, its tax and both; without tax there is one amount."""
    shown = slice(0 if taxed else 2, None)
    rows = [
        row(name, *(amount(offer.currency, money) for money in amounts[shown]))
        for name, *amounts in lines
    ]
    return {"heads": [heads[0], *heads[1:][shown]], "rows": rows}

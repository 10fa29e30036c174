"""How a quote is shown on the screen and told to other programs."""

from typing import Any

from ledger.cli import voice
from ledger.measures.plain import plain_fields, plain_rows
from ledger.measures.spoken import how_many
from ledger.quotes.revisions import RevisionStanding
from ledger.quotes.text import pieces_words

SOON = 7
"""Days before its end from which an open quote is marked."""


def show_quote(now: RevisionStanding) -> None:
    """Print a quote on the screen."""
    offer, show = now.offer, now.offer.currency.show
    voice.heading(f"Quote {offer.name}, {now.state} since {now.since}: {offer.title}")
    if offer.description:
        voice.say(offer.description)
    rows = [[pieces_words(line, show), show(line.amount)] for line in offer.deliverables]
    if has_tax := bool(offer.tax.amount):
        rows.append(["price before tax", show(offer.price)])
        rows.append([offer.tax.words, show(offer.tax.amount)])
    voice.table(
        ["deliverable", ">amount"], rows,
        footer=[f"to pay, {offer.currency.code}", show(offer.to_pay)],
    )  # fmt: skip
    voice.table(
        ["payment", *([">of the price", ">tax"] if has_tax else []), ">to pay"],
        [[p.name, *([show(p.price), show(p.tax)] if has_tax else []), show(p.asked)]
         for p in offer.payments],
    )  # fmt: skip
    if offer.options:
        voice.table(
            ["if the client likes", *([">price", ">tax"] if has_tax else []), ">adds"],
            [[o.name, *([show(o.amount), show(o.tax)] if has_tax else []), show(o.asked)]
             for o in offer.options],
        )  # fmt: skip
    voice.pairs({
        "dated": f"{offer.day}, valid until {offer.valid_until}",
        "lead time": f"about {how_many(offer.lead_weeks, 'week')} from deposit",
        **{fact.name: fact.words for fact in offer.facts},
        **({"drawing": offer.drawing} if offer.drawing else {}),
        **({"sample": offer.sample} if offer.sample else {}),
        **({"cautions": str(len(offer.cautions))} if offer.cautions else {}),
    })  # fmt: skip


def say_state(row: RevisionStanding, left: int | None) -> str:
    """The state since when, or how soon an open quote expires."""
    if left is not None and left <= SOON:
        return f"{row.state}, {left} day{'' if left == 1 else 's'} left"
    return f"{row.state} {row.since}"


def quote_json(now: RevisionStanding) -> dict[str, Any]:
    """The facts of a quote for other programs; money as decimal strings."""
    offer = now.offer
    return {
        **plain_fields(now, "quote=offer.name job=job.number state since"),
        **plain_fields(offer, "day valid_until currency=currency.code"),
        "deliverables": plain_rows(
            offer.deliverables, "name pieces piece amount taxed", offer.currency
        ),
        **plain_fields(offer, "price tax=tax.amount to_pay", offer.currency),
        "payments": plain_rows(offer.payments, "name price tax asked", offer.currency),
        "options": plain_rows(offer.options, "name price=amount tax", offer.currency),
        "facts": {fact.name: fact.words for fact in offer.facts},
        "cautions": list(offer.cautions),
    }

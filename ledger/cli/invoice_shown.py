"""How invoices, payment requests and credit notes are shown and told to other programs."""

from typing import TYPE_CHECKING, Any

from ledger.cli import voice
from ledger.measures.money import Money
from ledger.quotes.invoice import CREDIT, Invoice
from ledger.quotes.paper_words import asked_words, left_words, payment_words

if TYPE_CHECKING:
    from ledger.book.tables.ground import Client
    from ledger.book.tables.jobs import Addressee


def show_paper(found: Invoice) -> None:
    """Say a paper on the screen."""
    from ledger.quotes.notices import SURCHARGE

    show = found.currency.show
    name = f"{found.kind} {found.number}".strip()
    voice.heading(f"{name} of {found.day}: {found.title}")
    if found.corrects:
        voice.say(f"It corrects {found.corrects}: {found.reason}")
    rows = [[line.name, show(line.price), show(line.tax), show(line.price + line.tax)]
            for line in found.lines]  # fmt: skip
    rows += [
        [f"less {d.number} of {d.day}", show(-d.price), show(-d.tax), show(-d.price - d.tax)]
        for d in found.deducted
    ]
    voice.table(
        ["for", ("price", "right"), ("tax", "right"), ("with tax", "right")], rows,
        footer=["together", show(found.price), show(found.tax), show(found.asked)],
    )  # fmt: skip
    if len(found.taxes) > 1:
        voice.table(
            ["tax", ("on", "right"), ("tax", "right")],
            [[part.words, show(part.base), show(part.tax)] for part in found.taxes],
        )
    if found.paper != CREDIT:
        _show_contract(found)
    for words in payment_words(found):
        voice.say(words)
    if found.by_card is not None:
        voice.warn(SURCHARGE)


def _show_contract(found: Invoice) -> None:
    show = found.currency.show
    price, tax = found.first_agreed
    sums = [(f"agreed in {found.quote}", price, tax)]
    sums += [(f"{c.name} {c.words}", c.price, c.tax) for c in found.changes or ()]
    if found.changes:
        sums.append(("agreed now", found.agreed_price, found.agreed_tax))
    rows = [[name, show(price), show(tax), show(price + tax)] for name, price, tax in sums]
    rows.append(["received", "", "", show(found.received)])
    words, amount = asked_words(found)
    rows.append([words.lower(), "", "", show(amount)])
    footer = [left_words(found).lower(), "", "", show(abs(found.left))]
    heads: list[str | tuple[str, voice.Justify]] = ["the contract", ("price", "right")]
    voice.table([*heads, ("tax", "right"), ("with tax", "right")], rows, footer=footer)


def paper_facts(found: Invoice, reader: "Client | Addressee | None") -> dict[str, Any]:
    """The facts of a paper for other programs; money as decimal strings.

    A credit note takes nothing off that was invoiced before: it is that.
    """
    told = _told(found, reader)
    if found.paper == CREDIT:
        del told["deducted"]
    return told


def _told(found: Invoice, reader: "Client | Addressee | None") -> dict[str, Any]:
    def plain(amount: Money) -> str:
        return str(found.currency.decimal(amount))

    return {
        "invoice": found.number,
        "kind": found.kind,
        "paper": found.paper,
        "day": str(found.day),
        "due_day": str(found.due_day) if found.due_day else None,
        "supplied": str(found.supplied) if found.supplied else None,
        "paid_on": [str(day) for day in found.paid_on],
        "quote": found.quote,
        "title": found.title,
        "description": found.description,
        "currency": found.currency.code,
        **_sides(found, reader),
        "lines": [
            {"name": line.name, "price": plain(line.price), "tax": plain(line.tax),
             "rate": None if line.rate is None else str(line.rate * 100)}
            for line in found.lines
        ],
        "deducted": [
            {"invoice": d.number, "day": str(d.day), "price": plain(d.price), "tax": plain(d.tax)}
            for d in found.deducted
        ],
        "taxes": [
            {"words": part.words, "base": plain(part.base), "tax": plain(part.tax),
             "rate": None if part.rate is None else str(part.rate * 100)}
            for part in found.taxes
        ],
        "tax_words": found.tax_words,
        "asked": plain(found.asked),
        "settled": plain(found.settled),
        "to_pay": plain(found.to_pay),
        "changes": [
            {"order": change.name, "words": change.words, "price": plain(change.price),
             "tax": plain(change.tax)}
            for change in found.changes or ()
        ],
        "agreed": plain(found.agreed),
        "received": plain(found.received),
        "left": plain(found.left),
        "by_card": plain(found.by_card) if found.by_card is not None else None,
        "pay_to": found.pay_to,
        "iban": found.iban,
        "bic": found.bic,
        "corrects": found.corrects,
        "reason": found.reason,
        "notes": list(found.notes),
    }  # fmt: skip


def _sides(found: Invoice, reader: "Client | Addressee | None") -> dict[str, Any]:
    """Who sells and who buys, as they stand on the paper."""
    names = ("name", "address", "contact", "vat_number")
    return {
        "seller": {
            "name": found.maker.name,
            "address": found.maker.address,
            "contact": found.maker.contact,
            "tax_number": found.tax_number,
        },
        "buyer": {name: getattr(reader, name) if reader else "" for name in names},
    }

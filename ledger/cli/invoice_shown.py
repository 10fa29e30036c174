"""How invoices, payment requests and credit notes are shown and told to other programs."""

from typing import TYPE_CHECKING, Any

from ledger.cli import voice
from ledger.measures.money import Money, total
from ledger.quotes.invoice import CREDIT, REQUEST, Invoice
from ledger.quotes.paper_words import asked_words, deducted_words, left_words, payment_words
from ledger.quotes.text import pieces_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ledger.book import Book
    from ledger.book.tables.ground import Client
    from ledger.book.tables.jobs import Addressee
    from ledger.reports.invoices import PaperRow


def show_paper(found: Invoice) -> None:
    """Say a paper on the screen."""
    from ledger.quotes.notices import SURCHARGE

    show = found.currency.show
    name = f"{found.kind} {found.number}".strip()
    voice.heading(f"{name} of {found.day}: {found.title}")
    if found.corrects:
        voice.say(f"It corrects {found.corrects}: {found.reason}")
    sums = [
        (pieces_words(line.name, line.pieces, show(line.piece)), line.price, line.tax)
        for line in found.lines
    ]
    sums += [(deducted_words(d), -d.price, -d.tax) for d in found.deducted]
    _table("for", found, [_row(found, *one) for one in sums],
           _row(found, "together", found.price, found.tax))  # fmt: skip
    if len(found.taxes) > 1:
        voice.table(
            ["tax", ("on", "right"), ("tax", "right")],
            [[part.words, show(part.base), show(part.tax)] for part in found.taxes],
        )
    elif found.tax_words and found.paper != REQUEST:
        voice.say(f"{found.tax_words}.".replace("..", "."))
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
    rows = [_row(found, *one) for one in sums]
    blank = [""] * (len(rows[0]) - 2)
    rows.append(["received", *blank, show(found.received)])
    words, amount = asked_words(found)
    rows.append([words.lower(), *blank, show(amount)])
    footer = [left_words(found).lower(), *blank, show(abs(found.left))]
    _table("the contract", found, rows, footer)


def _has_tax(found: Invoice) -> bool:
    return bool(found.agreed_tax or found.tax)


def _row(found: Invoice, name: str, price: Money, tax: Money) -> list[str]:
    """A row of a table of a paper; without tax there is one amount."""
    show = found.currency.show
    return [name, show(price), show(tax), show(price + tax)] if _has_tax(found) else [
        name, show(price)
    ]  # fmt: skip


def _table(head: str, found: Invoice, rows: list[list[str]], footer: list[str]) -> None:
    names = ("price", "tax", "with tax") if _has_tax(found) else ("amount",)
    heads: list[str | tuple[str, voice.Justify]] = [head, *((name, "right") for name in names)]
    voice.table(heads, rows, footer=footer)


def show_journal(book: "Book", rows: "Sequence[PaperRow]", *, as_json: bool) -> None:
    """Say the invoices and credit notes in force, in the order of their days."""
    plain, show = book.currency.decimal, book.currency.show
    amounts = ("price", "taxed", "tax", "asked")
    if as_json:
        voice.facts([
            {"invoice": row.number, "day": str(row.day), "job": row.job, "kind": row.kind,
             "corrects": row.corrects} | {name: str(plain(getattr(row, name))) for name in amounts}
            for row in rows
        ])  # fmt: skip
        return
    if not rows:
        voice.note("No invoice is written yet: benchledger quote invoice JOB")
        return
    heads: list[str | tuple[str, voice.Justify]] = ["invoice", "day", "job", "kind"]
    voice.table(
        [*heads, ("net", "right"), ("tax", "right"), ("with tax", "right")],
        [[row.number, str(row.day), row.job, row.kind, show(row.price), show(row.tax),
          show(row.asked)] for row in rows],
        footer=["together", "", "", "", *(show(total(getattr(row, name) for row in rows))
                for name in ("price", "tax", "asked"))],
    )  # fmt: skip


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
            {"name": line.name, "pieces": line.pieces, "piece": plain(line.piece),
             "price": plain(line.price), "tax": plain(line.tax),
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

"""How invoices, payment requests and credit notes are shown and told to other programs."""

from typing import TYPE_CHECKING, Any

from ledger.cli import voice
from ledger.measures.money import Money, totals
from ledger.measures.plain import plain_fields, plain_rows
from ledger.quotes import paper_words
from ledger.quotes.invoice import CREDIT, REQUEST, Invoice
from ledger.quotes.text import pieces_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ledger.book import Book
    from ledger.book.tables.clients import Addressee, Client
    from ledger.reports.invoices import PaperRow


def show_paper(invoice: Invoice) -> None:
    """Print an invoice, payment request or credit note on the screen."""
    from ledger.quotes.notices import SURCHARGE

    show = invoice.currency.show
    name = f"{invoice.kind} {invoice.number}".strip()
    voice.heading(f"{name} of {invoice.day}: {invoice.title}")
    if invoice.corrects:
        voice.say(f"It corrects {invoice.corrects}: {invoice.reason}")
    sums = [(pieces_words(line, show), line.price, line.tax) for line in invoice.lines]
    sums += [(paper_words.deducted_words(d), -d.price, -d.tax) for d in invoice.deducted]
    _table("for", invoice, [_row(invoice, *one) for one in sums],
           _row(invoice, "together", invoice.price, invoice.tax))  # fmt: skip
    if len(invoice.taxes) > 1:
        voice.table(
            ["tax", ">on", ">tax"],
            [[part.words, show(part.base), show(part.tax)] for part in invoice.taxes],
        )
    elif invoice.tax_words and invoice.paper != REQUEST:
        voice.say(f"{invoice.tax_words}.".replace("..", "."))
    if invoice.paper != CREDIT:
        _show_contract(invoice)
    voice.say_all(paper_words.payment_words(invoice))
    if invoice.by_card is not None:
        voice.warn(SURCHARGE)


def _show_contract(invoice: Invoice) -> None:
    show = invoice.currency.show
    price, tax = invoice.first_agreed
    sums = [(paper_words.agreed_words(invoice), price, tax)]
    sums += [(f"{c.name} {c.words}", c.price, c.tax) for c in invoice.changes or ()]
    if invoice.changes:
        sums.append(("agreed now", invoice.agreed_price, invoice.agreed_tax))
    rows = [_row(invoice, *one) for one in sums]
    blank = [""] * (len(rows[0]) - 2)
    rows.append(["received", *blank, show(invoice.received)])
    words, amount = paper_words.asked_words(invoice)
    rows.append([words.lower(), *blank, show(amount)])
    footer = [paper_words.left_words(invoice).lower(), *blank, show(abs(invoice.left))]
    _table("the contract", invoice, rows, footer)


def _has_tax(invoice: Invoice) -> bool:
    return bool(invoice.agreed_tax or invoice.tax)


def _row(invoice: Invoice, name: str, price: Money, tax: Money) -> list[str]:
    """A row of a table of a paper; without tax there is one amount."""
    show = invoice.currency.show
    return [name, show(price), show(tax), show(price + tax)] if _has_tax(invoice) else [
        name, show(price)
    ]  # fmt: skip


def _table(head: str, invoice: Invoice, rows: list[list[str]], footer: list[str]) -> None:
    names = ("price", "tax", "with tax") if _has_tax(invoice) else ("amount",)
    voice.table([head, *(f">{name}" for name in names)], rows, footer=footer)


def show_journal(book: "Book", rows: "Sequence[PaperRow]", *, as_json: bool) -> None:
    """Say the invoices and credit notes in force, in the order of their days."""
    from ledger.quotes.to_be_paid import open_papers

    show, waiting = book.currency.show, {one.invoice: one for one in open_papers(book)}
    if as_json:
        names = "invoice=number day job kind corrects price taxed tax asked"
        unpaid = {"due": None, "days_late": 0, "open": str(book.currency.decimal(Money(0)))}
        voice.print_json([
            plain_fields(row, names, book.currency) | (
                plain_fields(waiting[row.number], "due days_late open", book.currency)
                if row.number in waiting else unpaid
            )
            for row in rows
        ])  # fmt: skip
        return
    if not rows:
        voice.note("No invoice is written yet: benchledger quote invoice JOB")
        return
    voice.table(
        ["invoice", "day", "job", "kind", ">net", ">tax", ">with tax"],
        [[row.number, str(row.day), row.job, row.kind, show(row.price), show(row.tax),
          show(row.asked)] for row in rows],
        footer=["together", "", "", "", *map(show, totals(rows, "price tax asked"))],
    )  # fmt: skip
    listed = {row.number for row in rows}
    voice.say_all(one.words(show) for number, one in waiting.items() if number in listed)


def paper_json(invoice: Invoice, reader: "Client | Addressee | None") -> dict[str, Any]:
    """The facts of a paper for other programs; money as decimal strings.

    A credit note takes nothing off that was invoiced before: it is that.
    """
    payload = _every_field(invoice, reader)
    if invoice.paper == CREDIT:
        del payload["deducted"]
    return payload


def _every_field(invoice: Invoice, reader: "Client | Addressee | None") -> dict[str, Any]:
    currency = invoice.currency
    return {
        **plain_fields(
            invoice,
            "invoice=number kind paper day due_day supplied paid_on quote title description"
            " currency=currency.code",
        ),
        **_sides(invoice, reader),
        "lines": [
            {**plain_fields(line, "name pieces piece price tax", currency),
             "rate": None if line.rate is None else str(line.rate * 100)}
            for line in invoice.lines
        ],
        "deducted": plain_rows(invoice.deducted, "invoice=number day price tax", currency),
        "taxes": [
            {**plain_fields(part, "words base tax", currency),
             "rate": None if part.rate is None else str(part.rate * 100)}
            for part in invoice.taxes
        ],
        **plain_fields(invoice, "tax_words asked settled to_pay", currency),
        "changes": plain_rows(invoice.changes or (), "order=name words price tax", currency),
        **plain_fields(
            invoice,
            "agreed received left by_card pay_to iban bic corrects reason notes",
            currency,
        ),
    }  # fmt: skip


def _sides(invoice: Invoice, reader: "Client | Addressee | None") -> dict[str, Any]:
    """Who sells and who buys, as they stand on the paper."""
    names = ("name", "address", "contact", "vat_number")
    own = "name=maker.name address=maker.address contact=maker.contact tax_number"
    return {
        "seller": plain_fields(invoice, own),
        "buyer": {name: getattr(reader, name) if reader else "" for name in names},
    }

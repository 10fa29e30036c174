"""Invoices, payment requests and credit notes on paper.

What the VAT directive (2006/112/EC, Article 226) and custom elsewhere ask for stands here as far as
the frozen paper knows it: both sides with address and tax number, the piece, the day of supply or
payment, price before tax, the base of each rate, what was invoiced before with its own tax, when
and how to pay.
"""

from collections.abc import Callable
from datetime import date
from functools import partial

from ledger.jobs.agreement import WITHOUT_QUOTE
from ledger.measures.money import Money
from ledger.papers.engine import Paper
from ledger.papers.quote import maker_lines, reader_lines
from ledger.papers.transfer import CODE, transfer_code
from ledger.papers.words import Words, amount, day_words, footer, row
from ledger.quotes.invoice import ALONE, CREDIT, FINAL, REQUEST, Invoice
from ledger.quotes.paper_words import (
    agreed_words,
    asked_words,
    deducted_words,
    left_words,
    payment_words,
    reference_of,
)
from ledger.quotes.text import Reader, pieces_words


def invoice_paper(invoice: Invoice, client: Reader, size: str) -> Paper:
    """An invoice, payment request or credit note as its client reads it."""

    def day(when: date) -> str:
        return day_words(when, invoice.currency, invoice.units)

    name = " ".join(part for part in (invoice.kind, invoice.number) if part)
    code = transfer_code(invoice)
    return Paper(
        template="invoice",
        title=f"{name}: {invoice.title}",
        author=invoice.maker.name,
        day=invoice.day,
        size=size,
        footer=footer(invoice.number or invoice.kind, invoice.title, invoice.maker.name),
        texts={
            "shop": invoice.maker.name,
            "ways": [*maker_lines(invoice.maker), *_tax_number(invoice)],
            "kind": invoice.kind,
            "number": invoice.number,
            "client": _client_lines(client),
            "dated": _dated(invoice, day),
            "title": _title(invoice, day),
            "description": _description(invoice),
            "lines": _lines(invoice, day),
            "taxes": _taxes(invoice),
            "tax_words": "" if invoice.paper == REQUEST else invoice.tax_words,
            "contract": _whole(invoice) if invoice.changes is None else _contract(invoice),
            "payment": payment_words(invoice, day),
            "code": f"Code for a transfer of {amount(invoice.currency, invoice.to_pay, sign=True)}"
            f", reference {reference_of(invoice)}"
            if code
            else "",
        },
        drawings={CODE: code} if code else {},
    )


def _tax_number(invoice: Invoice) -> list[str]:
    label = "VAT number" if invoice.tax_standing == "vat" else "Tax number"
    return [f"{label} {invoice.tax_number}"] if invoice.tax_number else []


def _client_lines(client: Reader) -> list[str]:
    lines = reader_lines(client)
    if client is not None and client.vat_number:
        lines.append(f"VAT number {client.vat_number}")
    return lines


def _dated(invoice: Invoice, day: Callable[[date], str]) -> list[tuple[str, str]]:
    """The day of the paper, what it rests on, and the days of supply and of payments."""
    dated = [("Date", day(invoice.day))]
    if invoice.due_day is not None:
        on_receipt = invoice.due_day == invoice.day
        dated.append(("Due", "on receipt" if on_receipt else day(invoice.due_day)))
    if invoice.quote not in WITHOUT_QUOTE:
        dated.append(("As agreed in", invoice.quote))
    if invoice.supplied is not None:
        dated.append(("Delivered/picked up", day(invoice.supplied)))
    if invoice.paid_on:
        dated.append(("Payment received", ", ".join(map(day, invoice.paid_on))))
    return [(name, words) for name, words in dated if words]


def _title(invoice: Invoice, day: Callable[[date], str]) -> str:
    if invoice.paper == CREDIT:
        number, _, sent_on = invoice.corrects.rpartition(" of ")  # the frozen page has the ISO day
        return f"Credit note on invoice {number} of {day(date.fromisoformat(sent_on))}"
    is_whole = invoice.kind in (FINAL, ALONE) or invoice.changes is None
    return invoice.title if is_whole else f"Payment toward: {invoice.title}"


def _description(invoice: Invoice) -> str:
    if invoice.paper == CREDIT:
        return f"{invoice.title}. {invoice.reason}"
    return invoice.description


def _lines(invoice: Invoice, day: Callable[[date], str]) -> dict[str, Words]:
    """What is invoiced, less what was invoiced before, and what of it is to be paid."""
    # where all was invoiced before, the tax comes to nothing, and what is taken off has it still
    has_tax = bool(invoice.tax) or any(less.tax for less in invoice.deducted)
    taxed = has_tax and invoice.paper != REQUEST
    rows = [
        _row(invoice, _named(invoice, number), line.price, line.tax, taxed=taxed)
        for number, line in enumerate(invoice.lines)
    ]
    for less in invoice.deducted:
        words = deducted_words(less, day)
        rows.append(_row(invoice, words, -less.price, -less.tax, taxed=taxed))
    if taxed or invoice.deducted:
        rows.append(_row(invoice, "Subtotal", invoice.price, invoice.tax, taxed=taxed, look="sum"))
    if invoice.settled and invoice.paper != CREDIT:
        rows.append(_one(invoice, "Received for it, thank you", -invoice.settled, taxed=taxed))
    words, money = asked_words(invoice)
    rows.append(_one(invoice, words, money, taxed=taxed, look="total"))
    return {"heads": _heads(invoice, "For", taxed=taxed), "rows": rows}


def _named(invoice: Invoice, number: int) -> str:
    line = invoice.lines[number]
    return pieces_words(line, partial(amount, invoice.currency, sign=True))


def _taxes(invoice: Invoice) -> dict[str, Words]:
    """The tax of each rate with the price that it is on."""
    parts = () if invoice.paper == REQUEST else invoice.taxes
    rows = [
        row(part.words, amount(invoice.currency, part.base), amount(invoice.currency, part.tax))
        for part in parts
    ]
    return {"heads": ["Tax", "on", "tax"], "rows": rows}


def _contract(invoice: Invoice) -> dict[str, Words]:
    """What was agreed and changed, what came, what is asked for here, and what remains.

    Under VAT the tax of the whole stands nowhere by itself: only what is invoiced shows its tax.
    """
    if invoice.paper == CREDIT:
        return {"heads": [], "rows": []}
    taxed = bool(invoice.agreed_tax) and invoice.tax_standing != "vat" and invoice.paper != REQUEST
    rows = [_row(invoice, f"A{agreed_words(invoice)[1:]}", *invoice.first_agreed, taxed=taxed)]
    for change in invoice.changes or ():
        words = f"{change.name}: {change.words}"
        rows.append(_row(invoice, words, change.price, change.tax, taxed=taxed))
    if invoice.changes:
        whole = (invoice.agreed_price, invoice.agreed_tax)
        rows.append(_row(invoice, "Agreed now", *whole, taxed=taxed, look="sum"))
    for words, money in (
        ("Received, thank you", -invoice.received),
        ("Amount due", -invoice.to_pay),
    ):
        if money:
            rows.append(_one(invoice, words, money, taxed=taxed))
    rows.append(_one(invoice, left_words(invoice), abs(invoice.left), taxed=taxed, look="sum"))
    return {"heads": _heads(invoice, "The contract", taxed=taxed), "rows": rows}


def _whole(invoice: Invoice) -> dict[str, Words]:
    """The whole as papers of the first schema showed it: they read as they were sent."""
    rows = [
        _one(invoice, words, money, taxed=False)
        for words, money in (
            ("Agreed price", invoice.agreed_price),
            ("Tax on it", invoice.agreed_tax),
            ("Payments received, thank you", -invoice.received),
            ("Asked for here", -invoice.asked),
        )
        if money
    ]
    last = "Stays to be paid later" if invoice.left else "Then all is paid"
    rows.append(_one(invoice, last, invoice.left, taxed=False, look="sum"))
    return {"heads": _heads(invoice, "The whole", taxed=False), "rows": rows}


def _heads(invoice: Invoice, words: str, *, taxed: bool) -> list[str]:
    code = invoice.currency.code
    return [words, "price", "tax", code] if taxed else [words, code]


def _row(
    invoice: Invoice, words: str, price: Money, tax: Money, *, taxed: bool, look: str = ""
) -> dict[str, Words]:
    parts = (price, tax, price + tax) if taxed else (price + tax,)
    return row(words, *(amount(invoice.currency, part) for part in parts), look=look)


def _one(
    invoice: Invoice, words: str, money: Money, *, taxed: bool, look: str = ""
) -> dict[str, Words]:
    """A row with one figure, in the last column."""
    empty = ("", "") if taxed else ()
    shown = amount(invoice.currency, money, sign=look == "total")
    return row(words, *empty, shown, look=look)

"""`benchledger quote invoice` and `variants`: more papers for the client."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop
from ledger.errors import NotFound

if TYPE_CHECKING:
    from ledger.quotes.invoice import Invoice


def invoice(
    quote: Annotated[
        str,
        typer.Argument(
            help="Its number, or its job's number or name.", autocompletion=complete.quote
        ),
    ] = "",
    which: Annotated[str, typer.Option("--for", help="The payment asked for, or CO-1.")] = "",
    rest: Annotated[bool, typer.Option("--rest", help="All that was not invoiced yet.")] = False,
    by_card: Annotated[bool, typer.Option("--card", help="Say what it is by card.")] = False,
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    again: Annotated[str, typer.Option(help="One that was written: show and write it again.")] = "",
    xlsx: Annotated[Path | None, typer.Option(help="The client's workbook.")] = None,
    as_json: AsJson = False,
) -> None:
    """Write the next invoice of an accepted quote: a deposit, a stage or the rest.

    Example: benchledger quote invoice bed --xlsx invoice.xlsx
    """
    from ledger.jobs.jobs import client_of
    from ledger.quotes.invoice import invoices, write_invoice
    from ledger.quotes.revisions import find_quote, standing
    from ledger.workbooks.writers.invoice import write_invoice_file

    with open_shop() as book:
        job = standing(book, find_quote(book, quote)).job
        if again:
            found = _written(invoices(book, job), again)
            if xlsx:
                write_invoice_file(found, client_of(book, job), xlsx)
        else:
            day = book.dates.read(on)
            with book.deed("quote invoice", job.number):
                found = write_invoice(book, job, which=which, rest=rest, by_card=by_card, day=day)
                if xlsx:  # inside the deed: no file, no invoice
                    write_invoice_file(found, client_of(book, job), xlsx)
    if as_json:
        voice.facts(_facts(found))
    else:
        _show(found)
    if xlsx:
        voice.note(f"Client's workbook: {xlsx}")


def variants(
    quotes: Annotated[
        list[str],
        typer.Argument(help="Two to four quotes, by number or job.", autocompletion=complete.quote),
    ],
    xlsx: Annotated[Path, typer.Option(help="The client's workbook.")],
) -> None:
    """Put two to four quotes side by side for the client, on one page.

    Example: benchledger quote variants Q-2507-A Q-2507-B --xlsx variants.xlsx
    """
    from ledger.quotes.revisions import find_quote, offer_of
    from ledger.workbooks.writers.variants import write_variants

    with open_shop() as book:
        offers = [offer_of(book, find_quote(book, text)) for text in quotes]
    write_variants(offers, xlsx)
    voice.say(f"{', '.join(offer.name for offer in offers)} side by side.")
    voice.note(f"Client's workbook: {xlsx}")


def _written(rows: list[Any], number: str) -> "Invoice":
    from ledger.quotes.invoice import read_invoice

    sought = number.strip().casefold()
    for row in rows:
        if row.number.casefold() == sought:
            return read_invoice(row)
    raise NotFound("invoice", number, [row.number for row in rows])


def _show(found: "Invoice") -> None:
    from ledger.quotes.notices import SURCHARGE

    show = found.currency.show
    voice.heading(f"{found.kind} {found.number} of {found.day}: {found.title}")
    voice.table(
        ["for", ("price", "right"), ("tax", "right"), ("to pay", "right")],
        [[line.name, show(line.price), show(line.tax), show(line.price + line.tax)]
         for line in found.lines],
        footer=["together", show(found.price), show(found.tax), show(found.asked)],
    )  # fmt: skip
    voice.pairs({
        "agreed, with tax": show(found.agreed),
        "received": show(found.received),
        "left after this": show(found.left),
    })  # fmt: skip
    if found.by_card is not None:
        voice.say(f"Paid by card, fee included: {show(found.by_card)}.")
        voice.warn(SURCHARGE)


def _facts(found: "Invoice") -> dict[str, Any]:
    plain = found.currency.decimal
    return {
        "invoice": found.number,
        "kind": found.kind,
        "day": str(found.day),
        "quote": found.quote,
        "currency": found.currency.code,
        "lines": [
            {"name": line.name, "price": str(plain(line.price)), "tax": str(plain(line.tax))}
            for line in found.lines
        ],
        "asked": str(plain(found.asked)),
        "agreed": str(plain(found.agreed)),
        "received": str(plain(found.received)),
        "left": str(plain(found.left)),
        "by_card": str(plain(found.by_card)) if found.by_card is not None else None,
    }

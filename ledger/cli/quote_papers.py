"""`benchledger quote invoice`, `credit` and `variants`: more papers for the client."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.clients import Addressee, Client
    from ledger.book.tables.ground import Job
    from ledger.quotes.invoice import Invoice

ByCard = Annotated[
    bool,
    typer.Option(
        "--card", help="Say what it is by card with a surcharge, where law and card contract allow."
    ),
]


def invoice(
    quote: Annotated[
        str,
        typer.Argument(
            help="Its number, or its job's number or name.", autocompletion=complete.quote
        ),
    ] = "",
    which: Annotated[str, typer.Option("--for", help="The payment asked for, or CO-1.")] = "",
    rest: Annotated[bool, typer.Option("--rest", help="All that was not invoiced yet.")] = False,
    request: Annotated[
        bool, typer.Option("--request", help="Only ask for the payment: no invoice.")
    ] = False,
    by_card: ByCard = False,
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    supplied: Annotated[
        str, typer.Option(help="The day the piece was delivered or picked up.")
    ] = "",
    again: Annotated[str, typer.Option(help="One that was written: show and write it again.")] = "",
    listed: Annotated[bool, typer.Option("--list", help="Only list what was written.")] = False,
    pdf: Annotated[Path | None, typer.Option(help="The client's paper.")] = None,
    as_json: AsJson = False,
) -> None:
    """Write the next invoice of an accepted quote: a deposit, a stage or the rest.

    Under VAT a payment is first asked for by a payment request, and invoiced when it has come.

    Example: benchledger quote invoice bed --pdf invoice.pdf
    """
    from ledger.jobs.jobs import client_of
    from ledger.quotes.asked_later import asked_later
    from ledger.quotes.billing import find_job_to_bill, since_then, write_invoice
    from ledger.quotes.issuing import missing_particulars

    if listed:
        _list(quote, as_json=as_json)
        return
    with open_shop() as book:
        job = find_job_to_bill(book, quote)
        if again:
            asked = {"for": which, "rest": rest, "request": request, "card": by_card,
                     "on": on != "today", "supplied": supplied}  # fmt: skip
            page, reader = _as_sent(book, job, again, asked)
            _write(book, page, reader, pdf)
        else:
            day, handed, reader = book.dates.read(on), _day(book, supplied), client_of(book, job)
            with book.entry("quote invoice", job.number):
                page = write_invoice(
                    book, job, which=which, rest=rest, request=request, by_card=by_card, day=day,
                    supplied=handed,
                )  # fmt: skip
                _write(book, page, reader, pdf, job)  # inside the entry: no file, no invoice
            _say_handed_over(book, job, page if handed else None)
        lacking = missing_particulars(book, job, page)
        words = (since_then if again else asked_later)(book, job, page)
    _say(page, reader, pdf, as_json=as_json)
    if words:
        voice.note(words)
    if not again:
        _say_lacking(page, lacking, by_card=by_card)


def _as_sent(
    book: "Book", job: "Job", again: str, asked: Mapping[str, object]
) -> "tuple[Invoice, Client | Addressee | None]":
    """A paper that was written and who reads it; what only a new one can say is refused."""
    from ledger.errors import NotAllowed
    from ledger.papers.frozen import reader_of
    from ledger.quotes.invoice import find_paper, read_invoice

    if options := [f"--{name}" for name in asked if asked[name]]:
        raise NotAllowed(
            "A paper is shown as it was sent, and nothing in it changes: leave"
            f" {', '.join(options)} out. What it should say else goes on a new paper."
        )
    row = find_paper(book, again, job)
    return read_invoice(row), reader_of(book, job, invoice=row.key)


def _say_lacking(page: "Invoice", lacking: Sequence[str], *, by_card: bool) -> None:
    """Note what a paper that was just written does not say, and a surcharge that it can't ask."""
    from ledger.quotes.notices import NO_CARD_FEE

    if by_card and page.to_pay and page.by_card is None:
        voice.warn(NO_CARD_FEE)
    if lacking:
        voice.warn(f"It does not say {'; '.join(lacking)}")


def _say_handed_over(book: "Book", job: "Job", page: "Invoice | None") -> None:
    from ledger.jobs.jobs import state_of

    if page and page.supplied and state_of(book, job) == "installed":
        voice.note(f"{job.number} was handed over on {page.supplied}.")


def credit(
    number: Annotated[str, typer.Argument(metavar="INVOICE", help="The invoice's number.")],
    amount: Annotated[str, typer.Argument(help="With its tax; without it all that stands.")] = "",
    why: Annotated[str, typer.Option(help="What is put right; the client reads it.")] = "",
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    pdf: Annotated[Path | None, typer.Option(help="The client's paper.")] = None,
    as_json: AsJson = False,
) -> None:
    """Write a credit note on an invoice that was sent, over all of it or over an amount.

    Example: benchledger quote credit I-2507-1 --why "made out to the wrong name"
    """
    from ledger.book.tables.ground import Job
    from ledger.jobs.jobs import client_of
    from ledger.quotes.credits import invoiced_anew, lowered_price, write_credit
    from ledger.quotes.invoice import find_paper

    with open_shop() as book:
        row = find_paper(book, number)
        job = book.row(Job, row.job)
        reader = client_of(book, job) if job else None
        value = book.currency.parse(amount) if amount else None
        with book.entry("quote credit", row.number):
            page = write_credit(book, row, why, amount=value, day=book.dates.read(on))
            _write(book, page, reader, pdf, job)
        notes = [lowered_price(book, job, page), invoiced_anew(book, job)] if job else []
    _say(page, reader, pdf, as_json=as_json)
    voice.note(*filter(None, notes))


def variants(
    quotes: Annotated[
        list[str],
        typer.Argument(help="Two to four quotes, by number or job.", autocompletion=complete.quote),
    ],
    pdf: Annotated[Path, typer.Option(help="The client's paper.")],
) -> None:
    """Put two to four quotes side by side for the client, on one page.

    Example: benchledger quote variants Q-2507-A Q-2507-B --pdf variants.pdf
    """
    from ledger.cli.printed import put_paper
    from ledger.papers.variants import variants_paper
    from ledger.papers.words import paper_size
    from ledger.quotes.revisions import find_quote, side_by_side

    with open_shop() as book:
        offers = side_by_side(book, [find_quote(book, text) for text in quotes])
        size = paper_size(book)
    put_paper(variants_paper(offers, size), pdf)
    voice.say(f"{', '.join(offer.name for offer in offers)} side by side.")
    voice.note(f"Client's paper: {pdf}")


def _list(quote: str, *, as_json: bool) -> None:
    """List the invoices and credit notes of a job, or of the shop."""
    from ledger.cli.invoice_shown import show_journal
    from ledger.quotes.billing import find_job_to_bill
    from ledger.reports.invoices import invoice_journal

    with open_shop() as book:
        job = find_job_to_bill(book, quote) if quote else None
        show_journal(book, invoice_journal(book, job=job), as_json=as_json)


def _write(
    book: "Book",
    page: "Invoice",
    reader: "Client | Addressee | None",
    path: Path | None,
    sent: "Job | None" = None,
) -> None:
    """Write a paper; of one that is being sent for a job, what keeps it comparable is posted."""
    if path is None:
        return
    from ledger.cli.printed import put_paper
    from ledger.papers.frozen import keep_print
    from ledger.papers.invoice import invoice_paper
    from ledger.papers.words import paper_size
    from ledger.quotes.invoice import papers

    printed = put_paper(invoice_paper(page, reader, paper_size(book)), path)
    if sent is not None:
        keep_print(book, printed, invoice=papers(book, sent)[-1].key)


def _say(
    page: "Invoice", reader: "Client | Addressee | None", path: Path | None, *, as_json: bool
) -> None:
    from ledger.cli.invoice_shown import paper_json, show_paper

    if as_json:
        voice.print_json(paper_json(page, reader))
    else:
        show_paper(page)
    if path:
        voice.note(f"Client's paper: {path}")


def _day(book: "Book", text: str) -> date | None:
    return book.dates.read(text) if text else None

"""`benchledger quote`: what a client is promised, from draft to answer."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, quote_papers, voice
from ledger.cli.arguments import AsJson, JobWords, read_pairs
from ledger.cli.opened import open_job, open_shop
from ledger.errors import BookTrouble

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.quotes import Quote
    from ledger.papers.engine import PrintedPaper
    from ledger.quotes.revisions import RevisionStanding
    from ledger.quotes.text import Reader

app = typer.Typer(no_args_is_help=True, help="Quotes: draft, send, accept, check.")

QUOTE = Annotated[
    str,
    typer.Argument(help="Its number, or its job's number or name.", autocompletion=complete.quote),
]
DELIVERABLES = Annotated[
    list[str] | None, typer.Option(metavar="NAME=AMOUNT", help="A part with its own total.")
]
OPTIONS = Annotated[
    list[str] | None, typer.Option(metavar="NAME=AMOUNT", help="Something to add if liked.")
]
PDF = Annotated[Path | None, typer.Option(help="The client's paper.")]
TAXED = Annotated[
    list[str] | None, typer.Option(metavar="NAME=yes|no", help="Whether tax falls on a part.")
]


@app.command()
def draft(
    job: JobWords = "",
    deliverable: DELIVERABLES = None,
    option: OPTIONS = None,
    goods: Annotated[str, typer.Option(help="Name of the part that takes the rest.")] = "",
    describe: Annotated[str, typer.Option(help="What the piece is, in a sentence.")] = "",
    price: Annotated[str, typer.Option(help="The firm price, or “850 with tax”.")] = "",
    taxed: TAXED = None,
    drawing: Annotated[str, typer.Option(help="Number and revision of the drawing.")] = "",
    sample: Annotated[str, typer.Option(help="Number of the approved sample.")] = "",
    mattress: Annotated[
        str, typer.Option(help="The client's, as measured: 60x80x10 in, 75 lb.")
    ] = "",
    weeks: Annotated[int | None, typer.Option(help="Weeks from deposit.", min=0)] = None,
    days: Annotated[int | None, typer.Option(help="Days the quote stands.", min=1)] = None,
    payments: Annotated[str, typer.Option(help="Shares in percent, such as 50/40/10.")] = "",
    assume: Annotated[list[str] | None, typer.Option(help="One more assumption.")] = None,
    exclude: Annotated[list[str] | None, typer.Option(help="One more exclusion.")] = None,
    again: Annotated[
        bool, typer.Option("--again", help="What the last one said; NAME=0 drops a part.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Draft the next revision, or the last draft anew, on today's price; --again keeps the rest.

    Example: benchledger quote draft bed --deliverable "Delivery and installation"=900
    """
    from ledger.jobs.agreed_total import parse_total
    from ledger.quotes.again import wished_again
    from ledger.quotes.draft import Wishes, draft_quote
    from ledger.quotes.revisions import standing

    with open_job(job, or_last=True) as (book, job_row):
        amount, is_tax_inside = parse_total(price)
        wishes = Wishes(
            extras={name: book.currency.parse(amount) for name, amount in read_pairs(deliverable)},
            options={name: book.currency.parse(amount) for name, amount in read_pairs(option)},
            goods=goods,
            description=describe,
            price=book.currency.parse(amount) if price else None,
            is_tax_inside=is_tax_inside,
            taxed={name: _yes(amount) for name, amount in read_pairs(taxed)},
            drawing=drawing,
            sample=sample,
            mattress=mattress,
            lead_weeks=weeks,
            valid_days=days,
            payments=_shares(book, payments),
            assumed=assume or (),
            excluded=exclude or (),
        )
        wishes = wished_again(book, job_row, wishes) if again else wishes
        with voice.wait("Laying out the sheets …"):
            drafted = draft_quote(book, job_row, wishes)
        now = standing(book, drafted.quote)
    _show_drafted(now, drafted.warnings, as_json=as_json)


def _show_drafted(now: "RevisionStanding", warnings: Sequence[str], *, as_json: bool) -> None:
    from ledger.cli.quote_words import quote_json, show_quote

    if as_json:
        voice.print_json(quote_json(now) | {"warnings": list(warnings)})
        return
    show_quote(now)
    voice.warn(*warnings)
    voice.note(f"Send it: benchledger quote send {now.quote.name} --pdf FILE")


@app.command(name="list")
def list_(as_json: AsJson = False) -> None:
    """List all quotes with their states, those that expire soon marked.

    Example: benchledger quote list
    """
    from ledger.cli.quote_words import quote_json, say_state
    from ledger.quotes.revisions import standings

    with open_shop() as book:
        rows, today = standings(book), book.today
    if as_json:
        voice.print_json([quote_json(row) for row in rows])
        return
    if not rows:
        voice.note("No quote is drafted yet: benchledger quote draft JOB")
        return
    voice.table(
        ["quote", "job", "state", ">to pay", "valid until"],
        [
            [row.quote.name, f"{row.job.number} {row.job.title}",
             say_state(row, row.days_left(today)), row.offer.currency.show(row.to_pay),
             str(row.offer.valid_until)]
            for row in rows
        ],
    )  # fmt: skip


@app.command()
def show(quote: QUOTE = "", pdf: PDF = None, as_json: AsJson = False) -> None:
    """Show a quote as it was sent, or as it is drafted; with --pdf on paper, a draft marked so.

    Example: benchledger quote show Q-2507-B
    """
    from ledger.cli.quote_words import quote_json, show_quote
    from ledger.quotes.drift import price_drift
    from ledger.quotes.revisions import find_quote, standing

    with open_shop() as book:
        sought = find_quote(book, quote)
        now = standing(book, sought)
        drifted = price_drift(book, now.quote)
        if pdf:
            _print(book, sought, pdf)
    if as_json:
        voice.print_json(quote_json(now))
        return
    show_quote(now)
    if pdf:
        voice.note(f"On paper: {pdf}")
    if drifted and now.state in {"draft", "sent"}:
        changes = ", ".join(f"{one.material} {one.then} → {one.now}" for one in drifted)
        voice.warn(f"Prices changed since it was made: {changes}. Draft it again to price anew.")


@app.command()
def text(quote: QUOTE = "") -> None:
    """Say a quote as plain text for an e-mail.

    Example: benchledger quote text bed > quote.txt
    """
    from ledger.quotes.revisions import find_quote, standing
    from ledger.quotes.text import offer_text

    with open_shop() as book:
        now = standing(book, find_quote(book, quote))
        reader = _reader(book, now)
    voice.say(offer_text(now.offer, reader).rstrip("\n"))


@app.command()
def send(
    quote: QUOTE = "",
    pdf: PDF = None,
    xlsx: Annotated[Path | None, typer.Option(help="The same as a workbook.")] = None,
) -> None:
    """Freeze a draft and write the client's paper; of a sent quote, write it again.

    Example: benchledger quote send Q-2507-B --pdf quote.pdf
    """
    from ledger.papers.frozen import keep_print
    from ledger.quotes.drift import basis_sheet, repriced_words
    from ledger.quotes.lead import lead_time
    from ledger.quotes.revisions import find_quote, send_quote, standing

    with open_shop() as book:
        draft = find_quote(book, quote)
        behind = basis_sheet(book, draft)
        now = standing(book, draft)
        if now.state == "draft":
            weeks = now.offer.lead_weeks
            late = lead_time(book, now.job, behind).notice(weeks, weeks) if behind else ""
            voice.warn(*filter(None, (late, repriced_words(book, draft))))
            with book.entry("quote send", draft.name):
                send_quote(book, draft)
                printed = _write(book, draft, pdf, xlsx)  # no file, nothing frozen
                if printed is not None:
                    keep_print(book, printed, quote=draft.key)
        else:
            _write(book, draft, pdf, xlsx)
        now = standing(book, draft)
    voice.say(
        f"{now.quote.name} is {now.state}, valid until {now.offer.valid_until}:"
        f" {now.offer.currency.show(now.to_pay, symbol=True)} to pay."
    )
    voice.warn(*(behind.open_lines if behind is not None else ()))
    if pdf:
        voice.note(f"Client's paper: {pdf}")
    if xlsx:
        voice.note(f"Client's workbook: {xlsx}")


@app.command()
def accept(
    quote: QUOTE = "",
    how: Annotated[str, typer.Option("--by", help="Signature, e-mail, deposit …")] = "signature",
    who: Annotated[str, typer.Option(help="Who accepted, if not the client.")] = "",
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    drawing: Annotated[str, typer.Option(help="Drawing as accepted, if another one.")] = "",
    sample: Annotated[str, typer.Option(help="Sample as accepted, if another one.")] = "",
    chosen: Annotated[
        list[str] | None, typer.Option("--with", metavar="OPTION", help="An option that was taken.")
    ] = None,
) -> None:
    """Record that the client accepted; from now on only change orders follow.

    Example: benchledger quote accept Q-2507-B --by "signature and deposit" --on 2025-04-28
    """
    from ledger.quotes.answers import accept_quote
    from ledger.quotes.revisions import find_quote

    with open_shop() as book:
        now = accept_quote(
            book, find_quote(book, quote), how=how, who=who, day=book.dates.read(on),
            drawing=drawing, sample=sample, options=chosen or (),
        )  # fmt: skip
    voice.say(f"{now.quote.name} accepted on {now.since} by {how}. {now.job.number} is won.")


@app.command()
def decline(
    quote: QUOTE = "",
    why: Annotated[str, typer.Option(help="What the client said.")] = "",
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
) -> None:
    """Record that the client declined.

    Example: benchledger quote decline bed --why "over budget"
    """
    from ledger.book.tables.ground import Job
    from ledger.cli.shared import say_if_apart
    from ledger.quotes.answers import decline_quote
    from ledger.quotes.revisions import find_quote

    with open_shop() as book:
        day = book.dates.read(on)
        now = decline_quote(book, find_quote(book, quote), why=why, day=day)
        voice.say(f"{now.quote.name} declined on {now.since}.")
        say_if_apart(book, book.row(Job, now.quote.job))


@app.command()
def check(quote: QUOTE = "", as_json: AsJson = False) -> None:
    """Recompute the digest of every sent quote, read it again, and print all papers once more.

    A paper printed again has the same bytes, or the same words written by another version; words
    that differ are said. Nothing is written.

    Example: benchledger quote check
    """
    from ledger.measures.plain import plain_rows
    from ledger.papers.frozen import prints_again
    from ledger.quotes.check import check_quotes
    from ledger.quotes.revisions import find_quote

    with open_shop() as book, voice.wait("Printing the papers again …"):
        wanted = find_quote(book, quote) if quote else None
        pages = check_quotes(book, wanted)
        prints = [one for one in prints_again(book) if wanted is None or one.quote == wanted.key]
    if as_json:
        voice.print_json({
            "quotes": plain_rows(pages, "quote=name sha256 faults"),
            "papers": plain_rows(prints, "paper=name sha256 printed_again=outcome"),
        })  # fmt: skip
    else:
        voice.table(
            ["quote", "SHA-256", "reads as sent"],
            [[page.name, f"{page.sha256[:16]}…", "; ".join(page.faults) or "yes"]
             for page in pages],
        )  # fmt: skip
        if prints:
            voice.table(
                ["paper", "SHA-256", "printed again"],
                [[one.name, f"{one.sha256[:16]}…", one.outcome] for one in prints],
            )
    wrong = [page.name for page in pages if page.faults]
    if wrong:
        raise BookTrouble(
            f"{', '.join(wrong)} no longer read as sent: the book was changed from outside."
            " Restore a backup."
        )


def _write(
    book: "Book", quote: "Quote", pdf: Path | None, xlsx: Path | None
) -> "PrintedPaper | None":
    from ledger.quotes.revisions import standing

    if xlsx:
        from ledger.cli.printed import on_letter
        from ledger.workbooks.writers.quote import write_quote

        now = standing(book, quote)
        write_quote(now.offer, _reader(book, now), xlsx, letter=on_letter(book))
    return _print(book, quote, pdf) if pdf else None


def _print(book: "Book", quote: "Quote", path: Path) -> "PrintedPaper":
    """Write a quote on paper, as it was sent or as a draft that says so."""
    from ledger.cli.printed import put_paper
    from ledger.papers.quote import quote_paper
    from ledger.papers.words import paper_size
    from ledger.quotes.revisions import standing

    now = standing(book, quote)
    is_draft, size = now.state == "draft", paper_size(book)
    return put_paper(quote_paper(now.offer, _reader(book, now), size, is_draft=is_draft), path)


def _reader(book: "Book", now: "RevisionStanding") -> "Reader":
    """Whom a quote was sent to; a draft has the client as they are now."""
    from ledger.jobs.jobs import client_of
    from ledger.papers.frozen import reader_of

    if now.state == "draft":
        return client_of(book, now.job)
    return reader_of(book, now.job, quote=now.quote.key)


def _yes(answer: str) -> bool:
    if answer.casefold() not in {"yes", "no"}:
        raise typer.BadParameter(f"“{answer}” is neither yes nor no")
    return answer.casefold() == "yes"


def _shares(book: "Book", text: str) -> tuple[Fraction, ...]:
    """The shares of the payments, read as the setting of that name is."""
    from ledger.book.settings import SETTINGS

    return SETTINGS["payments"].parse(text, (book.currency, book.units)) if text else ()


for verb in (quote_papers.invoice, quote_papers.credit, quote_papers.variants):
    app.command()(verb)

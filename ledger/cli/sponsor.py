"""`benchledger sponsor`: what sponsors gave, what they were promised, what they are told."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson, JobWords
from ledger.cli.opened import open_job, open_shop
from ledger.measures.quantity import parse_quantity, show_quantity
from ledger.measures.units import show_count

if TYPE_CHECKING:
    from ledger.book import Book

app = typer.Typer(no_args_is_help=True, help="Sponsors: goods, promises, publications, reports.")

NAME = Annotated[
    str,
    typer.Argument(help="The sponsor, or any part of the name.", autocompletion=complete.sponsor),
]
ON = Annotated[str, typer.Option(help="On which day.")]
ITEM = Annotated[
    str,
    typer.Argument(
        help="Material's code, or any part of the goods' name.", autocompletion=complete.material
    ),
]
TOOL = Annotated[str, typer.Argument(help="Any part of the tool's name.")]
QUANTITY = Annotated[str, typer.Argument(help="How many stock units.")]
SENT_BACK = "sent back"
"""The reason of a return where none is typed."""


@app.command()
def add(
    name: Annotated[str, typer.Argument(help="The sponsor's whole name.")],
    objective: Annotated[str, typer.Option(help="What they want from it; heads the report.")] = "",
) -> None:
    """Note a sponsor, or the new objective of one that is known.

    Example: benchledger sponsor add "Brightfell Panels" --objective "Show a clean edge"
    """
    from ledger.sponsors.agreements import add_sponsor

    with open_shop() as book:
        row = add_sponsor(book, name, objective)
    voice.say(f"{row.name}: {row.objective or 'no objective noted yet'}.")


@app.command()
def agree(
    sponsor: NAME,
    deliver: Annotated[
        list[str] | None, typer.Option(metavar='"2 post by DAY"', help="What is promised.")
    ] = None,
    supplies: Annotated[str, typer.Option(help="What they supply.")] = "",
    fee: Annotated[str, typer.Option(help="The fee agreed, if any.")] = "0",
    evidence: Annotated[str, typer.Option(help="Contract, e-mail … it is written in.")] = "",
    on: ON = "today",
) -> None:
    """Note what was agreed: goods, fee, and publications (long, short, photo, plan, post) by a day.

    Example: benchledger sponsor agree brightfell --deliver "2 post by 2025-06-30" --fee 900
    """
    from ledger.sponsors import agreements
    from ledger.sponsors.agreements import find_sponsor

    with open_shop() as book:
        sponsor_row = find_sponsor(book, sponsor)
        promises = [agreements.parse_promise(text, book.dates) for text in deliver or ()]
        row = agreements.agree(
            book, sponsor_row.name, promises, supplies=supplies, fee=book.currency.parse(fee),
            evidence=evidence, day=book.dates.read(on),
        )  # fmt: skip
        shown = book.currency.show(row.fee)
    promised = "; ".join(f"{one.number} {one.kind} by {one.due}" for one in promises)
    voice.say(
        f"{sponsor_row.name}, agreed on {row.day}: {promised or 'nothing to publish'};"
        f" supplies: {row.supplies or 'none noted'}; fee {shown}."
    )


@app.command()
def receive(
    sponsor: NAME,
    item: ITEM,
    quantity: QUANTITY,
    value: Annotated[str, typer.Option(help="Fair value of one; else your own last price.")] = "",
    method: Annotated[str, typer.Option(help="How the value was found.")] = "retail price seen",
    evidence: Annotated[str, typer.Option(help="Price page, photo … that shows the value.")] = "",
    document: Annotated[str, typer.Option(help="Number of the delivery note.")] = "",
    loan: Annotated[bool, typer.Option("--loan", help="It is lent, not given.")] = False,
    tool: Annotated[bool, typer.Option("--tool", help="It is a tool, not a material.")] = False,
    statement: Annotated[str, typer.Option(help="Compliance statement of panels.")] = "",
    on: ON = "today",
) -> None:
    """Take in goods given in kind at their fair value, or lent; no cash moves.

    Example: benchledger sponsor receive brightfell PLY34 12 --value 96.00 --document 771
    """
    from ledger.sponsors.agreements import find_sponsor
    from ledger.verbs.sponsor import Given, take_in

    with open_shop() as book:
        amount = parse_quantity(quantity, book.currency.decimal_mark)
        given = Given(item, amount, value, method, evidence, document, loan, tool, statement)
        received = take_in(book, find_sponsor(book, sponsor).name, given, book.dates.read(on))
        lot = received.lots[0]
        worth = book.currency.show(lot.declared if loan else lot.full)
    how = "on loan and not yours, declared at" if loan else "in kind at"
    count = show_count(lot.quantity, lot.unit)
    goods = f"{count} {lot.words}" if lot.unit == "each" else f"{count} of {lot.words}"
    voice.say(f"{received.receipt.number}, lot {lot.key}: {goods}, {how} {worth}; cash 0.")
    if not lot.evidence and not loan:
        voice.warn("No evidence of the value is noted; keep the price page or a photo of that day.")
    voice.warn(*received.warnings)


@app.command(name="return")
def return_(
    sponsor: NAME, item: ITEM, quantity: QUANTITY,
    why: Annotated[str, typer.Option(help="The reason.")] = SENT_BACK,
    on: ON = "today",
) -> None:  # fmt: skip
    """Send goods back to the sponsor, given or lent.

    Example: benchledger sponsor return brightfell PLY34 2
    """
    _withdraw("to_supplier", sponsor, item, quantity, why, on)


@app.command()
def damage(
    sponsor: NAME, item: ITEM, quantity: QUANTITY,
    why: Annotated[str, typer.Option(help="What happened; the sponsor reads it.")],
    on: ON = "today",
) -> None:  # fmt: skip
    """Write off goods of the sponsor that came or were damaged, with the reason.

    Example: benchledger sponsor damage brightfell PLY34 1 --why "corner crushed, reported"
    """
    _withdraw("damage", sponsor, item, quantity, why, on)


def _withdraw(kind: str, sponsor: str, item: str, quantity: str, why: str, on: str) -> None:
    from ledger.sponsors.agreements import find_sponsor
    from ledger.sponsors.goods import choose_lots
    from ledger.stock import withdraw

    with open_shop() as book:
        amount = parse_quantity(quantity, book.currency.decimal_mark)
        name, day = find_sponsor(book, sponsor).name, book.dates.read(on)
        chosen = choose_lots(book, name, item, amount, day)
        verb = "sponsor return" if kind == "to_supplier" else "sponsor damage"
        with book.entry(verb, f"{name} {item} {quantity}"):
            for lot, part in chosen:
                withdraw(book, kind, None, part, lot=lot, day=day, reason=why)
    done = f"sent back to {name}" if kind == "to_supplier" else f"of {name} written off"
    reason = "" if why == SENT_BACK else f": {why}"
    voice.say(f"{show_quantity(amount)} {item} {done} on {day}{reason}.")


@app.command()
def tool(
    sponsor: NAME, item: TOOL,
    hours: Annotated[str, typer.Option(help="Run time, such as 1h30.")] = "",
    uses: Annotated[int, typer.Option(help="Times it was used.", min=0)] = 0,
    blades: Annotated[int, typer.Option(help="Blades changed.", min=0)] = 0,
    fault: Annotated[str, typer.Option(help="A fault; the sponsor reads it.")] = "",
    build: Annotated[
        str, typer.Option(help="The job it was used on.", autocompletion=complete.job)
    ] = "",
    on: ON = "today",
) -> None:  # fmt: skip
    """Note what a sponsor's tool did.

    Example: benchledger sponsor tool brightfell "track saw" --hours 1h30 --uses 14
    """
    from ledger.jobs.jobs import find_job
    from ledger.measures.duration import parse_duration
    from ledger.sponsors.agreements import find_sponsor
    from ledger.sponsors.goods import find_tool, log_tool

    with open_shop() as book:
        tool_row = find_tool(book, find_sponsor(book, sponsor).name, item)
        log_tool(
            book, tool_row, day=book.dates.read(on), uses=uses, blades=blades, fault=fault,
            minutes=parse_duration(hours) if hours else 0,
            job=find_job(book, build).key if build else None,
        )  # fmt: skip
    voice.say(f"Noted for {tool_row.words}.")


@app.command()
def publish(
    sponsor: NAME,
    title: Annotated[str, typer.Argument(help="The title as published.")],
    kind: Annotated[str, typer.Option(help="long, short, photo or plan.")] = "long",
    build: Annotated[
        list[str] | None,
        typer.Option(help="A job that is shown.", autocompletion=complete.job),
    ] = None,
    link: Annotated[str, typer.Option(help="Where it is found.")] = "",
    platform: Annotated[str, typer.Option(help="Where it was published.")] = "",
    disclosed: Annotated[str, typer.Option(metavar="HOW", help="How it says what was free.")] = "",
    also: Annotated[
        list[str] | None,
        typer.Option(help="Another sponsor it is for.", autocompletion=complete.sponsor),
    ] = None,
    on: ON = "today",
) -> None:
    """Note a publication: kind, day, link, the builds it shows, and its disclosure.

    Example: benchledger sponsor publish brightfell "Fold-down bed" --build bed --link link-2
    """
    from ledger.jobs.jobs import find_job
    from ledger.sponsors import publications
    from ledger.sponsors.agreements import find_sponsor

    with open_shop() as book:
        names = tuple(find_sponsor(book, text).name for text in (sponsor, *(also or ())))
        jobs = tuple(find_job(book, text).key for text in build or ())
        row = publications.publish(
            book,
            publications.NewPublication(
                title, kind, book.dates.read(on), names, jobs, link, platform, disclosed
            ),
        )
        voice.say(f"{row.kind} “{row.title}” of {row.day}, for {', '.join(names)}.")
        _warn_undisclosed(book, row.key)


@app.command()
def disclose(
    publication: Annotated[str, typer.Argument(help="Its link, or any part of its title.")],
    how: Annotated[str, typer.Option(help="How it says what was free.")],
    on: ON = "today",
) -> None:
    """Note that a publication says what came free, where that was missing.

    Example: benchledger sponsor disclose link-1 --how "in the caption"
    """
    from ledger.sponsors import publications

    with open_shop() as book:
        row = publications.find_publication(book, publication)
        disclosure = publications.disclose(book, row, how, book.dates.read(on))
    voice.say(f"“{row.title}” is disclosed, noted on {disclosure.day}: {disclosure.how}.")


@app.command()
def build(
    job: JobWords,
    name: Annotated[str, typer.Argument(help="What it is called outside of the shop.")],
) -> None:
    """Give a build the name sponsors read; a job's own title never leaves the shop.

    Example: benchledger sponsor build J-2507 "Fold-down bed with two towers"
    """
    from ledger.sponsors.publications import name_build

    with open_job(job) as (book, job_row):
        row = name_build(book, job_row, name)
    voice.say(f"{job_row.number} is called “{row.name}” in sponsors' reports.")


@app.command()
def note(
    sponsor: NAME,
    words: Annotated[str, typer.Argument(help="What the report should say.")],
    kind: Annotated[
        str, typer.Option(help="photo (file name), next (use), where, code, result.")
    ] = "photo",
    photo: Annotated[
        int | None, typer.Option(help="Print this photo of a build, taken with the phone's page.")
    ] = None,
    on: ON = "today",
) -> None:
    """Note a line for the report: a photo, the next use, where stock stands, code results.

    Example: benchledger sponsor note brightfell "two bedside boxes in July" --kind next
    """
    from ledger.reports.sponsor_photos import marked, require_photo_for
    from ledger.sponsors.agreements import find_sponsor
    from ledger.sponsors.goods import add_note

    with open_shop() as book:
        sponsor_row = find_sponsor(book, sponsor)
        if photo is not None:
            require_photo_for(book, sponsor_row.name, photo)
            kind, words = "photo", marked(photo, words)
        row = add_note(book, sponsor_row.name, kind, words, book.dates.read(on))
    voice.say(f"{sponsor_row.name}, {row.kind} of {row.day}: {row.words}")


@app.command()
def show(
    sponsor: Annotated[
        str,
        typer.Argument(help="One sponsor; all if left out.", autocompletion=complete.sponsor),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Show what was agreed, what is done, what is in the shop, and what lacks a disclosure.

    Example: benchledger sponsor show brightfell
    """
    from ledger.cli.sponsor_shown import all_sponsors, one_sponsor
    from ledger.sponsors.agreements import find_sponsor

    with open_shop() as book:
        if sponsor:
            one_sponsor(book, find_sponsor(book, sponsor), as_json=as_json)
        else:
            all_sponsors(book, as_json=as_json)


@app.command()
def report(
    sponsor: NAME,
    month: Annotated[str, typer.Option(help="The month; else the one just ended.")] = "",
    since: Annotated[str, typer.Option("--from", help="First day of a longer span.")] = "",
    until: Annotated[str, typer.Option("--to", help="Last day of it; else today.")] = "",
    pdf: Annotated[Path | None, typer.Option(help="Write the sponsor's report as a PDF.")] = None,
    xlsx: Annotated[Path | None, typer.Option(help="Write the sponsor's workbook.")] = None,
    yes: Annotated[bool, typer.Option("--yes", help="What is in doubt names no client.")] = False,
    as_json: AsJson = False,
) -> None:
    """Report to a sponsor: objective, publications, promises, and the statement of their goods.

    Example: benchledger sponsor report brightfell --month 2025-05 --pdf sponsor.pdf
    """
    from ledger.cli.printed import put_paper
    from ledger.cli.sponsor_shown import the_report, the_span
    from ledger.errors import NotAllowed
    from ledger.measures.day import Month
    from ledger.papers.sponsor import sponsor_paper
    from ledger.papers.words import LETTER, paper_size
    from ledger.quotes.wording import maker
    from ledger.reports.sponsor import sponsor_report
    from ledger.sponsors.agreements import find_sponsor

    with open_shop() as book:
        first, last = the_span(book, month, since, until)
        prepared = sponsor_report(book, find_sponsor(book, sponsor), first, last)
        units, shop, size = book.units, maker(book), paper_size(book)
        running = Month.of(book.today)
    if prepared.report.is_empty:
        nothing = f"There is nothing to report to {prepared.report.sponsor} from {first} to {last}."
        if first < running.first:
            again = f'benchledger sponsor report "{sponsor}" --month {running}'
            nothing += f" For the month that is running: {again}"
        if pdf or xlsx:
            raise NotAllowed(nothing)
        voice.note(nothing)
    if pdf or xlsx or as_json:  # the screen is the owner's alone
        prepared.require_answered(yes=yes)
    if pdf:
        put_paper(sponsor_paper(prepared.report, shop, units, size), pdf)
        voice.note(f"Sponsor's report: {pdf}")
    if xlsx:
        from ledger.workbooks.writers.sponsor import write_sponsor

        write_sponsor(prepared.report, xlsx, letter=size == LETTER)
        voice.note(f"Sponsor's workbook: {xlsx}")
    the_report(prepared.report, as_json=as_json)
    voice.warn(*(map(str, (*prepared.warnings, *(() if yes else prepared.doubts)))))


@app.command()
def account(
    month: Annotated[str, typer.Option(help="The month; else the one just ended.")] = "",
    since: Annotated[str, typer.Option("--from", help="First day of a longer span.")] = "",
    until: Annotated[str, typer.Option("--to", help="Last day of it; else today.")] = "",
    as_json: AsJson = False,
) -> None:
    """Say the accountant's side of free goods: income in kind, expense, tools kept, loans.

    Example: benchledger sponsor account --month 2025-04
    """
    from ledger.cli.sponsor_shown import the_account, the_span
    from ledger.sponsors import in_kind_account

    with open_shop() as book:
        first, last = the_span(book, month, since, until)
        the_account(in_kind_account(book, first, last), book.currency, as_json=as_json)


def _warn_undisclosed(book: "Book", publication: int) -> None:
    from ledger.sponsors.publications import undisclosed

    for one in undisclosed(book):
        if one.publication.key == publication:
            what = f"free {one.item} of {one.sponsor}" if one.item else f"it was for {one.sponsor}"
            voice.warn(
                f"No disclosure is noted ({what}). Free goods are to be disclosed clearly, asked"
                f' for or not: benchledger sponsor disclose "{one.publication.title}" --how TEXT'
            )

"""`benchledger job`: commissions opened, answered, costed; past jobs loaded."""

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import (
    complete,
    job_answers,
    job_close,
    job_details,
    job_lines,
    job_money,
    job_papers,
    job_rough,
    starters,
    voice,
)
from ledger.cli.arguments import AsJson, Columns, JobName, read_pairs
from ledger.cli.job_details import agreed_json, agreed_pairs
from ledger.cli.opened import open_job, open_shop
from ledger.cli.starters import MaterialChoice, StarterName
from ledger.measures.plain import plain_rows
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from collections.abc import Callable

    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.designs.words import ChosenMaterial
    from ledger.measures.money import Money

Work = Annotated[
    list[str] | None,
    typer.Option(help="Work without a design: “take apart 72, repair 3h”; commas part the lines."),
]
Uses = Annotated[list[str] | None, typer.Option("--use", help="Material used: “GLUE 2”.")]
Price = Annotated[str, typer.Option(help="A price in one sum, before tax, or “850 with tax”.")]
Guess = Annotated[str, typer.Option("--hours", help="The hours that you guess for it.")]
Pieces = Annotated[int, typer.Option(min=0, help="So many pieces alike; 0: as it is, or one.")]

app = typer.Typer(no_args_is_help=True, help="Commissions: open, answer, costs, past jobs.")

Values = Annotated[
    list[str] | None, typer.Option("--set", metavar="NAME=VALUE", help="A parameter of the design.")
]


@app.command()
def new(
    title: Annotated[str, typer.Argument(help="What it is, in words of your own.")],
    design: Annotated[
        str, typer.Option(help="A design in the book.", autocompletion=complete.design)
    ] = "",
    values: Values = None,
    parts: Annotated[Path | None, typer.Option(help="A parts list, XLSX or CSV.")] = None,
    starter: StarterName = "",
    size: Annotated[
        str, typer.Option(help="The overall size of a starter, as “8 ft x 7 ft x 12 in”.")
    ] = "",
    material: MaterialChoice = None,
    client: Annotated[str, typer.Option(help="Who it is for.")] = "",
    contact: Annotated[str, typer.Option(help="The client's telephone or e-mail.")] = "",
    number: Annotated[str, typer.Option(help="A number of your own; else the year's next.")] = "",
    pieces: Pieces = 0,
    work: Work = None,
    uses: Uses = None,
    price: Price = "",
    hours: Guess = "",
) -> None:
    """Open a job: on a design, a starter or a parts list, by lines of work, or at an agreed price.

    Example: benchledger job new "Reglue six chairs" --work "repair 3h, protect 6" --use "GLUE 2"
    """
    from ledger.jobs.jobs import new_job, of_title
    from ledger.jobs.typed_lines import add_typed
    from ledger.verbs.basis import set_basis

    is_designed, has_lines = bool(design or parts or starter), bool(work or uses)
    if pieces and not is_designed:
        raise typer.BadParameter("--pieces is of a design or parts list; lines say their own count")
    if size and not starter:
        raise typer.BadParameter("--size goes with --starter; a design takes --set NAME=VALUE")
    chosen: tuple[ChosenMaterial, ...] = ()
    with open_shop() as book, book.entry("job new", title):
        alike = of_title(book, title)
        job = new_job(book, title, client=client, number=number, contact=contact)
        if starter:
            chosen = starters.take(book, job, (starter, size), values, material, pieces)
        elif is_designed:
            voice.warn(*set_basis(book, job, design, dict(read_pairs(values)), parts, pieces))
        if has_lines:
            add_typed(book, job, work or [], uses or [])
        if price or hours:
            _set_total(book, job, price, hours)
    voice.say(f"{job.number} {job.title} is open.")
    starters.tell_chosen(chosen)
    if alike:
        voice.warn(
            f"{alike[-1].number} has the same title: name each by its number, or take this one back"
            " with: benchledger undo"
        )
    if is_designed or has_lines or price:
        voice.note(f"Price it: benchledger price {job.number}")
    else:
        voice.note(
            f"Give it a design: benchledger job set {job.number} --design NAME, or lines of work:"
            f" benchledger job line {job.number} repair 3h"
        )


def _set_total(book: "Book", job: "Job", price: str, hours: str) -> None:
    from ledger.jobs.agreed_total import correct_guess, set_typed_total
    from ledger.measures.duration import parse_duration

    minutes = parse_duration(hours, longest=60 * 10_000) if hours else None
    if price:
        set_typed_total(book, job, price, minutes)
    else:
        correct_guess(book, job, minutes or 0)


@app.command(name="set")
def set_(
    job: JobName,
    design: Annotated[
        str, typer.Option(help="Another design.", autocompletion=complete.design)
    ] = "",
    values: Values = None,
    parts: Annotated[Path | None, typer.Option(help="A parts list, XLSX or CSV.")] = None,
    pieces: Pieces = 0,
    price: Price = "",
    hours: Guess = "",
) -> None:
    """Change a job's design, parameters, pieces or agreed price; prices from now on use them.

    Example: benchledger job set bed --set "mattress_width=54 in"
    """
    from ledger.cli.shared import say_if_apart
    from ledger.jobs.agreement import price_that_stands
    from ledger.verbs.basis import is_made_so, set_basis

    with open_job(job) as (book, job_row):
        given, is_total = dict(read_pairs(values)), bool(price or hours)
        is_made = bool(design or values or parts or pieces or not is_total)
        is_same = not (parts or pieces or is_total) and is_made_so(book, job_row, design, given)
        if not is_same:
            with book.entry("job set", job):
                if is_made:
                    voice.warn(*set_basis(book, job_row, design, given, parts, pieces))
                if is_total:
                    _set_total(book, job_row, price, hours)
        say_if_apart(book, job_row)
        agreed = "" if is_same or not is_made else price_that_stands(book, job_row)
    voice.say(f"{job_row.number} {job_row.title}: {'nothing changed' if is_same else 'changed'}.")
    voice.note(*filter(None, [agreed]))


@app.command(name="list")
def list_(
    past: Annotated[bool, typer.Option(help="The past jobs that were loaded.")] = False,
    as_json: AsJson = False,
) -> None:
    """List the jobs and their states.

    Example: benchledger job list
    """
    from ledger.book.questions.progress import listed_jobs, reopened_jobs
    from ledger.jobs.jobs import state_words

    with open_shop() as book:
        rows = listed_jobs(book, "past" if past else "commission")
        reopened = reopened_jobs(book, book.today)
    if as_json:
        voice.print_json([row._asdict() for row in rows])
        return
    spoken = [
        [*row[:-1], state_words(row.state, is_reopened=row.number in reopened)] for row in rows
    ]
    voice.table(["job", "title", "client", "state"], spoken)


@app.command()
def show(job: JobName, as_json: AsJson = False) -> None:
    """Show a job: its design, parameters, answers and costs, and what came after it was over.

    Example: benchledger job show bed
    """
    from ledger.book.questions.progress import reopened_jobs
    from ledger.cli.job_close import brought_pairs
    from ledger.jobs.answers import answers_of, cost_words, costs_of
    from ledger.jobs.assembling import newer_version_note
    from ledger.jobs.jobs import client_of, state_of, state_words
    from ledger.quotes.billing import next_paper
    from ledger.reports.ahead import left_of
    from ledger.reports.settled import over_json, over_words
    from ledger.verbs.basis import made_of

    with open_job(job) as (book, job_row):
        client = client_of(book, job_row)
        design, values, pieces = made_of(book, job_row)
        answers = [(item, *answer) for item, answer in answers_of(book, job_row).items()]
        costs = [row for when in ("planned", "actual") for row in costs_of(book, job_row, when)]
        show_money, decimal, units = book.currency.show, book.currency.decimal, book.units
        over, sentences = over_json(book, job_row), over_words(book, job_row)
        left = left_of(book, job_row)
        over |= {"ahead": left.as_json(book.currency) if left else None}
        sentences = [*(left.sentences(book.currency) if left else ()), *sentences]
        over |= agreed_json(book, job_row)
        sentences += filter(None, [next_paper(book, job_row)])
        sentences += newer_version_note(book, job_row)
        agreed, brought = agreed_pairs(book, job_row), brought_pairs(book, job_row)
        is_reopened = job_row.number in reopened_jobs(book, book.today)
        payload = {
            "job": job_row.number,
            "title": job_row.title,
            "client": client.name if client else "",
            "state": state_of(book, job_row),
            "design": design,
        }
    if as_json:
        lists = {
            "answers": [
                {"item": item, "amount": str(decimal(amount)), "note": words}
                for item, amount, words in answers
            ],
            "costs": plain_rows(costs, "occasion kind words amount", book.currency),
        }
        voice.print_json(payload | {"pieces": pieces, "parameters": values} | lists | over)
        return
    payload |= {"state": state_words(payload["state"], is_reopened=is_reopened)}
    payload |= {"pieces": str(pieces)} if pieces > 1 else {}
    name = f"{payload.pop('job')} {payload.pop('title')}"
    voice.pairs({"job": name} | {key: value or "none yet" for key, value in payload.items()})
    for pairs in (agreed, brought, values):
        if pairs:
            voice.say()
            voice.pairs(pairs)
    rows = [[c.occasion, *cost_words(c, units), show_money(c.amount)] for c in costs]
    _say_answers_and_costs(answers, rows, show_money)
    voice.say_all(sentences)


def _say_answers_and_costs(
    answers: "list[tuple[str, Money, str]]",
    costs: "list[list[str]]",
    show_money: "Callable[[Money], str]",
) -> None:
    if answers or costs:
        voice.say()
    if answers:
        rows = [[item, show_money(amount), words] for item, amount, words in answers]
        voice.table(["answered", ">amount", ""], rows)
    if costs:
        voice.table(["", "cost", "", ">amount"], costs)


@app.command()
def load(
    file: Annotated[Path, typer.Argument(help="XLSX, or a folder of CSV.")],
    columns: Columns = None,
) -> None:
    """Load past jobs for what they teach: their counts and hours, price and material.

    Columns of jobs: job, piece, done, price, material, helper hours, rework hours, other, note; of
    lines: job, operation, count, hours. Where you know a job's hours in all alone, give them in a
    column `hours` of jobs (and `estimated hours`), with counts in lines or none.

    Example: benchledger job load sample_data/past_jobs
    """
    from ledger.cli.headings import read_asking
    from ledger.labor.past import loaded_words, save_past_jobs
    from ledger.workbooks.readers.past_jobs import read_past_jobs

    with open_shop() as book:
        jobs = read_asking(
            book, "list of past jobs", columns,
            lambda named: read_past_jobs(file, book.currency, book.dates, named),
        )  # fmt: skip
        count = save_past_jobs(book, jobs)
        words = loaded_words(jobs, Fraction(book.settings.hours_year))
    voice.say(f"{how_many(count, 'past job')} taken from {file.name}.")
    voice.say_all(words)


@app.command()
def template(file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx.")]) -> None:
    """Write a list of past jobs to fill in, with two examples.

    Example: benchledger job template past_jobs.xlsx
    """
    from ledger.cli.templates import write

    write(file, "job")


for verb in (
    job_answers.answer, job_answers.add_cost, job_answers.count, job_lines.line, job_lines.lines,
    job_rough.rough, job_details.copy, job_details.state, job_details.tax, job_details.client,
    job_details.redact, job_papers.buying_list, job_papers.pack, job_close.close, job_close.reopen,
    job_close.income, job_close.spoiled, job_money.change, job_money.pay, job_money.cancel,
    job_details.panels,
):  # fmt: skip
    app.command()(verb)

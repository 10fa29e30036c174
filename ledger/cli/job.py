"""`benchledger job`: commissions opened, answered, costed; past jobs loaded."""

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import (
    complete,
    job_answers,
    job_client,
    job_close,
    job_copy,
    job_lines,
    job_money,
    job_panels,
    job_papers,
    job_rough,
    job_state,
    job_tax,
    starters,
    voice,
)
from ledger.cli.arguments import AsJson, Columns, JobName
from ledger.cli.opened import open_job, open_shop
from ledger.cli.starters import MaterialChoice, StarterName
from ledger.measures.plain import plain_rows
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from collections.abc import Callable

    from ledger.book import Book
    from ledger.book.tables.designs import DesignVersion
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
            _set_basis(book, job, design, values, parts, pieces)
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
    from ledger.jobs.agreed_total import set_typed_total
    from ledger.measures.duration import parse_duration

    if not price:
        raise typer.BadParameter("--hours goes with --price; lines of work have their own hours")
    minutes = parse_duration(hours, longest=60 * 10_000) if hours else 0
    set_typed_total(book, job, price, minutes)


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
    with open_job(job) as (book, job_row):
        is_total = bool(price or hours)
        is_made = bool(design or values or parts or pieces or not is_total)
        is_same = not (parts or pieces or is_total) and _is_made_so(
            book, job_row, *_chosen(book, job_row, design, values)
        )
        if not is_same:
            with book.entry("job set", job):
                if is_made:
                    _set_basis(book, job_row, design, values, parts, pieces)
                if is_total:
                    _set_total(book, job_row, price, hours)
    voice.say(f"{job_row.number} {job_row.title}: {'nothing changed' if is_same else 'changed'}.")


def _is_made_so(book: "Book", job: "Job", version: "DesignVersion", given: dict[str, str]) -> bool:
    """Whether a job is made of that version with those parameters already."""
    from ledger.book.tables.ground import JobBasis
    from ledger.jobs.jobs import basis_of

    if book.last(JobBasis, job=job.key) is None:
        return False
    basis = basis_of(book, job)
    return (basis.design, dict(basis.parameters)) == (version.key, given)


def _chosen(
    book: "Book", job: "Job", design: str, values: list[str] | None
) -> tuple["DesignVersion", dict[str, str]]:
    """The design and the parameters that are said, the rest as the job has them."""
    from ledger.designs.store import find_version, load_version
    from ledger.jobs.jobs import basis_of

    given = dict(_pair(value) for value in values or [])
    if design:
        return find_version(book, design), given
    basis = basis_of(book, job)
    return load_version(book, basis.design)[0], {**basis.parameters, **given}


def _set_basis(
    book: "Book",
    job: "Job",
    design: str,
    values: list[str] | None,
    parts: Path | None,
    pieces: int = 0,
) -> None:
    from ledger.book.tables.ground import JobBasis
    from ledger.costing.lumber import board_faults
    from ledger.designs.build import build
    from ledger.designs.store import load_version, save_design
    from ledger.jobs.jobs import set_basis
    from ledger.jobs.shop_floor import wood_of
    from ledger.stock.materials import materials

    if parts:
        from ledger.workbooks.readers.parts import read_parts_design

        given = dict(_pair(value) for value in values or [])
        plain = read_parts_design(parts, job.number, job.title, book.units)
        version = save_design(book, plain, "parts list read again")
    else:
        version, given = _chosen(book, job, design, values)
    built = build(load_version(book, version.key)[1], given, book.units, wood_of(book))
    before = book.last(JobBasis, job=job.key)
    set_basis(book, job, version.key, given, pieces or (before.pieces if before else 1))
    voice.warn(*board_faults(built, materials(book)))


def _pair(text: str) -> tuple[str, str]:
    name, mark, value = text.partition("=")
    if not mark:
        raise typer.BadParameter(f"“{text}” should read NAME=VALUE, for example gap=1/2 in")
    return name.strip(), value.strip()


@app.command(name="list")
def list_(
    past: Annotated[bool, typer.Option(help="The past jobs that were loaded.")] = False,
    as_json: AsJson = False,
) -> None:
    """List the jobs and their states.

    Example: benchledger job list
    """
    from ledger.book.questions.progress import listed_jobs
    from ledger.jobs.jobs import state_words

    with open_shop() as book:
        rows = listed_jobs(book, "past" if past else "commission")
    if as_json:
        voice.print_json([row._asdict() for row in rows])
        return
    spoken = [[*row[:-1], state_words(row.state)] for row in rows]
    voice.table(["job", "title", "client", "state"], spoken)


@app.command()
def show(job: JobName, as_json: AsJson = False) -> None:
    """Show a job: its design, parameters, answers and costs, and what came after it was over.

    Example: benchledger job show bed
    """
    from ledger.cli.job_agreed import agreed_json, agreed_pairs
    from ledger.cli.job_close import brought_pairs
    from ledger.jobs.answers import answers_of, cost_words, costs_of
    from ledger.jobs.assembling import newer_version_note
    from ledger.jobs.jobs import client_of, state_of, state_words
    from ledger.reports.ahead import left_of
    from ledger.reports.settled import over_json, over_words

    with open_job(job) as (book, job_row):
        client = client_of(book, job_row)
        design, values, pieces = _made_of(book, job_row)
        answers = [(item, *answer) for item, answer in answers_of(book, job_row).items()]
        costs = [row for when in ("planned", "actual") for row in costs_of(book, job_row, when)]
        show_money, decimal, units = book.currency.show, book.currency.decimal, book.units
        over, over_said = over_json(book, job_row), over_words(book, job_row)
        left = left_of(book, job_row)
        over |= {"ahead": left.as_json(book.currency) if left else None}
        over_said = [*(left.sentences(book.currency) if left else ()), *over_said]
        over |= agreed_json(book, job_row)
        over_said += newer_version_note(book, job_row)
        agreed, brought = agreed_pairs(book, job_row), brought_pairs(book, job_row)
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
    payload |= {"state": state_words(payload["state"])}
    payload |= {"pieces": str(pieces)} if pieces > 1 else {}
    name = f"{payload.pop('job')} {payload.pop('title')}"
    voice.pairs({"job": name} | {key: value or "none yet" for key, value in payload.items()})
    for pairs in (agreed, brought, values):
        if pairs:
            voice.say()
            voice.pairs(pairs)
    rows = [[c.occasion, *cost_words(c, units), show_money(c.amount)] for c in costs]
    _say_answers_and_costs(answers, rows, show_money)
    voice.say_all(over_said)


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


def _made_of(book: "Book", job: "Job") -> tuple[str, dict[str, str], int]:
    """What a job is made of in words, the parameters of its design, and how many pieces."""
    from ledger.designs.store import load_version
    from ledger.jobs.assembling import AGREED, WORK_ORDER
    from ledger.jobs.jobs import basis_of
    from ledger.jobs.lines import has_design, is_work_order, lines_of

    if not has_design(book, job):
        if lines_of(book, job):
            return WORK_ORDER, {}, 1
        return (AGREED if is_work_order(book, job) else ""), {}, 1
    basis = basis_of(book, job)
    version, _ = load_version(book, basis.design)
    return f"{version.name} version {version.version}", dict(basis.parameters), basis.pieces


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
def template(
    file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx.")],
) -> None:
    """Write a list of past jobs to fill in, with two examples.

    Example: benchledger job template past_jobs.xlsx
    """
    from ledger.cli.templates import write

    write(file, "job")


app.command()(job_answers.answer)
app.command(name="add-cost")(job_answers.add_cost)
app.command()(job_answers.count)
app.command()(job_lines.line)
app.command()(job_lines.lines)
app.command()(job_rough.rough)
app.command()(job_copy.copy)
app.command()(job_state.state)
app.command()(job_tax.tax)
app.command()(job_client.client)
app.command()(job_client.redact)
app.command(name="buying-list")(job_papers.buying_list)
app.command()(job_papers.pack)
for verb in (job_close.close, job_close.reopen, job_close.income, job_close.spoiled):
    app.command()(verb)
for command in (job_money.change, job_money.pay, job_money.cancel, job_panels.panels):
    app.command()(command)

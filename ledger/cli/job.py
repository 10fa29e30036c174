"""`benchledger job`: commissions opened, answered, costed; past jobs loaded."""

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import (
    complete,
    job_client,
    job_close,
    job_copy,
    job_money,
    job_panels,
    job_papers,
    job_rough,
    job_state,
    job_tax,
    voice,
)
from ledger.cli.arguments import AfterClose, AsJson, Columns, JobName
from ledger.cli.opened import open_shop
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.designs import DesignVersion
    from ledger.book.tables.ground import Job

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
    client: Annotated[str, typer.Option(help="Who it is for.")] = "",
    contact: Annotated[str, typer.Option(help="The client's telephone or e-mail.")] = "",
    number: Annotated[str, typer.Option(help="A number of your own; else the year's next.")] = "",
) -> None:
    """Open a job on a design of the book or on a parts list.

    Example: benchledger job new "Marrow fold-down bed" --design fold-down-bed --client "D. Marrow"
    """
    from ledger.jobs.jobs import new_job, of_title

    with open_shop() as book, book.entry("job new", title):
        alike = of_title(book, title)
        job = new_job(book, title, client=client, number=number, contact=contact)
        if design or parts:
            _set_basis(book, job, design, values, parts)
    voice.say(f"{job.number} {job.title} is open.")
    if alike:
        voice.warn(
            f"{alike[-1].number} has the same title: name each by its number, or take this one back"
            " with: benchledger undo"
        )
    if design or parts:
        voice.note(f"Price it: benchledger price {job.number}")
    else:
        voice.note(f"Give it a design: benchledger job set {job.number} --design NAME")


@app.command(name="set")
def set_(
    job: JobName,
    design: Annotated[
        str, typer.Option(help="Another design.", autocompletion=complete.design)
    ] = "",
    values: Values = None,
    parts: Annotated[Path | None, typer.Option(help="A parts list, XLSX or CSV.")] = None,
) -> None:
    """Change a job's design or parameters; prices from now on use them.

    Example: benchledger job set bed --set "mattress_width=54 in"
    """
    from ledger.jobs.jobs import find_job

    with open_shop() as book:
        job_row = find_job(book, job)
        is_same = not parts and _is_made_so(book, job_row, *_chosen(book, job_row, design, values))
        if not is_same:
            with book.entry("job set", job):
                _set_basis(book, job_row, design, values, parts)
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
    book: "Book", job: "Job", design: str, values: list[str] | None, parts: Path | None
) -> None:
    from ledger.costing.lumber import board_faults
    from ledger.designs.build import build
    from ledger.designs.store import load_version, save_design
    from ledger.jobs.jobs import set_basis
    from ledger.jobs.shop_rates import wood_of
    from ledger.stock.materials import materials

    if parts:
        from ledger.workbooks.readers.parts import read_parts_design

        given = dict(_pair(value) for value in values or [])
        plain = read_parts_design(parts, job.number, job.title, book.units)
        version = save_design(book, plain, "parts list read again")
    else:
        version, given = _chosen(book, job, design, values)
    built = build(load_version(book, version.key)[1], given, book.units, wood_of(book))
    set_basis(book, job, version.key, given)
    for fault in board_faults(built, materials(book)):
        voice.warn(fault)


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
    from ledger.jobs.jobs import jobs

    with open_shop() as book:
        rows = [_row(book, job) for job in jobs(book, past=past)]
    if as_json:
        voice.print_json([dict(zip(("number", "title", "client", "state"), row, strict=True))
                     for row in rows])  # fmt: skip
        return
    voice.table(["job", "title", "client", "state"], rows)


def _row(book: "Book", job: "Job") -> list[str]:
    from ledger.jobs.jobs import client_of, state_of

    client = client_of(book, job)
    return [job.number, job.title, client.name if client else "", state_of(book, job)]


@app.command()
def show(job: JobName, as_json: AsJson = False) -> None:
    """Show a job: its design, parameters, answers and costs, and what came after it was over.

    Example: benchledger job show bed
    """
    from ledger.book.tables.ground import JobBasis
    from ledger.designs.store import load_version
    from ledger.jobs.answers import answers_of, costs_of
    from ledger.jobs.jobs import basis_of, client_of, find_job, state_of
    from ledger.reports.settled import over_json, over_words

    with open_shop() as book:
        job_row = find_job(book, job)
        client = client_of(book, job_row)
        design, values = "", dict[str, str]()
        if book.last(JobBasis, job=job_row.key) is not None:
            basis = basis_of(book, job_row)
            version, _ = load_version(book, basis.design)
            design, values = f"{version.name} version {version.version}", dict(basis.parameters)
        answers = [
            (item, *amount_and_note) for item, amount_and_note in answers_of(book, job_row).items()
        ]
        costs = [row for when in ("planned", "actual") for row in costs_of(book, job_row, when)]
        show_money, decimal = book.currency.show, book.currency.decimal
        over, over_said = over_json(book, job_row), over_words(book, job_row)
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
            "costs": [
                {"occasion": row.occasion, "kind": row.kind, "words": row.words,
                 "amount": str(decimal(row.amount))}
                for row in costs
            ],
        }  # fmt: skip
        voice.print_json(payload | {"parameters": values} | lists | over)
        return
    name = f"{payload.pop('job')} {payload.pop('title')}"
    voice.pairs({"job": name} | {key: value or "none yet" for key, value in payload.items()})
    if values:
        voice.pairs(values)
    if answers:
        rows = [[item, show_money(amount), words] for item, amount, words in answers]
        voice.table(["answered", ("amount", "right"), ""], rows)
    if costs:
        voice.table(
            ["", "cost", "", ("amount", "right")],
            [[row.occasion, row.kind, row.words, show_money(row.amount)] for row in costs],
        )
    for sentence in over_said:
        voice.say(sentence)


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
    for sentence in words:
        voice.say(sentence)


@app.command()
def answer(
    job: JobName,
    item: Annotated[str, typer.Argument(help="A line of the list of forgotten costs.")],
    amount: Annotated[str, typer.Argument(help="What it costs; 0 is an answer.")],
    words: Annotated[str, typer.Option("--note", help="Why so.")] = "",
) -> None:
    """Answer one line of the list of costs that get forgotten; 0 is allowed.

    Example: benchledger job answer bed samples 0 --note "sample 3 is on the wall"
    """
    from ledger.jobs.answers import answer as post_answer
    from ledger.jobs.jobs import find_job

    with open_shop() as book:
        job_row = find_job(book, job)
        money = book.currency.parse(amount)
        name = post_answer(book, job_row, item, money, words)
        shown = book.currency.show(money)
    voice.say(f"{job_row.number}: {name} {shown}.")


@app.command(name="add-cost")
def add_cost(
    job: JobName,
    kind: Annotated[str, typer.Argument(help="miles (km), outside, fee, freight or other.")],
    quantity: Annotated[str, typer.Argument(help="How much: miles or kilometers, or 1.")],
    amount: Annotated[
        str, typer.Argument(help="Cost of one; left out for a distance: the shop's rate.")
    ] = "",
    words: Annotated[str, typer.Option("--note", help="What for.")] = "",
    actual: Annotated[bool, typer.Option(help="As it came, not as planned.")] = False,
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    after_close: AfterClose = False,
) -> None:
    """Add a distance driven, outside work, a fee, planned freight or another cost of a job.

    Example: benchledger job add-cost bed miles 44 --note "delivery and pick-up"
    """
    from ledger.jobs.answers import DRIVEN, find_cost_kind, rate_driven
    from ledger.jobs.answers import add_cost as post_cost
    from ledger.jobs.jobs import find_job
    from ledger.measures.driving import driving
    from ledger.measures.quantity import parse_quantity

    with open_shop(after_close=after_close) as book:
        job_row, sort = find_job(book, job), find_cost_kind(book, kind)
        if not amount and sort != DRIVEN:
            raise typer.BadParameter(f"say what one {kind} costs: job add-cost JOB {kind} 1 AMOUNT")
        unit = book.currency.parse_price(amount) if amount else rate_driven(book)
        usual = driving(book.units).many if sort == DRIVEN else sort
        row = post_cost(
            book, job_row, sort, words or usual,
            parse_quantity(quantity, book.currency.decimal_mark), unit,
            actual=actual, day=book.dates.read(on),
        )  # fmt: skip
        shown = book.currency.show(row.amount)
    voice.say(f"{job_row.number}: {row.words} {shown}, {row.occasion}.")


@app.command()
def count(
    job: JobName,
    operation: Annotated[
        str,
        typer.Argument(help="An operation, in words or code.", autocompletion=complete.operation),
    ],
    quantity: Annotated[str, typer.Argument(help="How many, counted by hand.")],
    words: Annotated[str, typer.Option("--note", help="How it was counted.")] = "",
    built: Annotated[bool, typer.Option("--built", help="As it was built.")] = False,
) -> None:
    """Count an operation of a job by hand; the count replaces the derived one.

    Example: benchledger job count bed rip 33 --note "from the plan on the wall"
    """
    from ledger.jobs.answers import set_count
    from ledger.jobs.jobs import find_job, last_job
    from ledger.labor.standards import find_operation
    from ledger.measures.quantity import parse_quantity

    with open_shop() as book:
        job_row = find_job(book, job) if job else last_job(book)
        known = find_operation(book, operation)
        set_count(
            book,
            job_row,
            known.code,
            parse_quantity(quantity, book.currency.decimal_mark),
            words,
            built=built,
        )
    voice.say(f"{job_row.number}: {known.code} {known.name}, {quantity} {known.unit}.")


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

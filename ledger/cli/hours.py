"""`benchledger hours`: what was worked, entered after the fact."""

import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, AsJson, Columns
from ledger.cli.opened import open_job, open_shop
from ledger.errors import BadValue, NotFound
from ledger.measures.day import parse_time
from ledger.measures.duration import parse_duration, show_minutes
from ledger.measures.plain import plain_fields
from ledger.measures.spoken import how_many
from ledger.measures.values import replace

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.labor.log import TimeEntry
    from ledger.verbs.hours import Target

app = typer.Typer(no_args_is_help=True, help="Hours as they were worked: add, again, load, list.")

Words = Annotated[
    list[str],
    typer.Argument(
        metavar="[JOB] OPERATION DURATION",
        help="Such as: bed sand 1h45, sand 90m, or bed sand 1h mill 45m",
        autocompletion=complete.job_operation,
    ),
]
OnDay = Annotated[str, typer.Option("--on", metavar="DAY", help="Day it was worked.")]
With = Annotated[
    list[str] | None, typer.Option("--with", metavar="HELPER", help="Who worked beside.")
]
By = Annotated[str, typer.Option("--by", metavar="PERSON", help="Who worked, if not the owner.")]
Class = Annotated[
    str,
    typer.Option("--class", help="work, rework, change order, first time, content or shop."),
]
Yes = Annotated[bool, typer.Option("--yes", help="It is right, whatever looks odd about it.")]


@app.command()
def add(
    words: Words,
    on: OnDay = "today",
    start: Annotated[
        str, typer.Option("--from", metavar="TIME", help="When it began, such as 13:30.")
    ] = "",
    helpers: With = None,
    by: By = "",
    kind: Class = "work",
    part: Annotated[str, typer.Option(help="The part it was about.")] = "",
    cause: Annotated[str, typer.Option(help="What caused the rework.")] = "",
    prevention: Annotated[str, typer.Option(help="What would have prevented it.")] = "",
    note: Annotated[str, typer.Option(help="Anything else.")] = "",
    yes: Yes = False,
    after_close: AfterClose = False,
    as_json: AsJson = False,
) -> None:
    """Enter hours after the fact; names by any part, the last job if none is said.

    Several in one line are one entry, posted together; the first job is that of all that name none.

    Example: benchledger hours add bed sand 1h45 --on yesterday
    """
    from ledger.labor.log import TimeEntry, read_class
    from ledger.verbs.hours import read_people

    if len(words) < 2:
        raise typer.BadParameter("Say what took how long: hours add [JOB] OPERATION DURATION")
    with open_shop(after_close=after_close) as book:
        spoken = _spoken(book, words, read_class(kind))
        if len(spoken) > 1 and (start or as_json):
            raise typer.BadParameter("--from and --json are of one entry alone")
        day, people = book.dates.read(on), read_people(book, by, helpers or [])
        began = datetime.combine(day, parse_time(start)) if start else None
        entries = [
            TimeEntry(
                job=target.job,
                activity=target.activity,
                minutes=minutes,
                day=day,
                kind=target.kind,
                people=people,
                began=began,
                ended=began + timedelta(minutes=minutes) if began else None,
                part=part,
                cause=cause,
                prevention=prevention,
                note=note,
            )
            for target, minutes in spoken
        ]
        _enter(book, entries, yes=yes, as_json=as_json)


def _spoken(book: "Book", words: list[str], kind: str) -> "list[tuple[Target, int]]":
    """What took how long: one entry, or several of which each ends with its duration.

    The job of the first is that of all that name none.
    """
    from ledger.verbs.hours import read_target

    minutes, line = parse_duration(words[-1]), f"benchledger hours add {{}} {words[-1]}"
    try:
        return [(read_target(book, words[:-1], kind, line=line), minutes)]
    except NotFound:
        parted = _parted(words)
        if len(parted) == 1:
            raise
    spoken: list[tuple[Target, int]] = []
    for *said, took in parted:
        if not said:
            raise BadValue(f"Say what took {took}, such as: sand {took}")
        at = spoken[0][0].job if spoken else None
        spoken.append((_target(book, at, said, kind), parse_duration(took)))
    return spoken


def _target(book: "Book", job: "Job | None", said: list[str], kind: str) -> "Target":
    """What is done on the job of the entry before it, or on one that is named anew."""
    from ledger.verbs.hours import read_target

    if job is None:
        return read_target(book, said, kind)
    try:
        return read_target(book, [job.number, *said], kind)
    except NotFound as unknown:
        if len(said) == 1:
            raise
        try:
            return read_target(book, said, kind)
        except NotFound:
            raise unknown from None


def _parted(words: list[str]) -> list[list[str]]:
    """Words parted after each duration."""
    parted: list[list[str]] = [[]]
    for at, word in enumerate(words, start=1):
        parted[-1].append(word)
        if at < len(words) and re.fullmatch(r"\d+(h\d*|m|:\d\d)", word):
            parted.append([])
    return parted


@app.command()
def again(
    duration: Annotated[str, typer.Argument(help="How long this time; else as long.")] = "",
    on: OnDay = "today",
    yes: Yes = False,
    after_close: AfterClose = False,
    as_json: AsJson = False,
) -> None:
    """Enter the last entry once more: same job, operation and people.

    Example: benchledger hours again 45m
    """
    from ledger.labor.log import last_entry

    with open_shop(after_close=after_close) as book:
        last = last_entry(book)
        minutes = parse_duration(duration) if duration else last.minutes
        time_entry = replace(last, minutes=minutes, day=book.dates.read(on))
        _enter(book, [time_entry], yes=yes, as_json=as_json, again=True)


def _enter(
    book: "Book", entries: "list[TimeEntry]", *, yes: bool, as_json: bool, again: bool = False
) -> None:
    """Enter what one line says together, and say each; `as_json` is of one alone."""
    from ledger.cli.answers import ask
    from ledger.cli.hours_shown import entry_json, say_posted
    from ledger.verbs.hours import enter_several, logged, plan_for

    jobs = {row.job.key if row.job else None: row.job for row in entries}
    plans = {key: plan_for(book, job, voice.wait) for key, job in jobs.items()}
    planned = [(row, plans[row.job.key if row.job else None]) for row in entries]
    posted = ask(lambda sure: enter_several(book, planned, again=again, sure=sure), yes=yes)
    if as_json:
        days = logged(book, first=posted[0].day, last=posted[0].day)
        voice.print_json(entry_json(days, days.rows[-1]))
        return
    for one in posted:
        say_posted(one)
    if any(one.lacks_cause for one in posted):
        voice.note("No cause is noted; the close-out sorts rework by it: --cause TEXT")


@app.command()
def load(
    file: Annotated[Path, typer.Argument(help="A log of hours, XLSX or CSV.")],
    yes: Yes = False,
    after_close: AfterClose = False,
    columns: Columns = None,
) -> None:
    """Enter a whole log: all of it, or nothing and a list of what is wrong.

    Example: benchledger hours load may.xlsx
    """
    from ledger.cli.answers import ask
    from ledger.cli.headings import read_asking
    from ledger.labor.load import load_hours
    from ledger.labor.people import OWNER, helper_named, unpaid_note
    from ledger.verbs.hours import plan_for
    from ledger.workbooks.readers.hours import read_hours

    with open_shop(after_close=after_close) as book:
        rows = read_asking(
            book, "log of hours", columns, lambda named: read_hours(book, file, named)
        )
        jobs = {row.time_entry.job.key: row.time_entry.job for row in rows if row.time_entry.job}
        plans = {key: plan_for(book, job, voice.wait) for key, job in jobs.items()}
        hours = {key: plan.hours or {} for key, plan in plans.items()}

        def post(sure: bool) -> None:
            with book.entry("hours load", file.name):
                load_hours(book, rows, file.name, plans=hours, sure=sure)
                for plan in plans.values():
                    plan.keep(book)

        ask(post, yes=yes)
        minutes = sum(row.time_entry.minutes * len(row.time_entry.people) for row in rows)
        people = dict.fromkeys(
            name for row in rows for name in row.time_entry.people if name != OWNER
        )
        unpaid = [name for name in people if not helper_named(book, name).cost]
    voice.say(
        f"{file.name}: {how_many(len(rows), 'line')} of hours,"
        f" {show_minutes(minutes)} of work in all."
    )
    if unpaid:
        voice.warn(unpaid_note(unpaid))


@app.command()
def template(
    file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx or .csv.")],
) -> None:
    """Write an empty log that a telephone can fill, to be loaded with: hours load.

    Example: benchledger hours template hours.xlsx
    """
    from ledger.cli.templates import require_new
    from ledger.jobs.jobs import jobs, state_of
    from ledger.labor.standards import GROUPS, spoken_words, standards
    from ledger.workbooks.writers.hours_template import write_hours_template

    require_new(file)
    with open_shop() as book:
        ended = {"closed", "canceled"}
        named = [job.number for job in jobs(book) if state_of(book, job) not in ended]
        operations = [(spoken_words(row) or [row.code])[0] for row in standards(book).values()]
        groups = [group.words for group in GROUPS.values()]
        write_hours_template(
            file, book.settings.shop, book.today, [*named, "shop"], [*operations, *groups]
        )
    voice.say(f"{file} stands ready; fill it in and load it: benchledger hours load {file}")


@app.command(name="list")
def list_(
    job: Annotated[str, typer.Argument(help="Only of this job.", autocompletion=complete.job)] = "",
    since: Annotated[str, typer.Option("--from", help="First day.")] = "-6d",
    until: Annotated[str, typer.Option("--to", help="Last day.")] = "today",
    as_json: AsJson = False,
) -> None:
    """List the entries of the last week, or of other days; a day without any is "not logged".

    Example: benchledger hours list bed --from 2025-05-01
    """
    from ledger.cli.hours_shown import entry_json, say_logged
    from ledger.jobs.jobs import find_job
    from ledger.verbs.hours import logged

    with open_shop() as book:
        first, last = book.dates.read(since), book.dates.read(until)
        days = logged(book, find_job(book, job) if job else None, first=first, last=last)
    if as_json:
        voice.print_json([entry_json(days, row) for row in days.rows])
        return
    say_logged(days)


@app.command()
def job(
    name: Annotated[
        str,
        typer.Argument(
            metavar="JOB", help="Number or part of the title.", autocompletion=complete.job
        ),
    ],
    as_json: AsJson = False,
) -> None:
    """Show where a job's hours stand, operation by operation, beside their estimate.

    Example: benchledger hours job bed
    """
    from ledger.cli.hours_shown import job_json, say_job
    from ledger.verbs.hours import of_job, plan_for

    with open_job(name) as (book, job_row):
        hours = of_job(book, job_row, plan_for(book, job_row, voice.wait))
    if as_json:
        voice.print_json(job_json(hours))
        return
    say_job(hours)


@app.command()
def helper(
    name: Annotated[str, typer.Argument(help="The helper's name; all are listed without it.")] = "",
    cost: Annotated[str, typer.Option(help="What an hour costs the shop, burden included.")] = "",
    billed: Annotated[str, typer.Option(help="What an hour is billed at.")] = "",
    as_json: AsJson = False,
) -> None:
    """List the helpers' rates, or give one rates of their own; others have those of `helper`.

    Example: benchledger hours helper Robin --cost 26.88 --billed 42.00
    """
    from ledger.labor.people import helpers, hired_named, set_helper

    if bool(cost) != bool(billed) or (cost and not name):
        raise typer.BadParameter("say who, and both rates: Robin --cost 26.88 --billed 42.00")
    with open_shop() as book:
        money = book.currency
        if cost:
            set_helper(book, name, money.parse(cost), money.parse(billed))
        rows = [hired_named(book, name)] if name else list(helpers(book).values())
    if as_json:
        voice.print_json([plain_fields(row, "name cost billed", money) for row in rows])
    elif cost:
        voice.say(f"{name}: {cost} an hour, billed at {billed}, from now on.")
    else:
        cells = [[row.name, money.show(row.cost), money.show(row.billed)] for row in rows]
        voice.table(["helper", ">costs an hour", ">billed at"], cells)
        voice.note("helper is the usual one: benchledger shop set helper_cost=AMOUNT")

"""`benchledger hours`: what was worked, entered after the fact."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, AsJson
from ledger.cli.opened import open_shop
from ledger.measures.day import parse_time
from ledger.measures.duration import parse_duration, show_minutes
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.questions.labor import Logged
    from ledger.book.tables.ground import Job
    from ledger.labor.log import TimeEntry

app = typer.Typer(no_args_is_help=True, help="Hours as they were worked: add, again, load, list.")

Words = Annotated[
    list[str],
    typer.Argument(
        metavar="[JOB] OPERATION DURATION",
        help="Such as: bed sand 1h45, or sand 90m",
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

    Example: benchledger hours add bed sand 1h45 --on yesterday
    """
    from ledger.cli.labor import read_people, read_target
    from ledger.labor.log import TimeEntry, read_class

    if len(words) < 2:
        raise typer.BadParameter("Say what took how long: hours add [JOB] OPERATION DURATION")
    minutes = parse_duration(words[-1])
    with open_shop(after_close=after_close) as book:
        job, activity, kind = read_target(book, words[:-1], read_class(kind))
        day = book.dates.read(on)
        began = datetime.combine(day, parse_time(start)) if start else None
        time_entry = TimeEntry(
            job=job,
            doing=activity,
            minutes=minutes,
            day=day,
            kind=kind,
            people=read_people(book, by, helpers or []),
            began=began,
            ended=began + timedelta(minutes=minutes) if began else None,
            part=part,
            cause=cause,
            prevention=prevention,
            note=note,
        )
        _enter(book, time_entry, yes=yes, as_json=as_json)


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
        _enter(book, time_entry, yes=yes, as_json=as_json, again=True)


def _enter(
    book: "Book", time_entry: "TimeEntry", *, yes: bool, as_json: bool, again: bool = False
) -> None:
    from ledger.book.questions.labor import time_entries
    from ledger.cli.labor import PlannedJob, ask, say_rows, say_standing
    from ledger.labor.log import log_hours

    plan = PlannedJob(book, time_entry.job)

    def post(sure: bool) -> None:
        with book.entry("hours add", time_entry.words):
            rows = log_hours(book, time_entry, plan=plan.hours, sure=sure, again=again)
            plan.keep(book)
        if as_json:
            return
        say_rows(book, rows, time_entry.job)
        say_standing(book, time_entry, plan)
        if time_entry.kind == "rework" and not time_entry.cause:
            voice.note("No cause is noted; the close-out sorts rework by it: --cause TEXT")

    ask(post, yes=yes)
    if as_json:
        last = time_entries(book, first=time_entry.day, last=time_entry.day)[-1]
        voice.print_json(
            _json(last, {} if time_entry.job is None else {time_entry.job.key: time_entry.job})
        )


@app.command()
def load(
    file: Annotated[Path, typer.Argument(help="A log of hours, XLSX or CSV.")],
    yes: Yes = False,
    after_close: AfterClose = False,
) -> None:
    """Enter a whole log: all of it, or nothing and a list of what is wrong.

    Example: benchledger hours load may.xlsx
    """
    from ledger.cli.labor import PlannedJob, ask, warn_of_unpaid
    from ledger.labor.load import load_hours
    from ledger.labor.people import OWNER, helper_named
    from ledger.workbooks.readers.hours import read_hours

    with open_shop(after_close=after_close) as book:
        rows = read_hours(book, file)
        jobs = {row.time_entry.job.key: row.time_entry.job for row in rows if row.time_entry.job}
        plans = {key: PlannedJob(book, job) for key, job in jobs.items()}
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
    warn_of_unpaid(unpaid)


@app.command()
def template(
    file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx.")],
) -> None:
    """Write an empty log that a telephone can fill, to be loaded with: hours load.

    Example: benchledger hours template hours.xlsx
    """
    from ledger.jobs.jobs import jobs, state_of
    from ledger.labor.standards import GROUPS, spoken_words, standards
    from ledger.workbooks.writers.hours_template import write_hours_template

    with open_shop() as book:
        ended = {"closed", "canceled"}
        named = [job.number for job in jobs(book) if state_of(book, job) not in ended]
        operations = [(spoken_words(row) or [row.code])[0] for row in standards(book).values()]
        groups = [group.words for group in GROUPS.values()]
        write_hours_template(
            file, book.setting("shop"), book.today, [*named, "shop"], [*operations, *groups]
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
    from ledger.book.questions.labor import time_entries
    from ledger.book.tables.ground import Job
    from ledger.jobs.jobs import find_job

    with open_shop() as book:
        first, last = book.dates.read(since), book.dates.read(until)
        chosen = find_job(book, job) if job else None
        entries = time_entries(book, job=chosen.key if chosen else None, first=first, last=last)
        jobs = {row.job: book.row(Job, row.job) for row in entries if row.job is not None}
        opened = book.setting("opened") or first
    named = {key: row for key, row in jobs.items() if row is not None}
    if as_json:
        voice.print_json([_json(one, named) for one in entries])
        return
    _say_list(entries, named, [] if chosen else _gaps(entries, max(first, opened), last))


def _gaps(entries: "list[Logged]", first: date, last: date) -> list[date]:
    """The working days without an entry."""
    logged = {one.day for one in entries}
    days = [first + timedelta(days=number) for number in range((last - first).days + 1)]
    return [day for day in days if day.weekday() < 5 and day not in logged]


def _say_list(entries: "list[Logged]", jobs: "dict[int, Job]", gaps: list[date]) -> None:
    lines = [
        (one.day, [f"{one.day} {one.day:%a}", _number(one, jobs), one.doing.replace("_", " "),
                   show_minutes(one.minutes), _aside(one)])
        for one in entries
    ]  # fmt: skip
    lines += [(day, [f"{day} {day:%a}", "", "not logged", "", ""]) for day in gaps]
    total = sum(one.minutes for one in entries)
    voice.table(
        ["day", "job", "what", ("hours", "right"), ""],
        [cells for _, cells in sorted(lines, key=lambda line: line[0])],
        footer=["", "", "in all", show_minutes(total), ""],
    )


def _number(one: "Logged", jobs: "dict[int, Job]") -> str:
    return "shop" if one.job is None else jobs[one.job].number


def _aside(one: "Logged") -> str:
    remarks = [
        "" if one.kind in {"work", "shop"} else one.kind.replace("_", " "),
        "" if one.people == "owner" else one.people,
        "split by the estimate" if one.split else "",
        f"{one.began[11:]}–{one.ended[11:]}" if one.began and one.ended else "",
        f"part {one.part}" if one.part else "",
        one.cause,
        one.note,
    ]
    return ", ".join(word for word in remarks if word)


def _json(one: "Logged", jobs: "dict[int, Job]") -> dict[str, object]:
    return {
        "day": str(one.day),
        "job": None if one.job is None else jobs[one.job].number,
        "what": one.doing,
        "minutes": one.minutes,
        "class": one.kind,
        "people": one.people.split(", "),
        "split": one.split,
        "part": one.part,
        "cause": one.cause,
        "note": one.note,
        "entry": one.entry,
    }


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
    from ledger.cli.hours_of_job import say_job
    from ledger.jobs.jobs import find_job

    with open_shop() as book:
        say_job(book, find_job(book, name), as_json=as_json)


@app.command()
def helper(
    name: Annotated[str, typer.Argument(help="The helper's name.")],
    cost: Annotated[str, typer.Option(help="What an hour costs the shop, burden included.")],
    billed: Annotated[str, typer.Option(help="What an hour is billed at.")],
) -> None:
    """Give a helper rates of their own; others have the settings helper_cost and helper_billed.

    Example: benchledger hours helper Robin --cost 26.88 --billed 42.00
    """
    from ledger.labor.people import set_helper

    with open_shop() as book:
        money = book.currency
        set_helper(book, name, money.parse(cost), money.parse(billed))
    voice.say(f"{name}: {cost} an hour, billed at {billed}, from now on.")

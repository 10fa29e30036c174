"""`benchledger clock`: one clock; starting it on something stops it on what went before."""

from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, AsJson
from ledger.cli.hours import By, Class, With, Yes
from ledger.cli.opened import local_now, open_shop
from ledger.measures.duration import show_minutes

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.book.tables.labor import Work
    from ledger.cli.labor import PlannedJob
    from ledger.labor.clock import Running

app = typer.Typer(no_args_is_help=True, help="One clock for the hours: on, off, show.")

At = Annotated[str | None, typer.Option("--at", metavar="TIME", help="When, such as 15:40.")]


@app.command()
def on(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="[JOB] OPERATION",
            help="Such as: bed spray, or spray",
            autocompletion=complete.job_operation,
        ),
    ],
    at: At = None,
    helpers: With = None,
    by: By = "",
    kind: Class = "work",
    part: Annotated[str, typer.Option(help="The part it is about.")] = "",
    note: Annotated[str, typer.Option(help="Anything else.")] = "",
    yes: Yes = False,
    after_close: AfterClose = False,
) -> None:
    """Start the clock; what was running stops.

    Example: benchledger clock on bed spray
    """
    from ledger.cli.labor import PlannedJob, ask, read_people, read_target
    from ledger.labor.clock import moment_of, running, shop_zone, start
    from ledger.labor.log import name_of, read_class

    with open_shop(after_close=after_close) as book:
        job, activity, kind = read_target(book, words, read_class(kind))
        people = read_people(book, by, helpers or [])
        zone = shop_zone(book)
        moment = moment_of(None, local_now(zone), at, zone)
        before = running(book)
        plan = PlannedJob(book, before.job if before else None)

        def switch(sure: bool) -> None:
            target = job.number if job else "shop"
            with book.entry("clock on", f"{target} {name_of(activity)}"):
                rows = start(
                    book, job, activity, moment, kind=kind, people=people, part=part, note=note,
                    plan=plan.hours, sure=sure,
                )  # fmt: skip
                if rows:
                    plan.keep(book)
            _say_stopped(book, before, rows, plan)
            voice.say(f"The clock is on {target} {name_of(activity)} since {moment:%H:%M}.")

        ask(switch, yes=yes)


@app.command()
def off(at: At = None, yes: Yes = False, after_close: AfterClose = False) -> None:
    """Stop the clock; its time becomes an entry.

    Example: benchledger clock off --at 15:40
    """
    from ledger.cli.labor import PlannedJob, ask
    from ledger.labor.clock import moment_of, running, shop_zone, stop

    with open_shop(after_close=after_close) as book:
        before = running(book)
        plan = PlannedJob(book, before.job if before else None)
        zone = shop_zone(book)
        moment = moment_of(before, local_now(zone), at, zone)

        def end(sure: bool) -> None:
            with book.entry("clock off", f"{moment:%H:%M}"):
                rows = stop(book, moment, plan=plan.hours, sure=sure)
                if rows:
                    plan.keep(book)
            _say_stopped(book, before, rows, plan)

        ask(end, yes=yes)


@app.command()
def show(
    as_json: AsJson = False,
) -> None:
    """Show what the clock is on and since when.

    Example: benchledger clock show
    """
    from ledger.labor.clock import running, shop_zone
    from ledger.labor.log import name_of

    with open_shop() as book:
        clock, zone = running(book), shop_zone(book)
    minutes = clock.minutes(zone, local_now(zone)) if clock else 0
    if as_json:
        voice.print_json(None if clock is None else _json(clock, minutes))
    elif clock is None:
        voice.say("No clock is running.")
    else:
        lasted = show_minutes(minutes)
        since = f"since {clock.began:%H:%M} of {clock.began:%Y-%m-%d}"
        voice.say(f"The clock is on {_number(clock.job)} {name_of(clock.doing)} {since}: {lasted}.")


def _say_stopped(
    book: "Book", before: "Running | None", rows: "list[Work]", plan: "PlannedJob"
) -> None:
    from ledger.cli.labor import say_rows, say_standing
    from ledger.labor.log import name_of

    if before is None:
        return
    if not rows:
        voice.note(f"{name_of(before.doing)} ran for less than a minute; nothing was entered.")
        return
    say_rows(book, rows, before.job)
    say_standing(book, before.time_entry(0), plan)


def _number(job: "Job | None") -> str:
    return job.number if job else "shop"


def _json(clock: "Running", minutes: int) -> dict[str, object]:
    from ledger.labor.log import name_of

    return {
        "job": clock.job.number if clock.job else None,
        "what": name_of(clock.doing),
        "class": clock.kind,
        "since": clock.began.isoformat(timespec="minutes"),
        "minutes": minutes,
        "people": list(clock.people),
    }

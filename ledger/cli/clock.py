"""`benchledger clock`: one clock; starting it on something stops it on what went before."""

from typing import Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, AsJson
from ledger.cli.hours import By, Class, With, Yes
from ledger.cli.opened import local_now, open_shop
from ledger.measures.duration import show_minutes

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
    from ledger.cli.answers import ask
    from ledger.cli.hours_shown import say_stopped
    from ledger.labor.clock import moment_of, running, shop_zone
    from ledger.labor.log import read_class
    from ledger.verbs import clock
    from ledger.verbs.hours import plan_for, read_people, read_target

    with open_shop(after_close=after_close) as book:
        target = read_target(book, words, read_class(kind), line="benchledger clock on {}")
        people, zone = read_people(book, by, helpers or []), shop_zone(book)
        moment, before = moment_of(None, local_now(zone), at, zone), running(book)
        plan = plan_for(book, before.job if before else None, voice.wait)
        switched = ask(
            lambda sure: clock.switch(
                book, target, moment, plan, people=people, part=part, note=note, sure=sure
            ),
            yes=yes,
        )
    if switched.stopped:
        say_stopped(switched.stopped)
    voice.say(f"The clock is on {target.words} since {moment:%H:%M}.")


@app.command()
def off(at: At = None, yes: Yes = False, after_close: AfterClose = False) -> None:
    """Stop the clock; its time becomes an entry.

    Example: benchledger clock off --at 15:40
    """
    from ledger.cli.answers import ask
    from ledger.cli.hours_shown import say_stopped
    from ledger.labor.clock import moment_of, running, shop_zone
    from ledger.verbs import clock
    from ledger.verbs.hours import plan_for

    with open_shop(after_close=after_close) as book:
        before, zone = running(book), shop_zone(book)
        plan = plan_for(book, before.job if before else None, voice.wait)
        moment = moment_of(before, local_now(zone), at, zone)
        stopped = ask(lambda sure: clock.end(book, moment, plan, sure=sure), yes=yes)
    say_stopped(stopped)


@app.command()
def show(as_json: AsJson = False) -> None:
    """Show what the clock is on and since when.

    Example: benchledger clock show
    """
    from ledger.labor.clock import running, shop_zone
    from ledger.labor.log import name_of

    with open_shop() as book:
        clock, zone = running(book), shop_zone(book)
    minutes = clock.minutes(zone, local_now(zone)) if clock else 0
    if as_json:
        voice.print_json(clock and {
            "job": clock.job.number if clock.job else None,
            "what": name_of(clock.activity),
            "class": clock.kind,
            "since": clock.began.isoformat(timespec="minutes"),
            "minutes": minutes,
            "people": list(clock.people),
        })  # fmt: skip
    elif clock is None:
        voice.say("No clock is running.")
    else:
        since = f"since {clock.began:%H:%M} of {clock.began:%Y-%m-%d}"
        voice.say(f"The clock is on {clock.words} {since}: {show_minutes(minutes)}.")

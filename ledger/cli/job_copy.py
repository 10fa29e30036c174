"""`benchledger job copy`: the same piece for somebody else, or in another size."""

from typing import Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import read_pairs
from ledger.cli.opened import open_shop


def copy(
    job: Annotated[
        str,
        typer.Argument(metavar="JOB", help="The job to copy.", autocompletion=complete.job),
    ],
    title: Annotated[str, typer.Argument(help="What the new one is called.")] = "",
    values: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="NAME=VALUE", help="A parameter that differs."),
    ] = None,
    client: Annotated[str, typer.Option(help="Who it is for.")] = "",
    number: Annotated[str, typer.Option(help="A number of your own; else the year's next.")] = "",
) -> None:
    """Copy a job to price it anew, on the newest version of its design.

    Example: benchledger job copy bed "Alder fold-down bed" --set "mattress_width=54 in"
    """
    from ledger.jobs.copying import copy_job
    from ledger.jobs.jobs import find_job

    with open_shop() as book:
        changed = dict(read_pairs(values))
        made = copy_job(
            book, find_job(book, job), title, client=client, number=number, values=changed
        )
    voice.say(f"{made.job.number} {made.job.title} is open.")
    version = "the same lines"
    if made.version is not None:
        version = f"{made.version.name} version {made.version.version}"
    voice.note(f"It is built to {version}: benchledger price {made.job.number}")
    for words in made.errata:
        voice.note(f"Put right since: {words}")
    if made.counts_left:
        voice.warn("Counts made by hand were left out, since its sizes differ.")

"""Arguments and options that commands of several nouns take."""

from typing import Annotated

import typer

from ledger.cli import complete

JobName = Annotated[
    str,
    typer.Argument(
        metavar="JOB", help="Number or any part of the title.", autocompletion=complete.job
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="As JSON.")]
AfterClose = Annotated[
    bool, typer.Option("--after-close", help="It belongs to a job that is over: a late cost.")
]

Columns = Annotated[
    list[str] | None,
    typer.Option(
        metavar="HEADING=COLUMN",
        help="What a heading of yours means, such as Stk=quantity; Brand=- is left out.",
    ),
]

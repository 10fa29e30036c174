"""Arguments and options that commands of several nouns take.

Options of the form NAME=VALUE, each name once.
"""

from collections.abc import Sequence
from typing import Annotated

import typer

from ledger.cli import complete

JobName = Annotated[
    str,
    typer.Argument(
        metavar="JOB", help="Number or any part of the title.", autocompletion=complete.job
    ),
]
JobWords = Annotated[
    str, typer.Argument(help="Number or any part of the title.", autocompletion=complete.job)
]
JobNames = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="JOB",
        help="Number or any part of the title; with --together two or more.",
        autocompletion=complete.job,
    ),
]
Together = Annotated[
    bool, typer.Option("--together", help="Cut the named jobs from the same sheets.")
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


def read_pairs(texts: Sequence[str] | None) -> list[tuple[str, str]]:
    """The names and values of an option that may be given several times."""
    pairs = []
    for text in texts or ():
        name, mark, value = text.rpartition("=")
        if not mark or not name.strip():
            raise typer.BadParameter(f"“{text}” should read NAME=VALUE")
        pairs.append((name.strip(), value.strip()))
    names = [name for name, _ in pairs]
    for name in names:
        if names.count(name) > 1:
            raise typer.BadParameter(f"“{name}” is named twice")
    return pairs

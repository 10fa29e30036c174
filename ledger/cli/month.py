"""`benchledger month`: the month on one page, its files, closing it."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.arguments import AsJson

app = typer.Typer(help="The month: spend, stock, jobs, files for the accountant.")


@app.command()
def month(
    which: Annotated[
        str, typer.Argument(metavar="[YYYY-MM]", help="Else the month just ended.")
    ] = "last",
    pdf: Annotated[Path | None, typer.Option(help="Write the summary as a PDF.")] = None,
    xlsx: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Write the files of the month there.")
    ] = None,
    close: Annotated[
        bool, typer.Option("--close", help="Close it: nothing more is posted on its days.")
    ] = False,
    reopen: Annotated[bool, typer.Option("--reopen", help="Open it again, saying why.")] = False,
    why: Annotated[str, typer.Option(help="Why it is opened again.")] = "",
    as_json: AsJson = False,
) -> None:
    """Say what a month cost, what is in stock and in the jobs; totals tie to the cent.

    Example: benchledger month 2025-05 --pdf may.pdf --xlsx may
    """
    if close and reopen:
        raise typer.BadParameter("Either --close or --reopen.")
    from ledger.cli.month_shown import MonthFiles, account

    action = "close" if close else "reopen" if reopen else ""
    account(which, MonthFiles(pdf, xlsx), action, why, as_json=as_json)

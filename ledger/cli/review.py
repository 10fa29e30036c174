"""`benchledger review`: what a year (or any days) earned, for the owner alone."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.arguments import AsJson

app = typer.Typer(help="For you alone: what earned, quotes, time, material, rates.")


@app.command()
def review(
    which: Annotated[
        str, typer.Argument(metavar="[YYYY]", help="Such as 2025; else the year that runs.")
    ] = "",
    first: Annotated[
        str, typer.Option("--from", metavar="DAY", help="First day, in place of a year.")
    ] = "",
    last: Annotated[str, typer.Option("--to", metavar="DAY", help="Last day; else today.")] = "",
    overhead: Annotated[
        str, typer.Option(metavar="AMOUNT", help="What overhead of these days really was.")
    ] = "",
    pay: Annotated[
        str, typer.Option(metavar="AMOUNT", help="Your pay of these days, for the rates.")
    ] = "",
    hours: Annotated[
        str, typer.Option(metavar="HOURS", help="Billable hours; else those that are logged.")
    ] = "",
    explain: Annotated[
        str, typer.Option(metavar="FIGURE", help="Which jobs a line of it comes from.")
    ] = "",
    pdf: Annotated[
        Path | None, typer.Option(help="Write it as a PDF of at most four pages.")
    ] = None,
    xlsx: Annotated[Path | None, typer.Option(help="Write it as a workbook.")] = None,
    as_json: AsJson = False,
) -> None:
    """Review a year: what earned, quotes, time, material, and the rates it would have needed.

    Example: benchledger review 2025 --overhead 23400 --pdf review-2025.pdf
    """
    from ledger.cli import review_shown

    review_shown.tell(
        review_shown.Wishes(which, first, last, overhead, pay, hours, explain),
        pdf,
        xlsx,
        as_json=as_json,
    )

"""`benchledger year`: the year-end folder for the accountant."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.arguments import AsJson

app = typer.Typer(help="The year's end: stock, driving, jobs, spend by month, goods in kind.")


@app.command()
def year(
    which: Annotated[str, typer.Argument(metavar="YYYY", help="Such as 2025.")],
    pdf: Annotated[Path | None, typer.Option(help="Write the summary as a PDF.")] = None,
    xlsx: Annotated[
        Path | None,
        typer.Option(metavar="FILE|FOLDER", help="Write the workbook there."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Take the account of a year; one that is running goes up to today.

    Example: benchledger year 2025 --pdf year-2025.pdf --xlsx year-2025
    """
    from ledger.cli import year_shown

    year_shown.account(which, pdf, xlsx, as_json=as_json)

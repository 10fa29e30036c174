"""`benchledger today`: what is open, on one page; a part that has nothing to say is left out.

What gathers and says it is imported when it is asked for, so that help comes at once.
"""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.arguments import AsJson

app = typer.Typer(help="What is open today, and the weeks booked.")


@app.command()
def today(
    ics: Annotated[
        Path | None, typer.Option("--ics", help="Write what is due for a phone's calendar.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say what is open: clock, jobs, quotes, payments, promises, buying, old prices.

    Example: benchledger today
    """
    from ledger.cli import today_shown

    if ics is not None:
        today_shown.write_calendar(ics)
        return
    today_shown.say_today(as_json=as_json)

"""`benchledger today`: what is open, on one page; a part that has nothing to say is left out.

What gathers and says it is imported when it is asked for, so that help comes at once.
"""

import typer

from ledger.cli.arguments import AsJson

app = typer.Typer(help="What is open today, and the weeks booked.")


@app.command()
def today(
    as_json: AsJson = False,
) -> None:
    """Say what is open: clock, jobs, quotes, payments, promises, buying, old prices.

    Example: benchledger today
    """
    from ledger.cli import today_shown

    today_shown.say_today(as_json=as_json)

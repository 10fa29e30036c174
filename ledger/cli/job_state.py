"""`benchledger job state`: how far a job has come."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobName
from ledger.cli.opened import open_job
from ledger.measures.plain import plain_rows


def state(
    job: JobName,
    entered: Annotated[
        str, typer.Argument(metavar="STATE", help="Building, ready, handed over …")
    ] = "",
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    note: Annotated[str, typer.Option(help="Anything to remember of it.")] = "",
    as_json: AsJson = False,
) -> None:
    """Say which state a job entered, or list the states it went through.

    Example: benchledger job state bed installed --on 2025-05-28
    """
    from ledger.book.tables.ground import JobState
    from ledger.jobs.jobs import enter_state, state_of, state_words

    with open_job(job) as (book, job_row):
        if entered:
            enter_state(book, job_row, entered, day=book.dates.read(on), why=note)
        rows = book.rows(JobState, job=job_row.key)
        now = state_of(book, job_row)
    if as_json:
        states = plain_rows(rows, "state since=day note=why")
        voice.print_json({"job": job_row.number, "state": now, "states": states})
        return
    voice.say(f"{job_row.number} {job_row.title}: {state_words(now)}.")
    if not entered:
        cells = [[state_words(row.state), str(row.day), row.why] for row in rows]
        voice.table(["state", "since", ""], cells)

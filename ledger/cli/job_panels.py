"""`benchledger job panels`: papers of the composite panels in a job, and the piece's label."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobName
from ledger.cli.opened import open_job
from ledger.measures.plain import plain_rows
from ledger.measures.units import show_count


def panels(
    job: JobName,
    label: Annotated[bool, typer.Option("--label", help="Write the piece's label.")] = False,
    statement: Annotated[str, typer.Option(help="The label's statement, in your words.")] = "",
    confirm: Annotated[bool, typer.Option("--confirm", help="It holds for every panel.")] = False,
    on: Annotated[str, typer.Option(help="When the piece was made.")] = "today",
    as_json: AsJson = False,
) -> None:
    """List the composite panels a job took with their papers; with --label, write its label.

    Example: benchledger job panels bed --json
    """
    from ledger.jobs.panels import label_of, lacking_statement, panel_records

    with open_job(job) as (book, job_row):
        records = panel_records(book, job_row)
        day = book.dates.read(on)
        written = label_of(book, job_row, statement, day, confirmed=confirm) if label else None
    if written:
        voice.say_all((written.maker, f"Made {written.made}", written.statement))
        return
    if as_json:
        names = "material quantity day supplier document statement keep_until=keep"
        voice.print_json(plain_rows(records, names))
        return
    voice.table(
        ["panel", ">quantity", "from", "document", "statement", "keep until"],
        [
            [r.material, show_count(r.quantity, r.unit), r.supplier, r.document,
             r.statement or "none on file", str(r.keep)]
            for r in records
        ],
    )  # fmt: skip
    lacking = lacking_statement(records)
    if lacking:
        voice.warn(f"Ask the supplier for a written statement: {', '.join(lacking)}.")

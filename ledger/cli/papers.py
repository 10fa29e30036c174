"""`benchledger papers`: every paper of a job as a PDF, into one folder."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobWords
from ledger.cli.opened import open_job
from ledger.measures.spoken import how_many

app = typer.Typer(help="Every paper of a job, into a folder.")


@app.command()
def papers(
    job: JobWords,
    folder: Annotated[Path, typer.Argument(help="It is made where it is not there.")],
    as_json: AsJson = False,
) -> None:
    """Write every paper that a job has by its state: for client, saw, store and the shop alone.

    What is missing is said with its reason.

    Example: benchledger papers bed bed-papers
    """
    from ledger.cli.printed import make_folder, put_paper
    from ledger.measures.plain import plain_rows
    from ledger.verbs.papers import MissingPaper, of_job

    written: list[tuple[str, Path]] = []
    missing: list[MissingPaper] = []
    with open_job(job) as (book, job_row), voice.wait("Laying out the papers …"):
        for one in of_job(book, job_row):
            if isinstance(one, MissingPaper):
                missing.append(one)
                continue
            path = folder / f"{_file_name(one.name)}.pdf"
            make_folder(folder, 0o700)
            put_paper(one.paper, path)
            written.append((one.name, path))
    if as_json:
        voice.print_json({
            "job": job_row.number,
            "written": [{"paper": name, "path": str(path)} for name, path in written],
            "missing": plain_rows(missing, "paper=name why"),
        })  # fmt: skip
        return
    for _, path in written:
        voice.say(str(path))
    for one in missing:
        voice.note(f"No {one.name}: {one.why}.")
    kinds = f"; {how_many(len(missing), 'kind')} missing" if missing else ""
    voice.heading(f"{job_row.number} {job_row.title}: {how_many(len(written), 'paper')}{kinds}")


def _file_name(name: str) -> str:
    """A paper's name as a file name that cannot leave its folder."""
    return "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in name)[:80]

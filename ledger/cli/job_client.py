"""`benchledger job client` and `redact`: who a job is for, and their details taken out again."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobName
from ledger.cli.opened import open_job


def client(
    job: JobName,
    name: Annotated[str | None, typer.Option(help="The full name, as on invoices.")] = None,
    address: Annotated[
        str | None, typer.Option(help="The postal address; | parts its lines.")
    ] = None,
    contact: Annotated[str | None, typer.Option(help="Telephone or e-mail.")] = None,
    vat_number: Annotated[str | None, typer.Option(help="A business client's.")] = None,
    as_json: AsJson = False,
) -> None:
    """Show who a job is for, or enter name, address, contact and VAT number for its papers.

    Example: benchledger job client bed --address "12 Old Mill Lane | Larkspur"
    """
    from ledger.book.clients import DETAILS
    from ledger.jobs.jobs import client_of, describe

    given = {"name": name, "address": address, "contact": contact, "vat_number": vat_number}
    details = {key: text for key, text in given.items() if text is not None}
    with open_job(job) as (book, job_row):
        known = describe(book, job_row, **details) if details else client_of(book, job_row)
        is_vat = book.settings.tax_standing == "vat"
    shown = {key: getattr(known, key) if known else "" for key in DETAILS}
    if as_json:
        voice.print_json({"job": job_row.number} | shown)
        return
    if not (is_vat or shown["vat_number"]):
        del shown["vat_number"]
    voice.heading(f"{job_row.number} {job_row.title}")
    names = {"vat_number": "VAT number"}
    voice.pairs({names.get(key, key): text or "none yet" for key, text in shown.items()})


def redact(
    job: JobName,
    yes: Annotated[bool, typer.Option("--yes", help="Do it; it cannot be undone.")] = False,
) -> None:
    """Take a client's name, address and contact out of the book; what was posted stays.

    Example: benchledger job redact bed --yes
    """
    from ledger.book.clients import redact_client
    from ledger.book.journal import REDACTED
    from ledger.errors import NotAllowed
    from ledger.jobs.jobs import client_of

    with open_job(job) as (book, job_row):
        client = client_of(book, job_row)
        if client is None or client.id is None:
            raise NotAllowed(f"{job_row.number} has no client; there is nothing to take out.")
        if client.redacted_on:
            raise NotAllowed(
                f"The client of {job_row.number} was taken out on {client.redacted_on}."
            )
        if not yes:
            raise NotAllowed(
                f"{client.name} would be taken out for good, of every job of theirs. If that is"
                f" right, say so: benchledger job redact {job_row.number} --yes"
            )
        with book.entry(REDACTED, job_row.number):
            redact_client(book, client.id)
        name = f"Client {client.id}"
    voice.say(f"The client of {job_row.number} is {name} from now on; what was posted stands.")
    voice.note(
        "Copies of the book (the folder “copies” beside it, off-site copies) and files that were"
        " sent still hold the details; delete those yourself."
    )

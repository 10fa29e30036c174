"""`benchledger job redact`: the client's details taken out of the book, on request."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import JobName
from ledger.cli.opened import open_shop


def redact(
    job: JobName,
    yes: Annotated[bool, typer.Option("--yes", help="Do it; it cannot be undone.")] = False,
) -> None:
    """Take a client's name, address and contact out of the book; what was posted stays.

    Example: benchledger job redact bed --yes
    """
    from ledger.book.journal import REDACTED
    from ledger.errors import NotAllowed
    from ledger.jobs.jobs import client_of, find_job

    with open_shop() as book:
        found = find_job(book, job)
        client = client_of(book, found)
        if client is None or client.id is None:
            raise NotAllowed(f"{found.number} has no client; there is nothing to take out.")
        if client.redacted_on:
            raise NotAllowed(f"The client of {found.number} was taken out on {client.redacted_on}.")
        if not yes:
            raise NotAllowed(
                f"{client.name} would be taken out for good, of every job of theirs. If that is"
                f" right, say so: benchledger job redact {found.number} --yes"
            )
        with book.deed(REDACTED, found.number):
            book.redact_client(client.id)
        name = f"Client {client.id}"
    voice.say(f"The client of {found.number} is {name} from now on; what was posted stands.")
    voice.note(
        "Copies of the book (the folder “copies” beside it, off-site copies) and files that were"
        " sent still hold the details; delete those yourself."
    )

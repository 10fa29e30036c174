"""`benchledger backup`: a verified copy of the book."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.opened import book_path

app = typer.Typer(help="Copy the book to a new file, and verify the copy.")


@app.command()
def backup(file: Annotated[Path, typer.Argument(help="The copy; it must not exist yet.")]) -> None:
    """Copy the book to a new file, and verify the copy.

    Example: benchledger backup "shop 2025-05-31.sqlite"
    """
    from ledger.book.backup import back_up

    with voice.wait("Copying the book …"):
        back_up(book_path(), file)
    voice.say(f"A verified copy of {book_path()} stands in {file}.")
    voice.note("It holds your clients' details; keep it where only you can read it.")

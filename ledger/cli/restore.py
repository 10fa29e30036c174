"""`benchledger restore`: put a copy in the book's place."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.opened import book_path, open_shop, today

app = typer.Typer(help="Put a copy in the book's place; what stood there is kept.")


@app.command()
def restore(file: Annotated[Path, typer.Argument(help="The copy.")]) -> None:
    """Put a copy in the book's place; what stood there is kept beside it.

    Example: benchledger restore "shop 2025-05-31.sqlite"
    """
    from ledger.book.backup import restore as put_back

    with voice.wait("Verifying the copy …"):
        kept = put_back(book_path(), file, today())
    with open_shop() as book:
        last = book.deeds(1)[0]
    voice.say(f"{book_path()} is again as in {file}.")
    voice.say(f"Its last deed: {last.id} of {last.day}, {last.verb} {last.words}".rstrip() + ".")
    if kept is not None:
        voice.say(f"What it replaced is kept in {kept}.")

"""`benchledger new`: make a book."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import opened, voice

app = typer.Typer(help="Make a book for a workshop.")


@app.command()
def new(
    file: Annotated[Path | None, typer.Argument(help="The book's file.")] = None,
    shop: Annotated[str | None, typer.Option("--shop", help="Name of the workshop.")] = None,
    currency: Annotated[str, typer.Option(help="ISO 4217 code, for ever.")] = "USD",
    units: Annotated[str, typer.Option(help="inch or mm: what a bare number means.")] = "inch",
) -> None:
    """Make a book for a workshop, with the starting standards of time in it.

    Example: benchledger new shop.sqlite --shop "Quillhaven Workshop" --currency USD
    """
    from ledger.book import Book, create_book
    from ledger.labor.standards import load_starting_standards

    if shop is None:
        shop = typer.prompt("Name of the workshop")
    path = file or opened.book_path()
    settings = {"shop": shop, "currency": currency.upper(), "units": units}
    create_book(path, opened.today(), settings)
    with Book(path, opened.today(), opened.moment) as book:
        count = load_starting_standards(book)
    voice.say(f"A book for {shop} stands in {path} ({currency.upper()}, {units}).")
    voice.note(f"{count} starting standards of time are in it; your own hours will correct them.")

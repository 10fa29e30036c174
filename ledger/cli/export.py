"""`benchledger export`: everything as plain tables."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop
from ledger.measures.spoken import how_many

app = typer.Typer(help="Write every table of the book as a CSV file.")


@app.command()
def export(
    folder: Annotated[Path, typer.Argument(help="A folder that is new or empty.")],
    as_json: AsJson = False,
) -> None:
    """Write every table of the book as a CSV file, for any other program.

    Example: benchledger export tables-2025-05-31
    """
    from ledger.book.export import export_tables
    from ledger.book.photos import copy_photos
    from ledger.cli.printed import require_folder_name

    require_folder_name(folder)
    with open_shop() as book, voice.wait("Writing the tables …"):
        written = export_tables(book, folder)
        photos = copy_photos(book, folder / book.path.name)
    if as_json:
        voice.print_json({"folder": str(folder), "rows": dict(written)})
        return
    voice.table(["table", ">rows"], [[f"{name}.csv", str(rows)] for name, rows in written])
    if photos:
        voice.note(f"{how_many(photos, 'photo')} stand in it besides.")
    voice.note(f"{folder} holds your clients' details; keep it where only you can read it.")

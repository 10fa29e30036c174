"""`benchledger undo`: take an entry back."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop

app = typer.Typer(help="Take the last entry back, or one by its number.")

_ENTRY = "entry=id day verb words"


@app.command()
def undo(
    entry: Annotated[str, typer.Argument(help="Its number; the last one if left out.")] = "",
    why: Annotated[str, typer.Option(help="The reason, for who reads the book later.")] = "undo",
    listed: Annotated[bool, typer.Option("--list", help="Only show the last entries.")] = False,
    as_json: AsJson = False,
) -> None:
    """Take an entry back: it stays in the book, but no longer counts.

    Example: benchledger undo --why "typed twice"
    """
    if listed:
        _list(as_json=as_json)
        return
    if entry and not (entry.isascii() and entry.isdigit() and len(entry) < 10):
        raise typer.BadParameter(
            f"“{entry}” is not the number of an entry; see: benchledger undo --list"
        )
    from ledger.measures.plain import plain_fields
    from ledger.upkeep.undo import papers_untrue, take_back

    with open_shop() as book:
        back = take_back(book, int(entry) if entry else None, why.strip() or "undo")
        untrue = papers_untrue(book, back)
    if as_json:
        voice.print_json(plain_fields(back, _ENTRY))
        return
    voice.say(f"Taken back: entry {back.id} of {back.day}, {back.verb} {back.words}".rstrip() + ".")
    voice.warn(*untrue)


def _list(*, as_json: bool) -> None:
    from ledger.book.questions.entries import last_entries
    from ledger.labor.people import OWNER
    from ledger.measures.plain import plain_fields

    with open_shop() as book:
        entries = last_entries(book)
    if as_json:
        voice.print_json([
            plain_fields(entry, _ENTRY)
            | {"in_force": stands}
            | plain_fields(entry, "reverses why who")
            for entry, stands in entries
        ])  # fmt: skip
        return
    has_devices = any(entry.who != OWNER for entry, _ in entries)
    voice.table(
        [">entry", "day", *(["by"] if has_devices else []), "what was done", ""],
        [
            [str(entry.id), str(entry.day), *([entry.who] if has_devices else []),
             f"{entry.verb} {entry.words}", "" if stands else "undone"]
            for entry, stands in entries
        ],
    )  # fmt: skip

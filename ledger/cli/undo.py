"""`benchledger undo`: take a deed back."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop

app = typer.Typer(help="Take the last deed back, or one by its number.")


@app.command()
def undo(
    deed: Annotated[str, typer.Argument(help="Its number; the last one if left out.")] = "",
    why: Annotated[str, typer.Option(help="The reason, for who reads the book later.")] = "undo",
    listed: Annotated[bool, typer.Option("--list", help="Only show the last deeds.")] = False,
    as_json: AsJson = False,
) -> None:
    """Take a deed back: it stays in the book, but no longer counts.

    Example: benchledger undo --why "typed twice"
    """
    from ledger.upkeep.undo import take_back

    if listed:
        _list(as_json=as_json)
        return
    if deed and not (deed.isascii() and deed.isdigit() and len(deed) < 10):
        raise typer.BadParameter(
            f"“{deed}” is not the number of a deed; see: benchledger undo --list"
        )
    with open_shop() as book:
        back = take_back(book, int(deed) if deed else None, why.strip() or "undo")
    if as_json:
        facts = {"deed": back.id, "verb": back.verb, "words": back.words, "day": str(back.day)}
        voice.facts(facts)
        return
    voice.say(f"Taken back: deed {back.id} of {back.day}, {back.verb} {back.words}".rstrip() + ".")


def _list(*, as_json: bool) -> None:
    with open_shop() as book:
        rows = [(deed, book.is_in_force(deed.id or 0)) for deed in book.deeds(10)]
    if as_json:
        voice.facts(
            [
                {"deed": deed.id, "day": str(deed.day), "verb": deed.verb, "words": deed.words}
                | {"in_force": stands, "reverses": deed.reverses, "why": deed.why}
                for deed, stands in rows
            ]
        )
        return
    voice.table(
        [("deed", "right"), "day", "what was done", ""],
        [
            [str(deed.id), str(deed.day), f"{deed.verb} {deed.words}", "" if stands else "undone"]
            for deed, stands in rows
        ],
    )

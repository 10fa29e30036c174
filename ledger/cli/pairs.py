"""Options of the form NAME=VALUE, each name once."""

from collections.abc import Sequence

import typer


def read_pairs(texts: Sequence[str] | None) -> list[tuple[str, str]]:
    """The names and values of an option that may be given several times."""
    pairs = []
    for text in texts or ():
        name, mark, value = text.rpartition("=")
        if not mark or not name.strip():
            raise typer.BadParameter(f"“{text}” should read NAME=VALUE")
        pairs.append((name.strip(), value.strip()))
    names = [name for name, _ in pairs]
    for name in names:
        if names.count(name) > 1:
            raise typer.BadParameter(f"“{name}” is named twice")
    return pairs

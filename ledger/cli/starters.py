"""Starter designs at the terminal: which material serves each of their words, and from where."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import read_pairs

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.designs.words import ChosenMaterial

StarterName = Annotated[
    str, typer.Option("--starter", help="A design that comes with the program, such as bookcase.")
]
MaterialChoice = Annotated[
    list[str] | None,
    typer.Option("--material", metavar="WORD=CODE", help="What serves a starter design's word."),
]


def tell_chosen(chosen: Iterable["ChosenMaterial"]) -> None:
    """Say which material of the price list was taken for each word, and what else would fit."""
    for one in chosen:
        words = f"{one.word}: {one.material.code} {one.material.name}"
        if one.others:
            words += f' (or {", ".join(one.others[:4])}: --material "{one.word}=CODE")'
        voice.note(words)


def take(
    book: "Book",
    job: "Job",
    sized: tuple[str, str],
    values: list[str] | None,
    serving: list[str] | None,
    pieces: int,
) -> "tuple[ChosenMaterial, ...]":
    """Make a job of a starter design, `sized` as its name and overall size, of the book's stock.

    Raises:
        BadValue: the size is in doubt, or the design cannot be built so.

    """
    from ledger.verbs.starters import own_starter, sizes_for, take_starter

    name, size = sized
    own = own_starter(book, name, job.title, dict(read_pairs(serving)))
    parameters = dict(read_pairs(values))
    if size:
        placed, repeated = sizes_for(book, own.design, size)
        parameters = {**placed.values, **parameters}
        voice.note(repeated)
        voice.note(placed.words)
    voice.warn(*take_starter(book, job, own, parameters, pieces or 1))
    return own.chosen


def list_starters(*, as_json: bool) -> None:
    """List what comes with the program: starter designs, then sub-assemblies."""
    from ledger.workbooks.readers.design import STARTERS, SUB_ASSEMBLIES, names_of, sub_assembly
    from ledger.workbooks.readers.starters import starter

    rows = [(name, starter(name, "inch").title, "starter") for name in names_of(STARTERS)]
    rows += [
        (name, sub_assembly(name)[0].title, "sub-assembly") for name in names_of(SUB_ASSEMBLIES)
    ]
    if as_json:
        voice.print_json([dict(zip(("name", "title", "kind"), row, strict=True)) for row in rows])
        return
    voice.table(["name", "what it is", "kind"], [list(row) for row in rows])

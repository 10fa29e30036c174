"""Files whose headings are not understood: asked at a terminal, named by an option, remembered."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from ledger.cli import voice
from ledger.cli.answers import answered, can_ask
from ledger.errors import BadFile, BadValue

if TYPE_CHECKING:
    from ledger.book import Book

_EXAMPLE = 'write for example --columns "Stk=quantity", or "Brand=-" for one that is left out'


def read_asking[T](
    book: "Book",
    file_kind: str,
    columns: Sequence[str] | None,
    read: Callable[[Mapping[str, str]], T],
    source: str = "",
) -> T:
    """Read a file; headings that are not understood are asked for, and kept in the book.

    `read` is handed the columns by headings: those remembered for this kind of file and source,
    and those that `columns` says (`HEADING=COLUMN`).

    Raises:
        BadFile: with everything that is wrong in the file, and how to name its headings.
        BadValue: an option does not read HEADING=COLUMN.

    """
    from ledger.book.headings import headings_of, remember_headings

    new = dict(_pair(text) for text in columns or [])
    while True:
        try:
            result = read(headings_of(book, file_kind, source) | new)
        except BadFile as refusal:
            open_ = {text: near for text, near in refusal.headings.items() if text not in new}
            if not open_:
                raise
            if not can_ask():
                raise _with_remedy(refusal) from refusal
            new |= {text: _asked(text, near, refusal.columns) for text, near in open_.items()}
            continue
        kept = remember_headings(book, file_kind, source, new)
        for heading, name in kept.items():
            meant = "is left out" if name == "-" else f"means {name}"
            of = f" of {source}" if source else ""
            voice.note(f"Remembered for every {file_kind}{of}: {heading} {meant}.")
        return result


def _pair(text: str) -> tuple[str, str]:
    heading, mark, name = text.rpartition("=")
    if not (mark and heading.strip() and name.strip()):
        raise BadValue(f"“{text}” should read HEADING=COLUMN; {_EXAMPLE}.")
    return heading.strip(), name.strip()


def _with_remedy(refusal: BadFile) -> BadFile:
    """The refusal with one more line: how the headings are named."""
    heading, near = next(iter(refusal.headings.items()))
    name = near[0] if near else refusal.columns[0]
    line = (
        f'Say what a heading means, and it is remembered: --columns "{heading}={name}", or'
        f' --columns "{heading}=-" to leave it out. Columns: {", ".join(refusal.columns)}.'
    )
    return BadFile(refusal.faults, refusal.headings, refusal.columns, line)


def _asked(heading: str, near: tuple[str, ...], columns: Sequence[str]) -> str:
    """Which column a heading means, by the one who sits at the terminal; `-` leaves it out."""
    voice.note(f"Columns: {', '.join(columns)}; or - to leave it out.")

    def read(text: str) -> str:
        if text != "-" and text not in columns:
            raise BadValue(f"“{text}” is none of the columns; write one of them, or -.")
        return text

    likely = f" (likely {' or '.join(near)})" if near else ""
    usual = near[0] if near else "-"
    name = answered(f"What does the heading “{heading}” mean?{likely}", usual, read)
    if name is None:
        raise BadValue(f"The heading “{heading}” is not answered; {_EXAMPLE}.")
    return name

"""The one voice: everything the program says goes through here, and nothing else touches rich.

Facts go to stdout, notes and refusals to stderr. Piped output is plain and 80 columns wide; color
is never the only carrier of a meaning. Names come from the owner's files: they are shown as text,
never read as markup, and control characters in them are shown as `?`.
"""

import os
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:  # rich is imported when something is said: help comes without it
    from rich.console import Console

type Justify = Literal["left", "right"]


def _console(stderr: bool = False) -> "Console":
    from rich.console import Console

    stream = sys.stderr if stderr else sys.stdout

    class Paper(Console):
        """A console that leaves a reader who went away to the root command."""

        def on_broken_pipe(self) -> None:
            raise BrokenPipeError

    paper = Paper(stderr=stderr, width=_width(stream), highlight=False, markup=False, emoji=False)
    paper.width = max(NARROWEST, paper.width)
    return paper


NARROWEST = 40
"""Columns below which words would be left out; a terminal that has less breaks the lines itself."""


def _width(stream: Any) -> int | None:
    """The columns that `COLUMNS` asks for, else those of the terminal (None), else 80."""
    said = os.environ.get("COLUMNS", "")
    if said.isascii() and said.isdigit() and 0 < int(said) < 10_000:
        return max(NARROWEST, int(said))
    return None if stream.isatty() else 80


def _print(text: str, style: str, *, stderr: bool = False, soft_wrap: bool = False) -> None:
    stream = sys.stderr if stderr else sys.stdout
    if not stream.isatty() and (soft_wrap or _fits(text, _width(stream) or 80)):
        stream.write(_plain(text, stream.encoding) + "\n")  # in a pipe: no need to load rich
        return
    from rich.text import Text

    console = _console(stderr)
    console.print(Text(_plain(text, console.encoding), style=style), soft_wrap=soft_wrap)


def _fits(text: str, width: int) -> bool:
    return text.isascii() and "\t" not in text and max(map(len, text.split("\n"))) <= width


def _plain(text: str, encoding: str | None) -> str:
    shown = "".join("?" if _is_control(ord(letter)) else letter for letter in text)
    shown = shown.translate(_DIRECTIONS)
    encoding = encoding or "utf-8"
    if "utf" in encoding.casefold():
        return shown
    return shown.translate(_ASCII).encode(encoding, "replace").decode(encoding)


def _is_control(code: int) -> bool:
    """Control characters (line feed and tab aside), and the halves that no text may hold alone."""
    return (code < 32 and code not in (9, 10)) or 127 <= code < 160 or 0xD800 <= code < 0xE000


_DIRECTIONS = dict.fromkeys([*range(0x202A, 0x202F), *range(0x2066, 0x206A)])
"""Invisible marks that turn the direction of writing: dropped, a name could hide behind them."""

_ASCII = str.maketrans({
    "×": "x", "−": "-", "–": "-", "—": "-", "“": '"', "”": '"', "‘": "'", "’": "'", "…": "...",
    "·": "-", "→": "->", "≤": "<=", "≥": ">=", "²": "2", "³": "3", "÷": "/", "½": "1/2",
    "█": "#", "▌": "#", "░": ".", "│": "|", "─": "-", "✓": "ok", "≈": "~",
})  # fmt: skip


def shown(text: str) -> str:
    """A text as a note may say it, where somebody else says it."""
    return _plain(text, sys.stderr.encoding)


def say(text: str = "", style: str = "") -> None:
    """Say a fact: a line (or lines) on stdout, wrapped at the width."""
    _print(text, style)


def heading(text: str) -> None:
    """Say what the following lines are about."""
    say(text, style="bold")


def note(text: str) -> None:
    """Say something beside the facts: on stderr, so that pipes stay clean."""
    _print(text, "dim", stderr=True)


def warn(text: str) -> None:
    """Say a warning: on stderr, marked in words."""
    _print(f"Note: {text}", "yellow", stderr=True)


def refuse(text: str) -> None:
    """Say why the command was refused: on stderr."""
    _print(text, "bold red", stderr=True, soft_wrap=True)


def facts(values: Any) -> None:
    """Say facts as JSON on stdout, UTF-8 characters as they are where the stream can carry them."""
    import json

    encoding = (getattr(sys.stdout, "encoding", None) or "utf-8").casefold()
    text = json.dumps(values, ensure_ascii="utf" not in encoding, indent=2)
    sys.stdout.write(text + "\n")


def table(
    columns: Sequence[str | tuple[str, Justify]],
    rows: Sequence[Sequence[str]],
    *,
    title: str = "",
    footer: Sequence[str] | None = None,
) -> None:
    """Say rows as a table; a column is its heading, or (heading, "right") for figures.

    Figures never wrap; words take what is left of the width.
    """
    from rich.table import Table
    from rich.text import Text

    console = _console()
    grid = Table(
        box=None, pad_edge=False, show_footer=footer is not None, header_style="bold",
        show_header=any(_column(column)[0] for column in columns),
        title=Text(_plain(title, console.encoding), style="bold") if title else None,
        title_justify="left",
    )  # fmt: skip
    for number, column in enumerate(columns):
        name, justify = _column(column)
        foot = _plain(footer[number], console.encoding) if footer else ""
        grid.add_column(
            Text(_plain(name, console.encoding)), Text(foot, style="bold"), justify=justify,
            no_wrap=justify == "right", overflow="fold",
        )  # fmt: skip
    for row in rows:
        grid.add_row(*(Text(_plain(cell, console.encoding)) for cell in row))
    console.print(grid)


def _column(column: str | tuple[str, Justify]) -> tuple[str, Justify]:
    return (column, "left") if isinstance(column, str) else column


def pairs(values: Mapping[str, str]) -> None:
    """Say a few named facts, one a line, values aligned."""
    table(["", ""], [[f"{name}:", value] for name, value in values.items()])


def bar(share: float, width: int = 20) -> str:
    """A bar for a share between 0 and 1 (longer ones are cut), in blocks that print anywhere."""
    return "█" * max(0, min(width, round(share * width)))


@contextmanager
def wait(words: str) -> Iterator[Callable[[str], None]]:
    """Show that work is going on, on a terminal only; a pipe sees nothing.

    What is given can be told how far it is: its words stand behind the first ones.
    """
    if not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield lambda _: None
        return
    console = _console(stderr=True)
    with console.status(_plain(words, console.encoding)) as status:
        yield lambda more: status.update(_plain(f"{words} {more}", console.encoding))

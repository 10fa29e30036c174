"""The one voice: everything the program says goes through here, and nothing else touches rich.

Facts go to stdout, notes and refusals to stderr. Piped output is plain and 80 columns wide; color
is never the only carrier of a meaning. Names come from the owner's files: they are shown as text,
never read as markup, and control characters in them are shown as `?`.
"""

import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Literal

from ledger.measures.custom import COMMA, JOINER, POINT, with_comma
from ledger.measures.letters import UNSEEN

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


MOST_KEPT = 12
"""Letters of a word that stay together in a narrow column."""

MOST_FIGURES = 30
"""Letters of a word with figures in it that stay together; in a column of figures all do."""


def _width(stream: Any) -> int | None:
    """The columns that `COLUMNS` asks for, else those of the terminal (None), else 80."""
    text = os.environ.get("COLUMNS", "")
    if text.isascii() and text.isdigit() and 0 < int(text) < 10_000:
        return max(NARROWEST, int(text))
    return None if stream.isatty() else 80


def _print(
    text: str, style: str, *, stderr: bool = False, soft_wrap: bool = False, marked: str = ""
) -> None:
    """Print a text in a style; where it begins with `marked`, that word alone in yellow."""
    stream = sys.stderr if stderr else sys.stdout
    if not stream.isatty() and (soft_wrap or _fits(text, _width(stream) or 80)):
        stream.write(_plain(text, stream.encoding) + "\n")  # in a pipe: no need to load rich
        return
    from rich.text import Text

    console = _console(stderr)
    line = Text(_plain(text, console.encoding), style=style)
    line.stylize("yellow", 0, len(marked))
    console.print(line, soft_wrap=soft_wrap)


def _fits(text: str, width: int) -> bool:
    return text.isascii() and "\t" not in text and max(map(len, text.split("\n"))) <= width


_written: list[tuple[str, int]] = [(POINT, 2)]


def write_numbers(mark: str, digits: int) -> None:
    """Write decimals with this mark from now on; `digits` are those of the book's currency."""
    _written[:] = [(mark, digits)]


def _plain(text: str, encoding: str | None) -> str:
    if _written[0][0] == COMMA:
        text = with_comma(text, _written[0][1])
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


def say_all(texts: Iterable[str]) -> None:
    """Say facts, a line each."""
    for text in texts:
        say(text)


def heading(text: str) -> None:
    """Say what the following lines are about."""
    say(text, style="bold")


def note(*texts: str) -> None:
    """Say things beside the facts, a line each: on stderr, so that pipes stay clean."""
    for text in texts:
        _print(text, "dim", stderr=True)


def warn(*texts: str) -> None:
    """Say warnings, a line each: on stderr, marked in words."""
    for text in texts:
        _print(f"Note: {text}", "", stderr=True, marked="Note:")


def refuse(text: str) -> None:
    """Say why the command was refused: on stderr."""
    _print(text, "bold red", stderr=True, soft_wrap=True)


def print_json(values: Any) -> None:
    """Say facts as JSON on stdout, UTF-8 characters as they are where the stream can carry them.

    What a terminal would obey, or nobody would see, is escaped in any case.
    """
    import json

    encoding = (getattr(sys.stdout, "encoding", None) or "utf-8").casefold()
    text = json.dumps(values, ensure_ascii="utf" not in encoding, indent=2).replace(JOINER, "")
    text = UNSEEN.sub(lambda sign: f"\\u{ord(sign[0]):04x}", text)
    sys.stdout.write(text + "\n")


def width() -> int:
    """The columns of the page that facts are said on."""
    return _width(sys.stdout) or _console().width


def table(
    columns: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    title: str = "",
    footer: Sequence[str] | None = None,
) -> None:
    """Say rows as a table; a column is its heading, with `>` before it for figures.

    A heading that is a name of the owner's stands behind `<`, whatever it begins with.

    Figures are never broken; headings and words take what is left of the width. Where not even
    that is enough, each row is said as lines of its own: heading, colon, cell.
    """
    from rich.table import Table
    from rich.text import Text

    console = _console()
    clean = [[_plain(cell, console.encoding) for cell in row] for row in [*rows, *_given(footer)]]
    named = [_column(column) for column in columns]
    heads = [_plain(name, console.encoding) for name, _ in named]
    if title:
        console.print(Text(_plain(title, console.encoding), style="bold"))
    wides = _widths(heads, clean, [justify for _, justify in named], console.width)
    if wides is None:
        _say_records(console, heads, clean)
        return
    foot = clean.pop() if footer else None
    grid = Table(
        box=None, pad_edge=False, show_footer=foot is not None, header_style="bold",
        show_header=any(heads),
    )  # fmt: skip
    for number, (_, justify) in enumerate(named):
        grid.add_column(
            Text(heads[number]), Text(foot[number] if foot else "", style="bold"), justify=justify,
            overflow="fold", width=wides[number],
        )  # fmt: skip
    for row in clean:
        grid.add_row(*map(Text, row))
    console.print(grid)
    if not rows and foot is None:
        console.print("(none)")


def _given(footer: Sequence[str] | None) -> Sequence[Sequence[str]]:
    return () if footer is None else (footer,)


def _widths(
    heads: Sequence[str], rows: Sequence[Sequence[str]], justifies: Sequence[Justify], page: int
) -> list[int] | None:
    """How wide each column is, with every figure whole; None if that is wider than the page."""
    from rich.cells import cell_len

    wides, least = [], []
    for head, justify, *cells in zip(heads, justifies, *rows, strict=True):
        lines = [line for text in cells for line in text.split("\n")]
        whole = max(map(cell_len, lines), default=0)
        words = [word for line in lines for word in line.split()]
        figures = [
            min(cell_len(word), MOST_FIGURES) for word in words if any(map(str.isdigit, word))
        ]
        others = [min(cell_len(word), MOST_KEPT) for word in [*words, *head.split()]]
        needed = max([*figures, *others], default=0)
        wides.append(max(whole, cell_len(head)))
        least.append(max(whole, needed) if justify == "right" else min(needed, wides[-1]))
    room = page - 2 * len(heads)  # a space on both sides of each column
    if sum(least) > room:
        return None
    while sum(wides) > room:
        widest = max(range(len(wides)), key=lambda at: (wides[at] > least[at], wides[at]))
        wides[widest] -= 1
    return wides


def _say_records(console: "Console", heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Say each row as lines: its first cell, and the others below it, empty ones left out."""
    from rich.text import Text

    for row in rows:
        cells = [(head, cell) for head, cell in zip(heads, row, strict=True) if cell]
        for number, (head, cell) in enumerate(cells):
            indent = "  " if number else ""
            line = f"{head}: {cell}" if head else cell
            text = Text(indent + line.replace("\n", f"\n{indent}"), overflow="fold")
            console.print(text)


def _column(heading: str) -> tuple[str, Justify]:
    """The words of a heading, and at which edge its column stands."""
    words = heading[1:] if heading.startswith(("<", ">")) else heading
    return words, "right" if heading.startswith(">") else "left"


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

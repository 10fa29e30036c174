"""The cuts of one sheet as lines to tick below its drawing, in two columns."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from ledger.cutting.apart import Cut
from ledger.cutting.lettering import LEAST, text
from ledger.cutting.lines import cut_lines, line_words
from ledger.cutting.problem import Show

MARGIN = 45
LINE = 17
"""From line to line of the list, in points."""

LETTERS = 50
"""So many letters of a line find room in one of its two columns."""

type Column = Sequence[tuple[bool, str]]
"""Lines, each with whether it begins with a box."""


def ticked(cuts: Sequence[Cut], show: Show) -> tuple[Column, Column]:
    """Give the lines of the list in two columns."""
    rows = []
    for line in cut_lines(cuts):
        words = f"{line.numbers}  {line_words(line, show)}"
        rows += [(at == 0, part) for at, part in enumerate(wrap(words, LETTERS))]
    half = (len(rows) + 1) // 2
    while half < len(rows) and not rows[half][0]:
        half += 1
    return rows[:half], rows[half:]


def boxes(columns: Sequence[Column], length: float, top: float) -> Iterator[str]:
    """Draw the columns below a drawing of a length, each line that begins one with its box."""
    for column, rows in enumerate(columns):
        x = MARGIN + column * (length / 2 + 8)
        for at, (is_first, words) in enumerate(rows):
            y = top + LINE * (at + 1)
            if is_first:
                yield (
                    f'<rect x="{x:.1f}" y="{y - 10:.1f}" width="10" height="10" fill="none" '
                    'stroke="black"/>'
                )
            yield text(x + 15, y, LEAST, words, "start")

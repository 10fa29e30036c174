"""A design that was written in inches, in round millimeters."""

from dataclasses import replace
from fractions import Fraction

from ledger.designs.cells import is_plain, read_cell
from ledger.designs.model import Design
from ledger.designs.tree import Literal
from ledger.measures.length import Length, show_length
from ledger.measures.rounding import half_up_whole

_STEPS = ((100, Fraction(10)), (20, Fraction(1)), (2, Fraction(1, 2)), (0, Fraction(1)))
"""From how many millimeters on a size is rounded, and to how many."""


def in_millimeters(design: Design) -> Design:
    """A design with its plain sizes in round millimeters; formulas stay as they are.

    From 100 mm on they are whole centimeters, from 20 mm millimeters, from 2 mm half ones.
    """
    return replace(
        design,
        units="mm",
        parameters=tuple(
            replace(
                row,
                value=rounded(row.value),
                minimum=rounded(row.minimum),
                maximum=rounded(row.maximum),
            )
            for row in design.parameters
        ),
    )


def rounded(text: str) -> str:
    """A plain length in round millimeters; any other text as it is.

    >>> [rounded(text) for text in ("36 in", "23/32 in", "1/16 in", "5", "2*ply_t", "0 in")]
    ['910 mm', '18.5 mm', '2 mm', '5', '2*ply_t', '0 mm']
    """
    node = read_cell(text) if text and is_plain(text) else None
    if not isinstance(node, Literal) or node.measure.power != 1:
        return text
    millimeters = node.measure.value / 1_000_000
    step = next(step for least, step in _STEPS if millimeters >= least)
    return show_length(Length.of(half_up_whole(millimeters / step) * step, "mm"), "mm", suffix=True)

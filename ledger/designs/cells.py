"""What a cell of a design holds: a plain value as people write it, or a formula.

A cell without names, parentheses or signs between values is a plain value and is read as it is
spoken, so `63-11/16` is 63.6875 and never 63 less 11/16. Everything else is a formula.
"""

import re
from fractions import Fraction

from ledger.designs.formula import UNITS, read_formula
from ledger.designs.tree import Literal, Measure, Node
from ledger.errors import BadValue
from ledger.measures.area import Area, show_area
from ledger.measures.length import Length, parse_length, show_length
from ledger.measures.rounding import half_up, half_up_whole, trimmed
from ledger.measures.spoken import quoted, read_number, tidy

_SIGNS = re.compile(r"[*×÷+()<>=!]|\s[-−–/]\s")
_WORD = re.compile(r"[^\W\d¼-¾⅐-⅟][^\W¼-¾⅐-⅟]*")
_HINT = "write a number such as 4 or 2-1/2, a length with its unit, or a formula"


def is_plain(text: str) -> bool:
    r"""Whether a cell is a plain value, not a formula.

    >>> [is_plain(text) for text in ("60 in", "63-11/16", "9", "4' 6\"", "2*gap", "a - 1/8 in")]
    [True, True, True, True, False, False]
    """
    words = _WORD.findall(text.lower())
    return not _SIGNS.search(text) and all(word in UNITS for word in words)


def read_cell(text: str, bare: str | None = None) -> Node:
    """Read a cell; `bare` (inch or mm) is the unit of a bare number where a length is wanted.

    >>> read_cell("63-11/16", "inch").measure == read_cell("63.6875 in").measure
    True
    >>> read_cell("2-1/2").measure
    Measure(value=Fraction(5, 2), power=0)
    """
    if not is_plain(text):
        return read_formula(text)
    tidied = tidy(text, _HINT)
    if tidied.startswith("-"):
        raise BadValue(f"{quoted(text)} is negative; {_HINT}.")
    number = read_number(tidied)
    if number is not None and bare is None:
        return Literal(text, Measure(number, 0))
    if number is None and not _WORD.search(text) and not set(text) & set("\"'”″’′"):
        raise BadValue(f"{quoted(text)} is not a value; {_HINT}.")
    return Literal(text, Measure(Fraction(parse_length(text, bare).nm), 1))


def show_measure(measure: Measure, units: str) -> str:
    """Show a value in the units of the design.

    >>> show_measure(Measure(Fraction(19, 2), 0), "inch")
    '9.5'
    >>> show_measure(read_cell("63-11/16 in").measure, "inch")
    '63-11/16 in'
    """
    if measure.power == 0:
        return f"{trimmed(half_up(measure.value, 4)):f}"
    if measure.power == 1:
        return show_length(Length(half_up_whole(measure.value)), units, suffix=True)
    return show_area(Area(half_up_whole(measure.value)), units)

"""Board-foot tallies: rough boards counted by their sizes, as the yard does it."""

import re
from fractions import Fraction

from ledger.errors import BadValue
from ledger.measures.length import Length, parse_size
from ledger.measures.quantity import Quantity
from ledger.measures.units import board_feet

_BOARD = re.compile(r"(?:(?P<count>\d+)\s*@)?\s*(?P<sizes>[^@]+)")
_QUARTERS = re.compile(r"(\d+)/4")
ONE_INCH = Length.of(1, "in")


def read_tally(text: str, units: str) -> Quantity:
    """Read a tally such as `4/4 x 4-1/2 x 96; 2 @ 8/4 x 6 x 72` in board feet.

    Sizes are rough; stock under 4/4 counts as one inch. The boards are added up exactly and rounded
    once; what the yard rounds a tally to is its own, and stands on its document.

    >>> read_tally("4/4 x 4-1/2 x 96", "inch"), read_tally("2 @ 3/4 in x 6 in x 8 ft", "mm")
    (Quantity(millionths=3000000), Quantity(millionths=8000000))
    >>> read_tally("4/4 x 6", "inch")
    Traceback (most recent call last):
    ledger.errors.BadValue: “4/4 x 6” is not a board; write thickness x width x length, such as \
4/4 x 4-1/2 x 96.
    """
    boards = [piece.strip() for piece in text.split(";") if piece.strip()]
    return Quantity.of(sum((_feet(board, units) for board in boards), Fraction(0)))


def _feet(text: str, units: str) -> Fraction:
    match = _BOARD.fullmatch(text)
    sizes = [size.strip() for size in re.split("[x×]", match["sizes"])] if match else []
    if match is None or len(sizes) != 3:
        raise BadValue(
            f"“{text}” is not a board; write thickness x width x length, such as 4/4 x 4-1/2 x 96."
        )
    quarters = _QUARTERS.fullmatch(sizes[0])
    rough = (
        Length.of(Fraction(int(quarters[1]), 4), "in") if quarters else parse_size(sizes[0], units)
    )
    width, length = (parse_size(size, units) for size in sizes[1:])
    return int(match["count"] or 1) * board_feet(max(rough, ONE_INCH), width, length)

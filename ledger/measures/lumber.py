"""Board feet: how lumber is tallied, on its rough size, how it is dressed, and cut oversize."""

from fractions import Fraction

_INCH = 25_400_000
OVER_LENGTH_NM = _INCH
OVER_WIDTH_NM = _INCH // 4
"""An inch longer and a quarter inch wider before dressing: common practice, no source."""


def board_feet(thickness_nm: int, width_nm: Fraction | int, length_nm: int) -> Fraction:
    """Tally a rough board: thickness × width × length ÷ 144 in inches; under 4/4 counts as 1 in.

    >>> board_feet(_INCH, 9 * _INCH // 2, 96 * _INCH)
    Fraction(3, 1)
    """
    return max(thickness_nm, _INCH) * Fraction(width_nm) * length_nm / (144 * _INCH**3)


def dressed(rough_nm: int) -> int:
    """Say how thick a rough board ends: under 5/4 it loses 3/16 in, thicker stock 1/4 in.

    >>> dressed(_INCH) == 13 * _INCH // 16, dressed(2 * _INCH) == 7 * _INCH // 4
    (True, True)
    """
    return rough_nm - (3 * _INCH // 16 if rough_nm < 5 * _INCH // 4 else _INCH // 4)

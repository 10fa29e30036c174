"""Rules of thumb that turn a parts list into counts, each with where it comes from.

They are pure arithmetic; a count that the design fixes always wins over the rule.
"""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor

from ledger.designs.built import BuiltCoat
from ledger.measures.area import Area
from ledger.measures.length import Length

_SQUARE_FOOT = Length.of(1, "ft") * Length.of(1, "ft")
DISC_RAW = 25
DISC_BETWEEN = 40
GRITS = 2


def pocket_holes(length: Length) -> int:
    """Holes along a joint: the first 1 to 2 in from an end, then 6 to 8 in apart, never under two.

    `max(2, ceil((L - 3) / 7) + 1)` with L in inches. The spacing is common practice, as told in
    makers' articles on pocket-hole joints; the formula is this house's reading of it.

    >>> [pocket_holes(Length.of(inches, "in")) for inches in (2, 6, 12, 30, 61)]
    [2, 2, 3, 5, 10]
    """
    return max(2, ceil((length.inches - 3) / 7) + 1)


def dowels(length: Length) -> int:
    """Dowels along a joint, about every 3 in and never under two: common practice, no source.

    >>> [dowels(Length.of(inches, "in")) for inches in (2, 8, 12)]
    [2, 3, 4]
    """
    return max(2, floor((length.inches - 2) / 3) + 1)


def abrasive_discs(area: Area, coats: int) -> Fraction:
    """Five-inch discs: one per 25 sq ft of raw wood and grit (two grits), one per 40 between coats.

    Common practice, no source; makers report 20 to 50 sq ft for a coarse disc. A shop that counts
    its own discs writes its own formula in the design instead.

    >>> abrasive_discs(200 * _SQUARE_FOOT, coats=3)
    Fraction(26, 1)
    """
    feet = Fraction(area.nm2, _SQUARE_FOOT.nm2)
    return feet * GRITS / DISC_RAW + feet * max(coats - 1, 0) / DISC_BETWEEN


def scuffed(area: Area, coats: Sequence[BuiltCoat]) -> Area:
    """What is scuffed between coats: the area once for every gap between two coats on it.

    All coats without an area of their own lie on the finished faces, one over the other.

    >>> finish = [BuiltCoat("SEAL", 1, "spray"), BuiltCoat("SATIN", 2, "spray")]
    >>> scuffed(_SQUARE_FOOT, finish) == 2 * _SQUARE_FOOT
    True
    """
    shared = sum(coat.coats for coat in coats if coat.area is None)
    areas = (coat.area * (coat.coats - 1) for coat in coats if coat.area is not None)
    return sum(areas, area * max(shared - 1, 0))


def sprayed(area: Area, coats: Sequence[BuiltCoat]) -> Area:
    """What goes through the spray gun: area times coats, brushed coats left out."""
    spray = (coat for coat in coats if coat.method == "spray")
    return sum(((area if c.area is None else c.area) * c.coats for c in spray), Area(0))

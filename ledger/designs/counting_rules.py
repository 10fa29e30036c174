"""Rules of thumb that turn a parts list into counts, each with where it comes from.

They are pure arithmetic; a count that the design fixes always wins over the rule.
"""

from collections.abc import Container, Sequence
from fractions import Fraction
from math import ceil, floor

from ledger.designs.built import BuiltBand, BuiltCoat, BuiltPart
from ledger.designs.wood import Board
from ledger.measures.area import Area
from ledger.measures.length import Length
from ledger.measures.lumber import OVER_LENGTH_NM, OVER_WIDTH_NM, board_feet

_SQUARE_FOOT = Length.of(1, "ft") * Length.of(1, "ft")
DISC_RAW = 25
DISC_BETWEEN = 40
GRITS = 2
GRITS_SOLID = 4

STRIP_OVER = Length.of(6, "in")
FLUSH = Length.of(Fraction(1, 16), "in")
"""How much longer and thicker a strip of solid edging is cut: common practice, no source."""

LEAST_CORNER = Length.of(Fraction(5, 2), "in")
"""A narrower dovetail corner takes as long as this one: common practice, no source."""


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


def abrasive_discs(sheet: Area, solid: Area, gaps: Area) -> Fraction:
    """Five-inch discs: one per 25 sq ft of raw wood and grit, one per 40 sq ft between coats.

    Sheets get two grits, solid wood four; `gaps` is the area that is scuffed. Common practice, no
    source; makers report 20 to 50 sq ft for a coarse disc. A shop that counts its own discs writes
    its own formula in the design instead.

    >>> abrasive_discs(200 * _SQUARE_FOOT, Area(0), 400 * _SQUARE_FOOT)
    Fraction(26, 1)
    """
    raw = sheet.square_feet * GRITS + solid.square_feet * GRITS_SOLID
    return raw / DISC_RAW + gaps.square_feet / DISC_BETWEEN


def blank_feet(part: BuiltPart, board: Board) -> Fraction:
    """Board feet of a solid part as it goes over the jointer: each strip cut oversize.

    It is not what is bought: waste does not go over the jointer.
    """
    more = part.oversize.nm if part.oversize else 0
    length = part.length.nm + (more or OVER_LENGTH_NM)
    width = Fraction(part.width.nm, part.strips) + (more or OVER_WIDTH_NM)
    return part.quantity * part.strips * board_feet(board.rough.nm, width, length)


def net_feet(part: BuiltPart, board: Board) -> Fraction:
    """Board feet of a solid part as it is finished, in the rough thickness of its material."""
    return part.quantity * board_feet(board.rough.nm, part.width.nm, part.length.nm)


def edging_feet(band: BuiltBand, board: Board) -> Fraction:
    """Board feet of the strips of solid edging, ripped from a board of their material."""
    length = band.length + STRIP_OVER * band.edges
    return board_feet(board.rough.nm, band.strip.nm, length.nm)


def scuffed(area: Area, coats: Sequence[BuiltCoat], films: Container[str] = ()) -> Area:
    """What is scuffed between coats: the area once for every gap between two film coats on it.

    All coats without an area of their own lie on the finished faces, one over the other. A coat
    that is wiped on and off builds no film and is not scuffed, unless its material is of `films`.

    >>> finish = [BuiltCoat("SEAL", 1, "spray"), BuiltCoat("SATIN", 2, "spray")]
    >>> scuffed(_SQUARE_FOOT, finish) == 2 * _SQUARE_FOOT
    True
    """
    film = [coat for coat in coats if coat.method != "wipe" or coat.material in films]
    shared = sum(coat.coats for coat in film if coat.area is None)
    own = (coat.area * (coat.coats - 1) for coat in film if coat.area is not None)
    return sum(own, area * max(shared - 1, 0))


def coated(area: Area, coats: Sequence[BuiltCoat], method: str) -> Area:
    """What is sprayed, brushed or wiped: area times coats of that method."""
    by_method = (coat for coat in coats if coat.method == method)
    return sum(((area if c.area is None else c.area) * c.coats for c in by_method), Area(0))

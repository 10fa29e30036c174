"""A rough price for the first telephone call: the nearest past jobs, scaled by size. Pure.

A piece is described in words, "bookcase 84x40x12 oak": what it is, its sizes in any order, what it
is made of. The nearest past jobs are those of the same kind of piece, then of like size. A price
grows with a root of the size's growth, because set-up, drawings, trips and the number of parts of
one piece do not grow with it: the square root where more bays come with the size (casework), the
fourth root for a single piece. Both were tried on a built-in and on a table worked out at several
sizes; *no published source*. The range runs from the lowest to the highest of the scaled prices and
is never narrower than 15 % either way: it is for the telephone, never for a quote. Hours of the
same kind of piece are scaled alike; a job without a price has its hours to say only.
"""

import re
from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from itertools import takewhile
from math import log

from msgspec import Struct

from ledger.designs.kinds import starter_for
from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up_whole
from ledger.measures.several import pieces_said
from ledger.measures.sizes import SpokenSizes, read_title
from ledger.measures.spoken import how_many

_LOAD = "benchledger job load FILE"
NEAREST = 3
LEAST_SPREAD = Fraction(15, 100)
MOST_GROWTH = Fraction(8)
"""How many times larger or smaller another kind of piece may be (*common practice, no source*)."""
GROWTH_OF_CASEWORK, GROWTH_OF_A_PIECE = 0.5, 0.25
"""The exponents by which a price follows the size of its piece."""

_CASEWORK = {"bookcase", "bookshelf", "built", "builtin", "cabinet", "closet", "console"}
_CASEWORK |= {"cupboard", "kitchen", "library", "pantry", "shelf", "shelving", "wardrobe"}
_MATERIALS = {"ash", "beech", "birch", "cherry", "maple", "mdf", "melamine", "oak", "pine"}
_MATERIALS |= {"ply", "plywood", "poplar", "solid", "teak", "veneer", "walnut"}
_SMALL = {"a", "an", "and", "for", "in", "of", "on", "or", "the", "to", "with"}


class DescribedPiece(Struct, frozen=True):
    """What a description says: the kind of piece, its sizes from large to small, its materials.

    `number` is how many alike there are, `kind` the words of the kind in their order, as written;
    `family` is the starter design of that kind, as the review counts kinds of pieces, or nothing.
    """

    words: frozenset[str]
    sizes: tuple[Length, ...]
    materials: frozenset[str]
    number: int = 1
    kind: str = ""
    family: str = ""

    def is_of_kind(self, other: "DescribedPiece") -> bool:
        """Whether two pieces are of a kind: a word of theirs is, or the starter design of both."""
        return bool(self.words & other.words or (self.family and self.family == other.family))

    def is_comparable(self, other: "DescribedPiece") -> bool:
        """Whether one may be so many times as large as the other: both say as many sizes."""
        return bool(self.sizes) and len(self.sizes) == len(other.sizes)


class PricedPiece(Struct, frozen=True):
    """A finished job with its price, None where it is not known, and the minutes it took."""

    job: str
    title: str
    done: date
    price: Money | None
    minutes: int
    piece: DescribedPiece


class NearJob(Struct, frozen=True):
    """A past job that speaks for the new piece: what it cost then, scaled, and why it is near."""

    past: PricedPiece
    price: Money
    scaled: Money
    scale: Fraction
    reasons: tuple[str, ...]


class RoughPrice(Struct, frozen=True):
    """A range for the telephone and the jobs it comes from, nearest first.

    `minutes` are the least and the most that the nearest of the same kind would take at this size,
    `timed` how many these are; `unpriced` are jobs of the kind whose price is not known.
    """

    low: Money
    high: Money
    middle: Money
    near: tuple[NearJob, ...]
    is_same_kind: bool
    minutes: tuple[int, int] | None = None
    timed: int = 0
    unpriced: tuple[str, ...] = ()


def read_piece(text: str, units: str) -> DescribedPiece:
    """Read a description; a bare size is in the book's units.

    >>> piece = read_piece("Bookcase 72x36x12 birch, 5 shelves", "inch")
    >>> sorted(piece.words), [size.inches for size in piece.sizes], sorted(piece.materials)
    (['bookcase'], [Fraction(72, 1), Fraction(36, 1), Fraction(12, 1)], ['birch'])
    >>> chairs = read_piece("6 dining chairs in oak", "inch")
    >>> chairs.number, chairs.kind, sorted(chairs.words)
    (6, 'dining chairs', ['chair', 'dining'])
    """
    number, one = pieces_said(text)
    read = read_title(one, units)
    spoken = {_singular(word) for word in re.findall(r"[a-z]+", read.words)} - _SMALL
    counted = {_singular(noun) for _, noun in read.counts}
    if spoken - counted - _MATERIALS:
        spoken -= counted  # what a piece has so many of is not the kind of piece it is
    words = spoken - _MATERIALS
    named = list(takewhile(lambda word: word not in _SMALL, read.words.split()))
    kind = [w for w in named if {_singular(p) for p in w.split("-")} & words]
    return DescribedPiece(
        words=frozenset(words),
        sizes=large_to_small(read),
        materials=frozenset(spoken & _MATERIALS),
        number=number,
        kind=" ".join(kind),
        family=starter_for(frozenset(words)),
    )


def large_to_small(read: SpokenSizes) -> tuple[Length, ...]:
    """The sizes that were read, in the order in which pieces are compared.

    A diameter is two of them: what is round is as long as it is wide.
    """
    lengths = (
        length
        for size in read.sizes
        for length in [size.length] * (2 if size.side == "diameter" else 1)
    )
    return tuple(sorted(lengths, reverse=True))


def singular_kind(piece: DescribedPiece) -> str:
    """What one such piece is called, as `dining chair`; nothing where no kind is said."""
    return re.sub(r"[a-z]+$", lambda last: _singular(last[0]), piece.kind)


def _singular(word: str) -> str:
    if word.endswith("lves"):
        return f"{word[:-3]}f"
    if word.endswith(("ches", "shes", "xes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word


def scaled_words(piece: DescribedPiece, near: Sequence[NearJob]) -> str:
    """Whether all prices, some or none were scaled, for sizes are not always known."""
    scaled = [one for one in near if piece.is_comparable(one.past.piece)]
    if not scaled:
        return "not scaled by size"
    return "scaled by size" if len(scaled) == len(near) else "scaled by size where it is known"


def rough_price(piece: DescribedPiece, past: Sequence[PricedPiece]) -> RoughPrice:
    """A rough price range from the nearest past jobs of the kind, scaled by size.

    Raises:
        BadValue: there is no past job with a price, or none of this kind and none of like size.
    """
    priced = [one for one in past if one.price is not None]
    if not priced:
        known = "with a price " if past else ""
        raise BadValue(f"No past job {known}stands in the book yet; load some: {_LOAD}")
    named = [one for one in past if piece.words & one.piece.words]
    if all(one.price is None for one in named):  # none of that name, so all of that kind
        named = [one for one in past if piece.is_of_kind(one.piece)]
    kind = sorted(named, key=lambda one: _distance(piece, one.piece))
    alike = [one for one in kind if one.price is not None]
    stand_ins = [] if alike else [one for one in priced if _is_of_like_size(piece, one.piece)]
    if not alike and not stand_ins:
        raise BadValue(
            "No range: no past job is of this kind, and none is of a size near enough to stand in."
            " Say its sizes, as 18x20x32, or price it from a parts list."
        )
    chosen = sorted(alike or stand_ins, key=lambda one: _distance(piece, one.piece))[:NEAREST]
    near = tuple(_near(piece, one, one.price) for one in chosen if one.price is not None)
    timed = [one for one in kind if one.minutes][:NEAREST]
    taken = [half_up_whole(one.minutes * _in_all(piece, one.piece)) for one in timed]
    prices = [one.scaled for one in near]
    middle = Money(total(prices).minor // len(prices))
    return RoughPrice(
        low=min(*prices, middle.times(1 - LEAST_SPREAD)),
        high=max(*prices, middle.times(1 + LEAST_SPREAD)),
        middle=middle,
        near=near,
        is_same_kind=bool(alike),
        minutes=(min(taken), max(taken)) if taken else None,
        timed=len(timed),
        unpriced=tuple(one.job for one in kind if one.price is None),
    )


def _is_of_like_size(piece: DescribedPiece, other: DescribedPiece) -> bool:
    """Whether another kind of piece can speak by its size: both are known, and not far apart."""
    return piece.is_comparable(other) and 1 / MOST_GROWTH <= _growth(piece, other) <= MOST_GROWTH


def _distance(piece: DescribedPiece, other: DescribedPiece) -> float:
    """How far apart two pieces are: words they do not share, sizes, materials."""
    both, either = piece.words & other.words, piece.words | other.words
    words = 1 - len(both) / len(either) if either else 1.0
    size = abs(log(_growth(piece, other))) if piece.is_comparable(other) else 1.0
    known = piece.materials and other.materials
    material = 0.5 if known and not piece.materials & other.materials else 0.0
    return 2 * words + size + material


def _growth(piece: DescribedPiece, other: DescribedPiece) -> Fraction:
    """How much larger a piece is than another that says as many sizes."""
    growth = Fraction(1)
    for mine, theirs in zip(piece.sizes, other.sizes, strict=True):
        growth *= Fraction(mine.nm, theirs.nm)
    return growth


def _scale(piece: DescribedPiece, other: DescribedPiece) -> Fraction:
    """How much dearer, and longer, the larger of two pieces is; 1 where sizes do not compare."""
    if not piece.is_comparable(other):
        return Fraction(1)
    exponent = GROWTH_OF_CASEWORK if piece.words & _CASEWORK else GROWTH_OF_A_PIECE
    return Fraction(round(float(_growth(piece, other)) ** exponent * 100), 100)


def _in_all(piece: DescribedPiece, other: DescribedPiece) -> Fraction:
    """The scale by size, times how many more pieces there are."""
    return _scale(piece, other) * Fraction(piece.number, other.number)


def _near(piece: DescribedPiece, past: PricedPiece, price: Money) -> NearJob:
    shared = sorted(piece.words & past.piece.words)
    also = shared or [past.piece.family.replace("-", " ")]
    is_alike = piece.is_of_kind(past.piece)
    reasons = [f"also: {', '.join(also)}" if is_alike else "another kind of piece"]
    scale = _scale(piece, past.piece)
    if piece.is_comparable(past.piece):
        growth = _growth(piece, past.piece)
        reasons.append(f"{float(growth):.2f} × its size, so {float(scale):.2f} × its price")
    else:
        whose = "its size is not known" if piece.sizes else "no size to compare"
        if piece.sizes and past.piece.sizes:
            then, now = len(past.piece.sizes), len(piece.sizes)
            whose = f"its size is not comparable ({how_many(then, 'size')} then, {now} now)"
        reasons.append(f"{whose}, so its price as it was")
    if piece.materials and past.piece.materials and not piece.materials & past.piece.materials:
        reasons.append(f"but of {', '.join(sorted(past.piece.materials))}")
    if piece.number != past.piece.number:
        reasons.append(f"{past.piece.number} made then, now {piece.number}, at so much each")
    in_all = _in_all(piece, past.piece)
    return NearJob(past, price, price.times(in_all), in_all, tuple(reasons))

"""Materials by what other programs call them: by words of their names and thickness. Pure."""

import re
from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.measures.length import Length
from ledger.stock.materials import dressed_to

CUT_FROM = ("sheet", "lumber")
"""The kinds of material that parts are cut from."""

_NEAR = Length(1_300_000)
"""How far a nominal thickness may lie from the measured one: 3/4 in ply measures 23/32 in."""

_WORD = re.compile(r"[^\W_]+(?:/[0-9]+)?")
_MOST = 5
_STEM = 3
"""Letters that a word must have to stand for a longer one."""

_CLEAR = Fraction(1, 4)
"""By how much of its words a match must be ahead of the next; common practice, no source."""


class MaterialMatch(Struct, frozen=True):
    """The materials a name may mean, the likeliest first, and whether the first is meant surely."""

    materials: tuple[Material, ...]
    is_sure: bool


def match_material(
    text: str, thickness: Length | None, materials: Iterable[Material]
) -> MaterialMatch:
    """The materials that a cut list may mean by a name and a thickness, either of them empty.

    A code or a whole name is sure; else those of another thickness are left out, and what shares
    the most words is sure where it is well ahead of the next. A further size of a sheet
    (`CODE/SIZE`) goes by its material.
    """
    known = {one.code: one for one in materials if one.kind in CUT_FROM}
    cut_from = [
        one
        for one in known.values()
        if one.code.partition("/")[0] not in known or "/" not in one.code
    ]
    sought = text.strip().casefold()
    exact = [one for one in cut_from if sought in (one.code.casefold(), one.name.casefold())]
    if sought and exact:
        return MaterialMatch(tuple(exact), len(exact) == 1)
    thick = [one for one in cut_from if _is_as_thick(one, thickness)]
    words = _words(text)
    shares = {one.code: _share(words, one) for one in thick}
    ranked = sorted(
        thick, key=lambda one: (-shares[one.code], one.kind != "sheet", _board_nm(one), one.code)
    )
    likely = [one for one in ranked if shares[one.code]]
    if not likely:
        is_only = len(ranked) == 1 and not words
        return MaterialMatch(tuple(ranked or cut_from)[:_MOST], is_only)
    next_best = shares[likely[1].code] if len(likely) > 1 else 0
    is_ahead = shares[likely[0].code] - next_best >= _CLEAR
    return MaterialMatch(tuple(likely[:_MOST]), is_ahead)


def _is_as_thick(material: Material, thickness: Length | None) -> bool:
    if thickness is None or material.thickness is None:
        return True
    if material.kind == "lumber":
        return thickness <= (dressed_to(material) or material.thickness)
    return abs((material.thickness - thickness).nm) <= _NEAR.nm


def _board_nm(material: Material) -> int:
    """The rough thickness of lumber, so that the thinnest board that will do comes first."""
    return material.thickness.nm if material.kind == "lumber" and material.thickness else 0


def _words(text: str) -> set[str]:
    return set(_WORD.findall(text.casefold()))


def _share(words: set[str], material: Material) -> Fraction:
    """The share of the words sought that a material's name or code has, `ply` for plywood too."""
    known = _words(f"{material.name} {material.code}")
    there = [word for word in words if any(_is_alike(word, other) for other in known)]
    return Fraction(len(there), len(words)) if words else Fraction(0)


def _is_alike(one: str, other: str) -> bool:
    shorter, longer = sorted((one, other), key=len)
    return one == other or (len(shorter) >= _STEM and longer.startswith(shorter))

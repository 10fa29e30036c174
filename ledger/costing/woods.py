"""Densities of woods, and of what a material's own line says: always with their source.

A weight from a density is an estimate and is marked as one. A material that states no density and
names no wood of the table has no weight here: nothing is made up.
"""

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.designs.built import Build
from ledger.designs.wood import Board, ShopWood
from ledger.measures.length import Length
from ledger.stock.materials import dressed_to

HANDBOOK = "USDA Wood Handbook FPL-GTR-282 (2021), tables 5-3, specific gravity at 12 % moisture"

SPECIFIC_GRAVITY: Mapping[str, str] = {
    "red alder": "0.41", "white ash": "0.60", "quaking aspen": "0.38", "basswood": "0.37",
    "beech": "0.64", "paper birch": "0.55", "sweet birch": "0.65", "yellow birch": "0.62",
    "black cherry": "0.50", "sugar maple": "0.63", "northern red oak": "0.63",
    "white oak": "0.68", "yellow-poplar": "0.42", "shagbark hickory": "0.72",
    "sitka spruce": "0.40", "longleaf pine": "0.59", "walnut": "0.55", "poplar": "0.42",
}  # fmt: skip
"""Oven-dry mass over volume at 12 % moisture content, by species."""

YIELDS = (
    "common practice; published yields of clear cuttings are higher: 4/4 yellow-poplar 85 % of"
    " FAS, 69 % of No. 1, 70 % of No. 2 (West Virginia University, a thesis on 479 boards)"
)

_WASTE: Mapping[str, tuple[str, str]] = {
    "FAS": ("25 %", "25 %"), "F1F": ("25 %", "25 %"), "selects": ("25 %", "25 %"),
    "No. 1": ("40 %", "25 %"), "No. 2A": ("50 %", "35 %"), "No. 2B": ("50 %", "35 %"),
    "S4S": ("10 %", "10 %"), "panel": ("10 %", "10 %"), "": ("25 %", "25 %"),
}  # fmt: skip
"""What of lumber is wasted, as a share of what is bought: under a clear finish, under paint."""

_FILM = re.compile(r"varnish|polyurethane|lacquer|shellac", re.IGNORECASE)
_OPAQUE = re.compile(
    r"\b(paint|enamel|primer)"
    r"|(?<!water[ -])\b(white|black|colou?red|pigmented|opaque)( (satin|matte?|gloss))? lacquer",
    re.IGNORECASE,
)
"""Of a lacquer only a color before it tells; “water white” is a clear one."""
_WATER = Fraction("62.4")
_MOISTURE = Fraction(12, 100)
_POUND = Fraction("0.45359237")
_CUBIC_FOOT = Fraction("0.028316846592")


class Density(Struct, frozen=True):
    """Kilograms a cubic meter, and who says so."""

    value: Fraction
    source: str


def pounds_per_cubic_foot(gravity: Fraction, moisture: Fraction = _MOISTURE) -> Fraction:
    """Density of a wood: 62.4 × G × (1 + moisture), from its specific gravity.

    The formula is that of the Wood Handbook, chapter 4, recalled from memory.

    >>> from ledger.measures.rounding import half_up
    >>> half_up(pounds_per_cubic_foot(Fraction("0.63")), 2)
    Decimal('44.03')
    """
    return _WATER * gravity * (1 + moisture)


def wood_density(name: str) -> Density | None:
    """The density of the one wood of the table that a name contains, or None.

    >>> wood_density("Yellow birch 4/4 select").source.startswith("USDA")
    True
    >>> wood_density("Birch ply 3/4") is None
    True
    """
    words = name.casefold()
    named = [wood for wood in SPECIFIC_GRAVITY if wood in words]
    named = [wood for wood in named if not any(wood in one for one in named if one != wood)]
    if len(named) != 1:
        return None
    pounds = pounds_per_cubic_foot(Fraction(SPECIFIC_GRAVITY[named[0]]))
    return Density(pounds * _POUND / _CUBIC_FOOT, HANDBOOK)


def is_painted(build: Build, materials: Mapping[str, Material]) -> bool:
    """Whether a piece gets an opaque finish: its tag says so, or the name of a coat."""
    return "painted" in build.tags or any(
        coat.material in materials and is_opaque(materials[coat.material]) for coat in build.finish
    )


def is_opaque(finish: Material) -> bool:
    """Whether a finish hides the wood, as its name says."""
    return _OPAQUE.search(finish.name) is not None


def density_of(material: Material) -> Density | None:
    """What a material weighs: as its line in the price list says, else by the wood it names."""
    if material.density is not None:
        return Density(Fraction(Decimal(material.density)), material.density_source or "")
    return wood_density(material.name) if material.kind == "lumber" else None


def waste_advice(used: Iterable[Material], *, is_painted: bool) -> str:
    """What to say of lumber whose waste the price list does not give; nothing where it does.

    Sapwood and color take more of walnut.
    """
    usual = []
    for material in used:
        if material.kind != "lumber" or material.allowance is not None:
            continue
        share = _WASTE.get(material.grade, _WASTE[""])[is_painted]
        if "walnut" in material.name.casefold() and material.grade in ("FAS", "F1F", "selects"):
            share = "35 %"
        usual.append(f"{material.code} {share} ({material.grade or 'grade not said'})")
    if not usual:
        return ""
    return (
        "Nothing is added for knots, checks and sapwood. Usual, as a share of what is bought:"
        f" {', '.join(usual)} ({YIELDS}). Write yours into the price list: column allowance, on"
        " bought; 0 % is an answer."
    )


def shop_wood(materials: Mapping[str, Material], kerf: Length, default_joint: str) -> ShopWood:
    """What counts need to know of the price list: boards, and finishes that build a film.

    A finish is a film, and scuffed also where it is wiped on, if its name says varnish,
    polyurethane, lacquer or shellac; it is opaque if its name says paint, enamel, primer
    or a colored lacquer.
    """
    boards = {}
    for code, material in materials.items():
        ends = dressed_to(material)
        if material.kind == "lumber" and material.thickness is not None and ends is not None:
            boards[code] = Board(material.width, material.thickness, ends)
    finishes = {code: one.name for code, one in materials.items() if one.kind == "finish"}
    films = frozenset(code for code, name in finishes.items() if _FILM.search(name))
    paints = frozenset(code for code, name in finishes.items() if _OPAQUE.search(name))
    return ShopWood(boards, kerf, default_joint, films, paints)

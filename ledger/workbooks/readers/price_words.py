"""What a dealer's price list leaves unsaid: kind, unit and code of a thing, the size in its name.

Everything here is a guess from words, told to the owner where it is taken: common practice, no
source. Pure.
"""

import re
from collections.abc import Iterable

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.length import Length, parse_length, show_length
from ledger.measures.spoken import by_mark
from ledger.measures.units import unit_or_none

KIND_WORDS: dict[str, tuple[str, ...]] = {
    "edging": ("edge band", "edge banding", "edgeband", "edgebanding", "edging", "edge tape",
               "banding", "iron-on"),
    "abrasive": ("sandpaper", "sanding", "abrasive", "abrasives", "grit"),
    "adhesive": ("glue", "adhesive", "adhesives", "epoxy", "caulk", "silicone", "contact cement"),
    "fastener": ("screw", "screws", "nail", "nails", "brad", "brads", "staple", "staples", "dowel",
                 "dowels", "biscuit", "biscuits", "bolt", "bolts", "fastener", "fasteners"),
    "hardware": ("hinge", "hinges", "slide", "slides", "pull", "pulls", "knob", "knobs", "handle",
                 "handles", "catch", "bracket", "brackets", "shelf pin", "shelf pins", "leveler",
                 "levelers", "lock", "caster", "casters", "hardware"),
    "finish": ("lacquer", "varnish", "oil", "stain", "paint", "primer", "polyurethane", "shellac",
               "wax", "sealer", "topcoat", "enamel", "thinner", "finish", "finishes"),
    "sheet": ("ply", "plywood", "multiplex", "mdf", "hdf", "osb", "melamine", "particleboard",
              "chipboard",
              "hardboard", "blockboard", "sheet", "sheets", "sheet goods", "panel", "panels"),
    "lumber": ("lumber", "4/4", "5/4", "6/4", "8/4", "10/4", "12/4", "s2s", "s3s", "s4s", "rough",
               "plank", "planks", "timber", "solid", "board", "boards", "hardwood", "softwood"),
}  # fmt: skip
"""The words that speak of a kind of material; the first kind that has one is taken."""

_USUAL_UNITS = {
    "inch": {"lumber": "bd ft", "edging": "ft"},
    "mm": {"lumber": "m³", "edging": "m"},
}
_UNITS = {
    "sheet": "sheet",
    **dict.fromkeys(("hardware", "fastener", "supply", "abrasive", "adhesive"), "each"),
}
_NUMBER = r"[0-9]+(?:[ -][0-9]+/[0-9]+|/[0-9]+)?(?:[.,][0-9]+)?"
_UNIT = r"mm|cm|m|in|inch|inches|ft|feet|'|\""
_SIZE = re.compile(
    rf"(?<![0-9a-z/.])(?P<a>{_NUMBER}) ?(?P<ua>{_UNIT})? ?[x×*] ?(?P<b>{_NUMBER}) ?(?P<ub>{_UNIT})?"
    rf"(?: ?[x×*] ?(?P<c>{_NUMBER}) ?(?P<uc>{_UNIT})?)?(?![0-9a-z/])"
)
_THICKNESS = re.compile(rf"(?<![0-9a-z/.x×*])(?P<n>{_NUMBER}) ?(?P<u>mm|in\b|inch\b|\")(?! ?[x×*])")
_LETTERS = re.compile(r"[^\W_]+(?:[/.-][^\W_]+)*")
_GROUPED = re.compile(r"(?<![0-9.,])[0-9]{1,3}[.,][0-9]{3}(?![0-9.,/])")
_FEET = 16
"""Two bare numbers of inches up to this are a sheet's size in feet: 4 x 8, 5 x 10."""


class SheetSize(Struct, frozen=True):
    """The length, width and (where written) thickness of a sheet."""

    length: Length
    width: Length
    thickness: Length | None = None


def kind_of(*texts: str) -> str:
    """The kind of material that a text speaks of, the first text first; empty where none does.

    >>> kind_of("Birch plywood 3/4"), kind_of("Iron-on edge banding, birch"), kind_of("Zinc plate")
    ('sheet', 'edging', '')
    >>> kind_of("Maple 4/4 FAS"), kind_of("White 18", "Melamine boards"), kind_of("Boiled oil")
    ('lumber', 'sheet', 'finish')
    """
    for text in texts:
        plain = f" {' '.join(re.split(r'[\s,;:()]+', text.casefold()))} "
        for kind, words in KIND_WORDS.items():
            if any(f" {word} " in plain for word in words):
                return kind
    return ""


def unit_of(kind: str, units: str) -> str:
    """The unit that a kind of material is usually sold by; empty where it differs."""
    return _USUAL_UNITS[units].get(kind) or _UNITS.get(kind, "")


def code_of(name: str, taken: Iterable[str]) -> str:
    """A short code of a name, unlike those that are taken.

    >>> code_of("Birch plywood 3/4 in, A face", []), code_of("MDF 18 mm", ["MDF-18-MM"])
    ('BIRCH-PLYWO-3/4-IN', 'MDF-18-MM-2')
    """
    words = [word[:5].rstrip("-./") for word in _LETTERS.findall(name.upper())[:4]]
    code = "-".join(words) or "ITEM"
    known = {one.casefold() for one in taken}
    number, result = 2, code
    while result.casefold() in known:
        number, result = number + 1, f"{code}-{number}"
    return result


def size_in(text: str, units: str, decimal_mark: str = "") -> SheetSize | None:
    """The size of a sheet that stands in a text, the longer side first; None where none does.

    Bare numbers are of the book's unit; two of inches up to 16 are feet. The third is thickness,
    wherever it stands: the smallest of three. `decimal_mark` tells 2.800 from 2800.

    >>> size_in("Birch ply 4x8 A1", "inch")
    SheetSize(length=Length(nm=2438400000), width=Length(nm=1219200000), thickness=None)
    >>> size_in("MDF 2440 x 1220 x 18 mm", "inch") == size_in("18x1220x2440", "mm")
    True
    >>> size_in("2.800 x 2.070", "mm", "comma").length.mm
    Decimal('2800')
    >>> size_in("Screw 8 x 1-1/4", "inch") is None, size_in("no size", "mm") is None
    (True, True)
    """
    plain = text.casefold().replace("”", '"').replace("’", "'")
    plain = _GROUPED.sub(lambda number: by_mark(number[0], decimal_mark) or number[0], plain)
    for match in _SIZE.finditer(plain):
        numbers = [match[name] for name in "abc" if match[name]]
        unit_words = [match[f"u{name}"] or "" for name in "abc"][: len(numbers)]
        last = unit_words[-1]
        named = [each or last for each in unit_words]
        is_feet = units == "inch" and not any(named) and _are_feet(numbers[:2])
        try:
            lengths = [
                parse_length(f"{number} {'ft' if is_feet and place < 2 else name}".strip(), units)
                for place, (number, name) in enumerate(zip(numbers, named, strict=True))
            ]
        except BadValue:
            continue
        *rest, width, length = sorted(lengths)
        if width >= _LEAST:
            return SheetSize(length, width, rest[0] if rest else None)
    return None


_LEAST = Length.of(150, "mm")
"""The least width of what is taken for a sheet."""


def _are_feet(numbers: list[str]) -> bool:
    return all(number.isdigit() and 2 <= int(number) <= _FEET for number in numbers)


def size_name(length: Length, width: Length, units: str) -> str:
    """A sheet's size as dealers name it: in feet where both are whole, else in the book's unit.

    >>> size_name(Length.of(120, "in"), Length.of(60, "in"), "inch")
    '5x10'
    >>> size_name(Length.of(2800, "mm"), Length.of(2070, "mm"), "mm")
    '2800x2070'
    >>> size_name(Length.of(97, "in"), Length.of(49, "in"), "inch")
    '97x49'
    """
    if units == "inch" and length.feet.denominator == width.feet.denominator == 1:
        return f"{width.feet}x{length.feet}"
    return "x".join(show_length(one, units) for one in (length, width))


def thickness_in(text: str) -> Length | None:
    """The thickness that a text says with its unit: `MDF 18 mm`, `ply 3/4 in`; None where none.

    >>> thickness_in("MDF 18 mm").mm, thickness_in('Ply 3/4"').mm, thickness_in("Ply 3/4")
    (Decimal('18'), Decimal('19.05'), None)
    """
    match = _THICKNESS.search(text.casefold().replace("”", '"'))
    try:
        return parse_length(f"{match['n']} {match['u']}", None) if match else None
    except BadValue:
        return None


def unit_in(text: str) -> str:
    """The unit that a text says, alone or behind `per` or a slash; empty where it says none.

    >>> unit_in("per sheet"), unit_in("/m²"), unit_in("BF"), unit_in("dozen")
    ('sheet', 'm²', 'bd ft', '')
    """
    return unit_or_none(text.casefold().removeprefix("per ").removeprefix("/").strip())

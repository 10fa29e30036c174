"""The units stock is counted, measured and weighed in: a closed list, and the only use of pint.

Measured units convert exactly (an inch is 25.4 mm, a US gallon 231 cubic inches, a board foot 144
cubic inches of nominal size). Counted units do not turn into one another here: how many screws
are in a box is a fact about that box, and stands with the material as its pack size.
"""

from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import quoted, tidy

if TYPE_CHECKING:
    from pint import UnitRegistry

EACH = "each"
SHEET = "sheet"
FOOT = "ft"
METER = "m"
SQUARE_FOOT = "sq ft"
SQUARE_METER = "m²"
BOARD_FOOT = "bd ft"
CUBIC_METER = "m³"
GALLON = "gal"
LITER = "L"

_HINT = "write a unit such as each, sheet, ft, m, gal, L or kg"


class _Unit(Struct, frozen=True):
    """One unit: its kind, how pint is told of it, and the other spellings people use."""

    name: str
    kind: str
    definition: str
    spellings: tuple[str, ...]


_COUNTED = """
each = ea, pc, pcs, piece, pieces; set = sets; pair = pairs, pr; lot = lots; sheet = sheets;
board = boards; roll = rolls; pack = packs, packet, packets, pk; box = boxes; bag = bags;
kit = kits; tube = tubes; bottle = bottles; can = cans; pail = pails; cartridge = cartridges;
disc = discs, disk, disks; screw = screws; nail = nails; dowel = dowels
"""
"""Units that are only counted, and their spellings."""

_MEASURED = (
    ("in", "length", "inch = 254/10000 * meter", 'inch, inches, "'),
    (FOOT, "length", "foot = 12 * inch", "foot, feet, ', lf, lin ft"),
    ("yd", "length", "yard = 36 * inch", "yard, yards"),
    ("mil", "length", "mil = 1/1000 * inch", "mils"),
    ("mm", "length", "millimeter = 1/1000 * meter",
     "millimeter, millimeters, millimetre, millimetres"),
    ("cm", "length", "centimeter = 1/100 * meter",
     "centimeter, centimeters, centimetre, centimetres"),
    (METER, "length", "meter = [length]", "meter, meters, metre, metres"),
    (SQUARE_FOOT, "area", "square_foot = foot ** 2",
     "sqft, ft2, ft², sf, square foot, square feet"),
    (SQUARE_METER, "area", "square_meter = meter ** 2",
     "m2, sq m, sqm, square meter, square meters, square metre, square metres"),
    (BOARD_FOOT, "volume", "board_foot = 144 * inch ** 3",
     "bdft, bf, fbm, board foot, board feet"),
    ("cu in", "volume", "cubic_inch = inch ** 3", "in3, in³, cubic inch, cubic inches"),
    ("cu ft", "volume", "cubic_foot = foot ** 3", "ft3, ft³, cubic foot, cubic feet"),
    (CUBIC_METER, "volume", "cubic_meter = meter ** 3",
     "m3, cu m, cubic m, cubic meter, cubic meters, cubic metre, cubic metres"),
    (GALLON, "volume", "gallon = 231 * inch ** 3", "gallon, gallons, gals"),
    ("quart", "volume", "quart = 1/4 * gallon", "quarts, qt, qts"),
    ("pint", "volume", "pint = 1/8 * gallon", "pints, pt"),
    ("fl oz", "volume", "fluid_ounce = 1/128 * gallon", "floz, fluid ounce, fluid ounces"),
    (LITER, "volume", "liter = 1/1000 * meter ** 3", "liter, liters, litre, litres"),
    ("mL", "volume", "milliliter = 1/1000 * liter",
     "milliliter, milliliters, millilitre, millilitres"),
    ("lb", "mass", "pound = 45359237/100000 * gram", "lbs, pound, pounds"),
    ("oz", "mass", "ounce = 1/16 * pound", "ounce, ounces"),
    ("kg", "mass", "kilogram = 1000 * gram", "kilogram, kilograms, kilo, kilos"),
    ("g", "mass", "gram = [mass]", "gram, grams"),
)  # fmt: skip

_UNITS = (
    *(
        _Unit(name, "count", "", tuple(others.split(", ")))
        for line in " ".join(_COUNTED.split()).split("; ")
        for name, _, others in [line.partition(" = ")]
    ),
    *(
        _Unit(name, kind, definition, tuple(others.split(", ")))
        for name, kind, definition, others in _MEASURED
    ),
)
_WORDS = frozenset({"quart", "pint"})
"""Measured units that are said as words and have a plural, as counted ones do."""

_BY_NAME = {unit.name: unit for unit in _UNITS}
_BY_SPELLING = {
    spelling.lower(): unit.name for unit in _UNITS for spelling in (unit.name, *unit.spellings)
}


def unit(text: str) -> str:
    """Give the one name of a unit, whatever spelling it comes in.

    >>> [unit(text) for text in ("ea", "Sheets", "board feet", "ft2", "gallon", "l", "bd. ft.")]
    ['each', 'sheet', 'bd ft', 'sq ft', 'gal', 'L', 'bd ft']
    >>> unit("galon")
    Traceback (most recent call last):
    ledger.errors.BadValue: “galon” is not a unit of this list; the nearest is gal.
    """
    tidied = tidy(text, _HINT)
    name = _BY_SPELLING.get(tidied) or _BY_SPELLING.get(tidied.replace(".", ""))
    if name is None:
        close = get_close_matches(tidied, _BY_SPELLING, n=5)
        near = dict.fromkeys(_BY_SPELLING[spelling] for spelling in close)
        hint = f"the nearest is {' or '.join(near)}" if near else _HINT
        raise BadValue(f"{quoted(text)} is not a unit of this list; {hint}.")
    return name


def unit_or_none(text: str) -> str:
    """The one name of a unit, as `unit` gives it; empty where the text is none."""
    try:
        return unit(text)
    except BadValue:
        return ""


def kind(name: str) -> str:
    """Say what a unit measures: count, length, area, volume or mass.

    >>> kind("bd ft"), kind("each")
    ('volume', 'count')
    """
    return _BY_NAME[unit(name)].kind


def show_count(quantity: Quantity, name: str) -> str:
    """Say a quantity with its unit, those that are words in the plural but for one or a part of it.

    >>> [show_count(Quantity.of(count), "sheet") for count in (0, 1, 5)]
    ['0 sheets', '1 sheet', '5 sheets']
    >>> show_count(Quantity.of(2), "box"), show_count(Quantity.of(88), "ft")
    ('2 boxes', '88 ft')
    >>> show_count(Quantity.of(4), "quart"), show_count(Quantity.of(Fraction("0.5")), "pint")
    ('4 quarts', '0.5 pint')
    >>> show_count(Quantity.of(-1), "sheet"), show_count(Quantity.of(-2), "sheet")
    ('-1 sheet', '-2 sheets')
    >>> show_count(Quantity.of(7), "each"), show_count(Quantity.of(Fraction(2, 3)), "roll")
    ('7', '0.666667 roll')
    """
    shown = show_quantity(quantity)
    if name == EACH:
        return shown
    return f"{shown} {in_number(quantity.fraction, name)}"


def in_number(number: Fraction, name: str) -> str:
    """The unit of a number, in the plural where it is a word.

    >>> in_number(Fraction(3, 2), "quart"), in_number(Fraction(1), "quart")
    ('quarts', 'quart')
    >>> in_number(Fraction(2), "box"), in_number(Fraction(2), "L")
    ('boxes', 'L')
    """
    known = _BY_NAME.get(name)
    is_word = known is not None and (known.kind == "count" or name in _WORDS)
    if known is None or not is_word or name == EACH or 0 < abs(number) <= 1:
        return name
    return known.spellings[0]


def as_bought(quantity: Quantity, name: str) -> Quantity:
    """A measured quantity with the places it is bought by; what is too small for them stays.

    >>> as_bought(Quantity.of(Fraction("74.666667")), "bd ft").decimal
    Decimal('74.67')
    >>> as_bought(Quantity.of(Fraction("0.031652")), "m3").decimal
    Decimal('0.0317')
    >>> as_bought(Quantity.of(Fraction("0.004")), "L").decimal
    Decimal('0.004')
    """
    rounded = Quantity.of(half_up(quantity.fraction, _places(name)))
    return rounded if rounded or not quantity else quantity


def _places(name: str) -> int:
    """A cubic meter is much: its parts are told to the deciliter."""
    return 4 if name in {CUBIC_METER, "m3"} else 2


def count_shown(value: Fraction, name: str) -> Decimal:
    """A count as it is shown: two places, of a small one two digits, so that it never reads 0.

    Cubic meters have the places they are bought by.

    >>> [f"{count_shown(Fraction(one), 'ft'):f}" for one in ("40", "3.456", "0.0027", "0.5", "0")]
    ['40', '3.46', '0.0027', '0.5', '0']
    >>> [f"{count_shown(Fraction(one), 'm³'):f}" for one in ("0.0101", "1.25", "0.00003")]
    ['0.0101', '1.25', '0.00003']
    """
    places = _places(name)
    while value and abs(value) * 10**places < (10 if places < 4 else 1):
        places += 1
    return trimmed(half_up(value, places))


def show_bought(quantity: Quantity, name: str) -> str:
    """Say a quantity with its unit, with the places it is bought by."""
    return show_count(as_bought(quantity, name), name)


def convert(value: Fraction | Decimal | int, source: str, target: str) -> Fraction:
    """Convert a number of one unit into another, exactly.

    >>> convert(1, "gal", "fl oz"), convert(Fraction(3, 4), "in", "mm"), convert(2, "each", "ea")
    (Fraction(128, 1), Fraction(381, 20), Fraction(2, 1))
    >>> convert(1, "gal", "lb")
    Traceback (most recent call last):
    ledger.errors.BadValue: gal is a volume and lb a mass; one cannot be turned into the other.
    >>> convert(1, "box", "screw")
    Traceback (most recent call last):
    ledger.errors.BadValue: box and screw are both counted; give the material a pack size instead.
    """
    here, there = unit(source), unit(target)
    if here == there:
        return Fraction(value)
    here_kind, there_kind = _BY_NAME[here].kind, _BY_NAME[there].kind
    if here_kind != there_kind:
        raise BadValue(
            f"{here} is a {here_kind} and {there} a {there_kind}; "
            "one cannot be turned into the other."
        )
    if here_kind == "count":
        raise BadValue(
            f"{here} and {there} are both counted; give the material a pack size instead."
        )
    return Fraction(value) * _factor(here, there)


def board_feet(thickness: Length, width: Length, length: Length) -> Fraction:
    """Measure a board in board feet; whether the sizes are nominal or real is the caller's to say.

    >>> board_feet(Length.of(1, "in"), Length.of(8, "in"), Length.of(10, "ft"))
    Fraction(20, 3)
    """
    return thickness.inches * width.inches * length.inches / 144


_SIZES = {
    "in": (254, 10**4), FOOT: (3_048, 10**4), "yd": (9_144, 10**4), "mm": (1, 10**3),
    "cm": (1, 10**2), METER: (1, 1), SQUARE_FOOT: (9_290_304, 10**8), SQUARE_METER: (1, 1),
    BOARD_FOOT: (2_359_737_216, 10**12), CUBIC_METER: (1, 1), GALLON: (3_785_411_784, 10**12),
    "quart": (946_352_946, 10**12), "pint": (473_176_473, 10**12), LITER: (1, 10**3),
    "lb": (45_359_237, 10**5), "oz": (45_359_237, 16 * 10**5), "kg": (10**3, 1), "g": (1, 1),
}  # fmt: skip
"""What pint answered for the units that goods are bought in, in m, m², m³ and g, kept as integers:
loading pint takes longer than a price. Of other units it is asked when they come up."""


@cache
def _factor(source: str, target: str) -> Fraction:
    """The factor between two measured units of one kind: as it is kept, else as pint says."""
    if source in _SIZES and target in _SIZES:
        return Fraction(*_SIZES[source]) / Fraction(*_SIZES[target])
    return ask_pint(source, target)


def ask_pint(source: str, target: str) -> Fraction:
    """Ask pint for the factor between two measured units of one kind."""
    quantity = _registry().Quantity(Fraction(1), _pint_name(source)).to(_pint_name(target))
    return Fraction(quantity.magnitude)


def _pint_name(name: str) -> str:
    """Give the word by which pint knows a unit."""
    return _BY_NAME[name].definition.partition(" ")[0]


@cache
def _registry() -> "UnitRegistry[Fraction]":
    """Build a registry of our measured units only, when it is first needed.

    Pint's own list of some thousand units takes longer to read than a command may take, and
    would let an imperial gallon in.
    """
    from pint import UnitRegistry

    registry = UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions([unit.definition for unit in _UNITS if unit.definition])
    return registry

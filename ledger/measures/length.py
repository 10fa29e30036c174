"""Lengths as whole nanometers, read as they are spoken and shown as they are taped.

A nanometer is fine enough that an inch (25.4 mm exactly) and its 64ths are whole numbers, so
inches and millimeters add up without rounding.
"""

import re
from decimal import Decimal
from fractions import Fraction
from typing import overload

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.area import Area
from ledger.measures.rounding import half_up, half_up_whole, scaled, trimmed
from ledger.measures.spoken import quoted, read_number, spell_mixed, tidy

NANOMETERS = {
    "in": 25_400_000, "inch": 25_400_000, "ft": 304_800_000, "mm": 1_000_000, "cm": 10_000_000,
    "m": 1_000_000_000,
}  # fmt: skip
_SPELLED = {
    "in": '" inches', "ft": "' foot feet",
    "mm": "millimeter millimeters millimetre millimetres",
    "cm": "centimeter centimeters centimetre centimetres", "m": "meter meters metre metres",
}  # fmt: skip
_WORDS = {word: unit for unit, words in _SPELLED.items() for word in words.split()} | {
    unit: unit for unit in NANOMETERS
}
_HINT = "write a length such as 24-1/2 in, 4' 6-1/2\" or 622 mm"
_NUMBER_AND_UNIT = re.compile(r"(?P<number>[0-9.,/ -]*[0-9]) ?-?(?P<unit>[^0-9.,/ -]+)?\.?")
_FEET_AND_INCHES = re.compile(
    r"(?P<feet>[0-9]+) ?(?:'|ft|foot|feet)\.? ?-? ?(?P<inches>[0-9.,/ -]*[0-9]) ?"
    r"(?P<unit>\"|in|inch|inches)?\.?"
)


class Length(Struct, frozen=True, order=True):
    """A whole number of nanometers; what is measured is positive, a difference may be negative."""

    nm: int

    @classmethod
    def of(cls, value: int | Fraction | Decimal, unit: str) -> "Length":
        """Make a length from a number and its unit, to the nearest nanometer.

        >>> Length.of(Fraction(49, 2), "in").mm, Length.of(Decimal("62.2"), "cm").mm
        (Decimal('622.3'), Decimal('622'))
        """
        if unit not in NANOMETERS:
            raise BadValue(f"“{unit}” is not a unit of length; use in, ft, mm, cm or m.")
        return cls(half_up_whole(Fraction(value) * NANOMETERS[unit]))

    @property
    def mm(self) -> Decimal:
        """The length in millimeters, exact, without zeros that say nothing."""
        return trimmed(scaled(self.nm, 6))

    @property
    def inches(self) -> Fraction:
        """The length in inches, exact."""
        return Fraction(self.nm, NANOMETERS["in"])

    @property
    def feet(self) -> Fraction:
        """The length in feet, exact."""
        return Fraction(self.nm, NANOMETERS["ft"])

    @property
    def meters(self) -> Fraction:
        """The length in meters, exact."""
        return Fraction(self.nm, NANOMETERS["m"])

    def __add__(self, other: "Length") -> "Length":
        return Length(self.nm + other.nm)

    def __sub__(self, other: "Length") -> "Length":
        return Length(self.nm - other.nm)

    def __neg__(self) -> "Length":
        return Length(-self.nm)

    @overload
    def __mul__(self, other: "int | Fraction") -> "Length": ...
    @overload
    def __mul__(self, other: "Length") -> Area: ...
    def __mul__(self, other: "int | Fraction | Length") -> "Length | Area":
        if isinstance(other, Length):
            return Area(self.nm * other.nm)
        return Length(half_up_whole(self.nm * other))

    def __rmul__(self, factor: int | Fraction) -> "Length":
        return self * factor

    def __truediv__(self, other: "Length") -> Fraction:
        return Fraction(self.nm, other.nm)

    def __bool__(self) -> bool:
        return self.nm != 0


LONGEST_SIZE = Length.of(100, "m")
LONGEST = Length.of(100_000, "m")


def parse_length(text: str, bare: str | None) -> Length:
    r"""Read a length as it is spoken; `bare` (`inch` or `mm`) is the unit of a bare number.

    >>> [parse_length(text, "inch").mm for text in ("24-1/2", "24 1/2 in", '24.5"', "24½")]
    [Decimal('622.3'), Decimal('622.3'), Decimal('622.3'), Decimal('622.3')]
    >>> [parse_length(text, None).mm for text in ("622 mm", "62.2cm", "62,2 cm", "0.5m", "½ in")]
    [Decimal('622'), Decimal('622'), Decimal('622'), Decimal('500'), Decimal('12.7')]
    >>> [parse_length(text, None).inches for text in ("4' 6-1/2\"", "2 ft 3 in", "4’ 6½″")]
    [Fraction(109, 2), Fraction(27, 1), Fraction(109, 2)]
    >>> [parse_length(text, None).inches for text in ("2'7-11/16\"", "6'-3\"", "2' 3", "3 feet")]
    [Fraction(507, 16), Fraction(75, 1), Fraction(27, 1), Fraction(36, 1)]
    >>> parse_length("622", "mm").mm, parse_length("31.6875", "inch").mm, parse_length("0", "mm")
    (Decimal('622'), Decimal('804.8625'), Length(nm=0))

    >>> parse_length("24", None)
    Traceback (most recent call last):
    ledger.errors.BadValue: “24” has no unit; write 24 in or 24 mm.
    >>> parse_length("-3 in", None)
    Traceback (most recent call last):
    ledger.errors.BadValue: “-3 in” is negative; a length is zero or more.
    >>> parse_length("3 furlongs", None)
    Traceback (most recent call last):
    ledger.errors.BadValue: “furlongs” is not a unit of length; write in, ft, mm, cm or m.
    >>> parse_length("4' 15\"", None)
    Traceback (most recent call last):
    ledger.errors.BadValue: “4' 15"” has 12 or more inches after its feet; write 5' 3".
    >>> parse_length("1 2 in", None)  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    ledger.errors.BadValue: “1 2 in” is not a length; write a length such as 24-1/2 in, 4' 6-1/2...
    """
    tidied = tidy(text, _HINT)
    if tidied.startswith("-"):
        raise BadValue(f"{quoted(text)} is negative; a length is zero or more.")
    length = _feet_and_inches(tidied)
    if length is None:
        length = _one_unit(tidied, bare)
    if length is None:
        raise BadValue(f"{quoted(text)} is not a length; {_HINT}.")
    if length > LONGEST:
        raise BadValue(f"{quoted(text)} is longer than 100 km; check the number and its unit.")
    return length


def _feet_and_inches(text: str) -> Length | None:
    """Read `4' 6-1/2"`; the inches' own sign may be left out."""
    match = _FEET_AND_INCHES.fullmatch(text)
    inches = read_number(match["inches"]) if match else None
    if match is None or inches is None:
        return None
    feet = int(match["feet"])
    if inches >= 12:
        right = f"{feet + inches // 12}' {spell_mixed(inches % 12)}\""
        raise BadValue(f"{quoted(text)} has 12 or more inches after its feet; write {right}.")
    return Length.of(12 * feet + inches, "in")


def _one_unit(text: str, bare: str | None) -> Length | None:
    """Read one number with its unit, or a bare number in the unit of the book."""
    match = _NUMBER_AND_UNIT.fullmatch(text)
    number = read_number(match["number"]) if match else None
    if match is None or number is None:
        return None
    if match["unit"] is None:
        if bare is None:
            raise BadValue(f"{quoted(text)} has no unit; write {text} in or {text} mm.")
        return Length.of(number, bare)
    unit = _WORDS.get(match["unit"])
    if unit is None:
        wrong = quoted(match["unit"])
        raise BadValue(f"{wrong} is not a unit of length; write in, ft, mm, cm or m.")
    return Length.of(number, unit)


def parse_size(text: str, bare: str | None) -> Length:
    """Read a size of something that exists: more than zero and at most 100 m.

    >>> parse_size("96 in", None).feet
    Fraction(8, 1)
    >>> parse_size("0 mm", None)
    Traceback (most recent call last):
    ledger.errors.BadValue: “0 mm” is zero; a size is more than zero.
    >>> parse_size("2440 m", None)
    Traceback (most recent call last):
    ledger.errors.BadValue: “2440 m” is longer than 100 m; check the number and its unit.
    """
    size = parse_allowance(text, bare)
    if not size:
        raise BadValue(f"{quoted(text)} is zero; a size is more than zero.")
    return size


def parse_allowance(text: str, bare: str | None) -> Length:
    """Read a kerf, a trim or a gap: zero or more, and at most 100 m.

    >>> parse_allowance("1/8", "inch").mm, parse_allowance("0", "inch").mm
    (Decimal('3.175'), Decimal('0'))
    """
    allowance = parse_length(text, bare)
    if allowance > LONGEST_SIZE:
        raise BadValue(f"{quoted(text)} is longer than 100 m; check the number and its unit.")
    return allowance


def measured_length(length: Length, units: str, suffix: bool = False) -> str:
    """A length as one can measure it at the bench: to the nearest 1/32 in or 0.5 mm, no sign of it.

    >>> [measured_length(Length.of(623, "mm"), units) for units in ("inch", "mm")]
    ['24-17/32', '623']
    >>> measured_length(Length.of(Fraction(23, 32), "in"), "mm", suffix=True)
    '18.5 mm'
    """
    if units == "inch":
        nearest = Length.of(Fraction(half_up_whole(length.inches * 32), 32), "in")
    else:
        nearest = Length(half_up_whole(Fraction(length.nm, 500_000)) * 500_000)
    return show_length(nearest, units, suffix)


def show_length(length: Length, units: str, suffix: bool = False) -> str:
    """Show a length in the units of the book: inches to 1/32 (`~` where rounded), or 0.1 mm.

    >>> size = Length.of(Fraction(49, 2), "in")
    >>> show_length(size, "inch"), show_length(size, "inch", suffix=True)
    ('24-1/2', '24-1/2 in')
    >>> show_length(Length.of(623, "mm"), "inch"), show_length(Length(1), "inch")
    ('~24-17/32', '~0')
    >>> show_length(Length.of(622, "mm"), "mm"), show_length(size, "mm", suffix=True)
    ('622', '622.3 mm')
    """
    if units == "inch":
        exact = length.inches
        taped = Fraction(half_up_whole(exact * 32), 32)
        text = ("" if taped == exact else "~") + spell_mixed(taped)
        return f"{text} in" if suffix else text
    if units == "mm":
        text = f"{trimmed(half_up(Fraction(length.nm, 1_000_000), 1)):f}"
        return f"{text} mm" if suffix else text
    raise BadValue(f"Lengths are shown in inch or mm, not “{units}”.")

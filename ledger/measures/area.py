"""Areas as whole square nanometers: what a part, a face or a coat covers."""

from fractions import Fraction

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.rounding import half_up

_SQUARE_FOOT = 304_800_000**2
_SQUARE_METER = 10**18


class Area(Struct, frozen=True, order=True):
    """A whole number of square nanometers; two lengths multiplied give one exactly."""

    nm2: int

    def __add__(self, other: "Area") -> "Area":
        return Area(self.nm2 + other.nm2)

    def __sub__(self, other: "Area") -> "Area":
        return Area(self.nm2 - other.nm2)

    def __mul__(self, count: int) -> "Area":
        return Area(self.nm2 * count)

    __rmul__ = __mul__

    def __bool__(self) -> bool:
        return self.nm2 != 0

    @property
    def square_feet(self) -> Fraction:
        """The area in square feet, exact."""
        return Fraction(self.nm2, _SQUARE_FOOT)

    @property
    def square_meters(self) -> Fraction:
        """The area in square meters, exact."""
        return Fraction(self.nm2, _SQUARE_METER)


def show_area(area: Area, units: str) -> str:
    """Show an area to one decimal in the units of the book (`inch` or `mm`).

    >>> from ledger.measures.length import Length
    >>> sheet = Length.of(48, "in") * Length.of(96, "in")
    >>> show_area(sheet, "inch"), show_area(sheet, "mm")
    ('32.0 sq ft', '3.0 m²')
    """
    if units == "inch":
        return f"{half_up(area.square_feet, 1):f} sq ft"
    if units == "mm":
        return f"{half_up(area.square_meters, 1):f} m²"
    raise BadValue(f"Areas are shown for inch or mm, not “{units}”.")

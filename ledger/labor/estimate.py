"""The estimate of one operation: standard minutes times a count, in person-hours. Pure.

    minutes = set-up + minutes per unit × driver        0 where the driver is 0
    hours   = minutes ÷ 60, half-up to 0.01 h
    helper  = hours × the helper's share, half-up; the owner has the rest

Measured drivers (feet, square feet, meters) are rounded half-up to whole units before they count,
square meters and board feet to a tenth, cubic meters to four places; a count that somebody entered
stands as it was entered. Totals are sums of lines, so that they always add up.
"""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.measures.duration import to_hours
from ledger.measures.rounding import half_up

if TYPE_CHECKING:
    from ledger.book.tables.operations import Operation

_MEASURED = {"ft": 0, "sq ft": 0, "m": 0, "m²": 1, "bd ft": 1, "m³": 4, "in": 0, "cm": 0}
"""The units that are measured rather than counted, and the decimals their drivers keep."""


class StandardHours(Struct, frozen=True):
    """The person-hours of one operation by its standard, and the driver as it counts."""

    operation: "Operation"
    driver: Fraction
    estimate: Decimal


def standard_hours(
    operation: "Operation", driver: Fraction, *, entered: bool = False
) -> StandardHours:
    """Standard person-hours of an operation: set-up minutes + minutes × driver, in its own unit."""
    counted = Fraction(driver) if entered else counted_driver(operation.unit, driver)
    minutes = Fraction(operation.setup) + Fraction(operation.minutes) * counted if counted else 0
    return StandardHours(operation, counted, to_hours(Fraction(minutes)))


def helper_hours(hours: Decimal, operation: "Operation") -> Decimal:
    """The helper's part of so many hours of an operation; the rest are the owner's."""
    return half_up(Fraction(hours) * operation.helper_share, 2)


def counted_driver(unit: str, driver: Fraction) -> Fraction:
    """Round a measured driver as it counts: feet and square feet whole, square meters to 0.1.

    >>> counted_driver("ft", Fraction(57, 2)), counted_driver("sq ft × coat", Fraction(8277, 10))
    (Fraction(29, 1), Fraction(828, 1))
    >>> counted_driver("m²", Fraction(2564, 100)), counted_driver("person-hr", Fraction(7, 2))
    (Fraction(128, 5), Fraction(7, 2))
    """
    places = _MEASURED.get(unit.partition(" × ")[0])
    return Fraction(driver) if places is None else Fraction(half_up(driver, places))


def total_hours(parts: Iterable[Decimal]) -> Decimal:
    """Total hours as the sum of the lines as they are shown, each rounded already."""
    return sum(parts, Decimal("0.00"))

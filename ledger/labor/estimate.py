"""The estimate of one operation: standard minutes times a count, in person-hours. Pure.

    minutes = (set-up + minutes per unit × driver) × factor        0 where the driver is 0
    hours   = minutes ÷ 60, half-up to 0.01 h
    helper  = hours × the helper's share, half-up; the owner has the rest

Measured drivers (feet, square feet, meters) are rounded half-up to whole units before they count,
square meters and board feet to a tenth, cubic meters to four places; a count that somebody entered
stands as it was entered. Totals are sums of lines, so that they always add up.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from ledger.measures.duration import to_hours
from ledger.measures.rounding import half_up

_MEASURED = {"ft": 0, "sq ft": 0, "m": 0, "m²": 1, "bd ft": 1, "m³": 4, "in": 0, "cm": 0}
"""The units that are measured rather than counted, and the decimals their drivers keep."""


class Standard(Protocol):
    """What an estimate needs to know of an operation; `ledger.labor.standards` has them."""

    code: str
    name: str
    group: str
    unit: str
    minutes: Decimal
    setup: Decimal
    helper_share: Fraction


@dataclass(frozen=True, slots=True)
class HoursLine:
    """The estimated person-hours of one operation, owner and helper apart."""

    operation: str
    name: str
    group: str
    driver: Fraction
    unit: str
    estimate: Decimal
    owner: Decimal
    helper: Decimal
    basis: str


def estimate_line(
    operation: Standard,
    driver: Fraction,
    *,
    factor: Fraction = Fraction(1),
    entered: bool = False,
    basis: str = "",
) -> HoursLine:
    """Estimate one operation; `driver` counts in the operation's own unit."""
    counted = Fraction(driver) if entered else counted_driver(operation.unit, driver)
    minutes = Fraction(operation.setup) + Fraction(operation.minutes) * counted if counted else 0
    hours = to_hours(Fraction(minutes) * factor)
    helper = half_up(Fraction(hours) * operation.helper_share, 2)
    return HoursLine(
        operation=operation.code,
        name=operation.name,
        group=operation.group,
        driver=counted,
        unit=operation.unit,
        estimate=hours,
        owner=hours - helper,
        helper=helper,
        basis=basis,
    )


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
    """The sum of hours of lines, which is what a total of hours is."""
    return sum(parts, Decimal("0.00"))

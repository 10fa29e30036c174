"""Half-up rounding on exact numbers, the only rounding of the house.

Python's own `round` goes to the even neighbor at the half; invoices and tax tables go away from
zero. Every function here works on whole numbers inside, so that no decimal context can cut digits.
"""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from ledger.errors import BadValue


def half_up_whole(value: Fraction | Decimal | int) -> int:
    """Round to the nearest whole number, away from zero at the half.

    >>> half_up_whole(Fraction(5, 2)), half_up_whole(Fraction(-5, 2)), half_up_whole(7)
    (3, -3, 7)
    """
    exact = Fraction(value)
    size = (2 * abs(exact.numerator) + exact.denominator) // (2 * exact.denominator)
    return size if exact >= 0 else -size


def half_up(value: Fraction | Decimal | int, places: int) -> Decimal:
    """Round to a number of decimal places, away from zero at the half.

    >>> half_up(Decimal("2.665"), 2), half_up(Decimal("-2.675"), 2), half_up(Fraction(1, 3), 4)
    (Decimal('2.67'), Decimal('-2.68'), Decimal('0.3333'))
    >>> half_up(2, 2)
    Decimal('2.00')
    """
    return scaled(half_up_whole(Fraction(value) * 10**places), places)


def scaled(whole: int, places: int) -> Decimal:
    """Read a whole number of the last decimal place as a decimal, keeping its places.

    >>> scaled(698000, 2), scaled(-5, 2), scaled(5, 0)
    (Decimal('6980.00'), Decimal('-0.05'), Decimal('5'))
    """
    return Decimal(f"{whole}E-{places}")  # from text, because text is never cut to a precision


def trimmed(value: Decimal) -> Decimal:
    """Drop the zeros that say nothing, without ever falling into exponent notation.

    >>> trimmed(Decimal("622.500")), trimmed(Decimal("100.00")), trimmed(Decimal("0.00"))
    (Decimal('622.5'), Decimal('100'), Decimal('0'))
    """
    plain = f"{value:f}"
    return Decimal(plain.rstrip("0").rstrip(".")) if "." in plain else Decimal(plain)


def apportion(whole: int, weights: Iterable[int | Fraction | Decimal]) -> list[int]:
    """Divide a whole number in proportion to weights, by largest remainder; the parts add up.

    Of equal remainders the earlier weight is served first.

    Raises:
        BadValue: a weight is negative, or they add up to zero.

    >>> apportion(100, [2, 1, 0]), apportion(-100, [Fraction(2, 3), Fraction(1, 3)])
    ([67, 33, 0], [-67, -33])
    """
    exact = [Fraction(weight) for weight in weights]
    if any(weight < 0 for weight in exact):
        raise BadValue("An amount cannot be divided by a negative weight.")
    if not sum(exact):
        raise BadValue("An amount cannot be divided by weights that add up to zero.")
    shares = [abs(whole) * weight / sum(exact) for weight in exact]
    parts = [int(share) for share in shares]
    by_remainder = sorted(range(len(shares)), key=lambda place: parts[place] - shares[place])
    for place in by_remainder[: abs(whole) - sum(parts)]:
        parts[place] += 1
    return [part if whole >= 0 else -part for part in parts]

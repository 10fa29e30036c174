"""Stock quantities as whole millionths of the stock unit (3.1 bd ft, 36 discs, 0.5 sheet)."""

import re
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.rounding import half_up_whole, scaled, trimmed
from ledger.measures.spoken import by_mark, plain_decimal, quoted, read_fraction, tidy, two_readings

_MILLION = 1_000_000
_HINT = "write a quantity such as 5, 3.1 or 3-1/2, without its unit"
_UNIT_WORD = re.compile(r"(?P<number>[0-9.,/ -]*[0-9]) ?(?P<word>[^0-9.,/ -][^0-9]*)")


class Quantity(Struct, frozen=True, order=True):
    """A whole number of millionths of some stock unit; the unit stands with the material."""

    millionths: int

    @classmethod
    def of(cls, value: int | Decimal | Fraction) -> "Quantity":
        """Make a quantity, to the nearest millionth.

        >>> Quantity.of(Decimal("3.1")), Quantity.of(Fraction(1, 3))
        (Quantity(millionths=3100000), Quantity(millionths=333333))
        """
        return cls(half_up_whole(Fraction(value) * _MILLION))

    @property
    def decimal(self) -> Decimal:
        """The quantity as a decimal, without zeros that say nothing.

        >>> Quantity.of(100).decimal, Quantity.of(Decimal("3.10")).decimal
        (Decimal('100'), Decimal('3.1'))
        """
        return trimmed(scaled(self.millionths, 6))

    @property
    def fraction(self) -> Fraction:
        """The quantity as an exact fraction."""
        return Fraction(self.millionths, _MILLION)

    def __add__(self, other: "Quantity") -> "Quantity":
        return Quantity(self.millionths + other.millionths)

    def __sub__(self, other: "Quantity") -> "Quantity":
        return Quantity(self.millionths - other.millionths)

    def __neg__(self) -> "Quantity":
        return Quantity(-self.millionths)

    def __mul__(self, count: int) -> "Quantity":
        return Quantity(self.millionths * count)

    __rmul__ = __mul__

    def __bool__(self) -> bool:
        return self.millionths != 0


LARGEST = Quantity.of(1_000_000_000)


def parse_quantity(text: str, decimal_mark: str = "") -> Quantity:
    """Read a quantity: zero or more, at most six decimals, fractions allowed, no unit word.

    `decimal_mark` (`point` or `comma`) decides what can be read two ways; else that is refused.

    >>> [parse_quantity(text).decimal for text in ("5", "3.1", "3,1", "1/2", "3-1/2", "3½")]
    [Decimal('5'), Decimal('3.1'), Decimal('3.1'), Decimal('0.5'), Decimal('3.5'), Decimal('3.5')]
    >>> [parse_quantity(text).decimal for text in ("1,234.5", "1 234", "0.125", "1.2340")]
    [Decimal('1234.5'), Decimal('1234'), Decimal('0.125'), Decimal('1.234')]

    >>> parse_quantity("1,234", "point").decimal, parse_quantity("1,234", "comma").decimal
    (Decimal('1234'), Decimal('1.234'))
    >>> parse_quantity("1,234")
    Traceback (most recent call last):
    ledger.errors.BadValue: “1,234” may be 1234 or 1.234; write 1234 or 1.2340.
    >>> parse_quantity("-2")
    Traceback (most recent call last):
    ledger.errors.BadValue: “-2” is negative; a quantity is zero or more.
    >>> parse_quantity("0.1234567")
    Traceback (most recent call last):
    ledger.errors.BadValue: “0.1234567” has more than six decimals; write at most six.
    >>> parse_quantity("3.1 bd ft")
    Traceback (most recent call last):
    ledger.errors.BadValue: “3.1 bd ft” carries a unit; write 3.1 alone, the unit stands elsewhere.
    >>> parse_quantity("five")
    Traceback (most recent call last):
    ledger.errors.BadValue: “five” is not a quantity; write a quantity such as 5, 3.1 or 3-1/2, \
without its unit.
    """
    tidied = tidy(text, _HINT)
    if tidied.startswith("-"):
        raise BadValue(f"{quoted(text)} is negative; a quantity is zero or more.")
    fraction = read_fraction(tidied)
    quantity = Quantity.of(_read_decimal(tidied, decimal_mark) if fraction is None else fraction)
    if quantity > LARGEST:
        raise BadValue(f"{quoted(text)} is more than a thousand million; check the number.")
    return quantity


def _read_decimal(text: str, decimal_mark: str) -> Decimal:
    """Read a decimal quantity, refusing what may mean two things."""
    decided = by_mark(text, decimal_mark)
    readings = None if decided else two_readings(text)
    if readings:
        many, few = readings
        raise BadValue(f"{quoted(text)} may be {many} or {few}; write {many} or {few}0.")
    plain = decided or plain_decimal(text)
    if plain is None:
        worded = _UNIT_WORD.fullmatch(text)
        if worded:
            alone = worded["number"]
            raise BadValue(
                f"{quoted(text)} carries a unit; write {alone} alone, the unit stands elsewhere."
            )
        raise BadValue(f"{quoted(text)} is not a quantity; {_HINT}.")
    if len(plain.partition(".")[2]) > 6:
        raise BadValue(f"{quoted(text)} has more than six decimals; write at most six.")
    return Decimal(plain)


def show_quantity(quantity: Quantity) -> str:
    """Show a quantity with the decimals it has, ungrouped so that it reads back the same.

    >>> show_quantity(Quantity.of(Decimal("3.10"))), show_quantity(Quantity.of(1234))
    ('3.1', '1234')
    """
    return f"{quantity.decimal:f}"

"""What a cell may hold: for each kind of value, how its text is read and what stands in for it.

The stand-in is used only where the text was refused, so that the rest of the row can be read and
told as well; a file with a refusal is never taken.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.errors import BadValue, NotFound
from ledger.measures.custom import POINT
from ledger.measures.day import DateReader
from ledger.measures.duration import parse_duration
from ledger.measures.length import Length, parse_allowance, parse_size
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity, parse_quantity
from ledger.measures.share import parse_share
from ledger.measures.spoken import by_mark, quoted
from ledger.measures.units import unit
from ledger.measures.values import replace


class CellKind[T](Struct, frozen=True):
    """A kind of value: its reader, its stand-in, an example, whether it is a day or a clock's time.

    `exact` reads what a workbook keeps as a number: its decimals always stand behind a point.
    """

    read: Callable[[str], T]
    stand_in: T
    example: str
    is_day: bool = False
    exact: Callable[[str], T] | None = None
    is_clock: bool = False


_GROUPED = re.compile(r"(?<![0-9.,])[0-9]{1,3}[.,][0-9]{3}(?![0-9.,/])")

TEXT = CellKind(str, "", "a few words")
MARK = CellKind(str, "", "A1")
FORMULA = CellKind(str, "", "24-1/2 or a formula")
SHARE = CellKind(parse_share, Fraction(0), "6 %")
MINUTES = CellKind(parse_duration, 0, "1h30", is_clock=True)
UNIT = CellKind(unit, "each", "each, sheet or ft")


def size(units: str | None, decimal_mark: str = "") -> CellKind[Length]:
    """A length of more than zero; `units` (inch or mm) is what a bare number means.

    `decimal_mark` decides what has two readings, such as 2.440 in a list with decimal commas.

    >>> size("mm", "comma").read("2.440").mm, size("mm", "point").read("2,440 mm").mm
    (Decimal('2440'), Decimal('2440'))
    """

    def read(text: str) -> Length:
        return parse_size(_GROUPED.sub(_spelled, text), units)

    def _spelled(number: re.Match[str]) -> str:
        return by_mark(number[0], decimal_mark) or number[0]

    return CellKind(read, Length(1), _length_example(units))


def allowance(units: str | None) -> CellKind[Length]:
    """A length of zero or more."""
    return CellKind(lambda text: parse_allowance(text, units), Length(0), _length_example(units))


def money(currency: Currency) -> CellKind[Money]:
    """An amount of the book's currency."""
    exact = replace(currency, decimal_mark=POINT).parse
    return CellKind(currency.parse, Money(0), "1234.50", exact=exact)


def price(currency: Currency) -> CellKind[Decimal]:
    """A unit price, up to six decimals."""
    exact = replace(currency, decimal_mark=POINT).parse_price
    return CellKind(currency.parse_price, Decimal(0), "0.054", exact=exact)


def quantity(currency: Currency) -> CellKind[Quantity]:
    """A quantity, its decimals marked as in the book's amounts."""
    return CellKind(
        lambda text: parse_quantity(text, currency.decimal_mark), Quantity(0), "5 or 3-1/2",
        exact=lambda text: parse_quantity(text, POINT),
    )  # fmt: skip


def day(dates: DateReader) -> CellKind[date]:
    """A day, not after today."""
    return CellKind(dates.read, dates.today, "2025-05-06", is_day=True)


def whole(least: int = 0, most: int = 1_000_000) -> CellKind[int]:
    """A whole number within limits.

    >>> whole(0, 2).read("2.0")
    2
    >>> whole(0, 2).read("3")
    Traceback (most recent call last):
    ledger.errors.BadValue: “3” is more than 2; write a whole number from 0 to 2.
    """

    def read(text: str) -> int:
        hint = f"write a whole number from {least} to {most}"
        number = parse_quantity(text).decimal
        if number != int(number):
            raise BadValue(f"{quoted(text)} is not a whole number; {hint}.")
        if not least <= number <= most:
            beyond = f"more than {most}" if number > most else f"less than {least}"
            raise BadValue(f"{quoted(text)} is {beyond}; {hint}.")
        return int(number)

    return CellKind(read, least, f"{least}")


def choice(what: str, words: Sequence[str] | Mapping[str, str]) -> CellKind[str]:
    """One of a few words; a mapping gives further spellings of them.

    >>> choice("kind", ["sheet", "lumber"]).read("Sheet")
    'sheet'
    >>> choice("kind", ["sheet", "lumber"]).read("shet")
    Traceback (most recent call last):
    ledger.errors.NotFound: No kind is called “shet”. Nearest: sheet.
    """
    spellings = dict(words) if isinstance(words, Mapping) else {word: word for word in words}

    def read(text: str) -> str:
        folded = text.casefold().strip().replace(" ", "_")
        for spelling, word in spellings.items():
            if folded in (spelling.casefold(), spelling.casefold().replace(" ", "_")):
                return word
        raise NotFound(what, text, spellings, are_all=True)

    return CellKind(
        read, next(iter(spellings.values())), " or ".join(dict.fromkeys(spellings.values()))
    )


def flag() -> CellKind[bool]:
    """Yes or no."""

    def read(text: str) -> bool:
        folded = text.casefold()
        if folded in {"yes", "y", "true", "x", "1"}:
            return True
        if folded in {"no", "n", "false", "-", "0"}:
            return False
        raise BadValue(f"{quoted(text)} is neither yes nor no.")

    return CellKind(read, False, "yes")


def decimal(currency: Currency) -> CellKind[Decimal]:
    """A decimal number of zero or more, such as a density or a coverage."""
    kind = quantity(currency)
    return CellKind(
        lambda text: kind.read(text).decimal, Decimal(0), "680",
        exact=lambda text: parse_quantity(text, POINT).decimal,
    )  # fmt: skip


def _length_example(units: str | None) -> str:
    return {"inch": "24-1/2", "mm": "622"}.get(units or "", "24-1/2 in")

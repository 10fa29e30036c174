"""Weights in whole grams, read with their unit: what one person carries, what a sheet weighs."""

import re
from fractions import Fraction

from ledger.errors import BadValue
from ledger.measures.rounding import half_up, half_up_whole
from ledger.measures.spoken import quoted, tidy
from ledger.measures.units import convert

_HINT = "write for example 50 lb or 23 kg"
_WEIGHT = re.compile(r"(\d{1,6}(?:\.\d{1,3})?) ?(lb|lbs|pounds?|kg|kilos?|g|grams?)?", re.ASCII)


def parse_weight(text: str, bare: str) -> int:
    """Read a weight in grams; a bare number is pounds in an inch book, kilograms in a mm book.

    >>> parse_weight("50 lb", "mm"), parse_weight("23", "mm"), parse_weight("50", "inch")
    (22680, 23000, 22680)
    >>> parse_weight("heavy", "inch")
    Traceback (most recent call last):
    ledger.errors.BadValue: “heavy” is not a weight; write for example 50 lb or 23 kg.
    """
    match = _WEIGHT.fullmatch(tidy(text, _HINT).casefold())
    if not match:
        raise BadValue(f"{quoted(text)} is not a weight; {_HINT}.")
    unit = match[2] or ("lb" if bare == "inch" else "kg")
    return half_up_whole(convert(Fraction(match[1]), unit, "g"))


def show_grams(grams: int) -> str:
    """Show a weight in whole pounds where it is that, else in kilograms.

    >>> show_grams(22680), show_grams(23000), show_grams(1500)
    ('50 lb', '23 kg', '1.5 kg')
    """
    pounds = half_up_whole(convert(grams, "g", "lb"))
    if half_up_whole(convert(pounds, "lb", "g")) == grams:
        return f"{pounds} lb"
    return f"{half_up(Fraction(grams, 1000), 3).normalize():f} kg"

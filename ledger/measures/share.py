"""Shares of something (waste, markup, tax, contingency) as exact fractions."""

import re
from fractions import Fraction

from ledger.errors import BadValue
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import quoted, read_number, tidy

LARGEST = Fraction(100)
_HINT = "write a share such as 6 % or 0.06"
_SHARE = re.compile(r"(?P<number>[0-9.,/ -]*[0-9]) ?(?P<percent>%|percent|per cent|pct)?")


def parse_share(text: str, most: Fraction | None = None) -> Fraction:
    """Read a share; a percent sign divides by a hundred, a bare number must be below one.

    >>> [parse_share(text) for text in ("6 %", "6%", "0.06", "6 percent", ".06")]
    [Fraction(3, 50), Fraction(3, 50), Fraction(3, 50), Fraction(3, 50), Fraction(3, 50)]
    >>> [parse_share(text) for text in ("8.875 %", "8,25%", "1/3", "12-1/2 %", "150 %")]
    [Fraction(71, 800), Fraction(33, 400), Fraction(1, 3), Fraction(1, 8), Fraction(3, 2)]

    >>> parse_share("8,875 %")
    Traceback (most recent call last):
    ledger.errors.BadValue: “8,875” may be 8875 or 8.875; write it one of these two ways.
    >>> parse_share("6")
    Traceback (most recent call last):
    ledger.errors.BadValue: “6” may be 6 % or 600 %; write 6 % or 0.06.
    >>> parse_share("-5 %")
    Traceback (most recent call last):
    ledger.errors.BadValue: “-5 %” is negative; a share is zero or more.
    >>> parse_share("60 %", most=Fraction(1, 2))
    Traceback (most recent call last):
    ledger.errors.BadValue: “60 %” is too much here; write at most 50 %.
    >>> parse_share("a tenth")
    Traceback (most recent call last):
    ledger.errors.BadValue: “a tenth” is not a share; write a share such as 6 % or 0.06.
    """
    tidied = tidy(text, _HINT)
    if tidied.startswith("-"):
        raise BadValue(f"{quoted(text)} is negative; a share is zero or more.")
    match = _SHARE.fullmatch(tidied)
    number = read_number(match["number"]) if match else None
    if match is None or number is None:
        raise BadValue(f"{quoted(text)} is not a share; {_HINT}.")
    if not match["percent"] and 1 <= number <= 100:
        raise BadValue(_bare_number(text, number))
    share = number / 100 if match["percent"] else number
    limit = LARGEST if most is None else most
    if share > limit:
        raise BadValue(f"{quoted(text)} is too much here; write at most {show_share(limit)}.")
    return share


def _bare_number(text: str, number: Fraction) -> str:
    """Say what a bare number of one or more may mean: 6 is hardly ever meant as 600 %."""
    meant = f"{show_share(number / 100)} or {trimmed(half_up(number / 100, 6)):f}"
    return (
        f"{quoted(text)} may be {show_share(number / 100)} or {show_share(number)}; write {meant}."
    )


def show_share(share: Fraction) -> str:
    """Show a share in percent, to four decimals at most.

    >>> show_share(Fraction(3, 50)), show_share(Fraction(71, 800)), show_share(Fraction(1, 3))
    ('6 %', '8.875 %', '33.3333 %')
    """
    return f"{trimmed(half_up(share * 100, 4)):f} %"

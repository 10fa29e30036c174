"""What all readers of spoken values share: tidying a text, and the spellings of a number.

A text is at most 60 characters and only the digits 0 to 9 count as digits, so no reader can be
made to work on a number of a million digits or on digits that only look right.
"""

import re
from fractions import Fraction

from ledger.errors import BadValue

LONGEST_TEXT = 60

_PLAIN_SIGNS = str.maketrans("’‘′”“″‐‑–−⁄", "'''\"\"\"----/")
_GLYPHS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
    "⅞": "7/8",
}  # fmt: skip
_GLYPH = re.compile(f"(?P<digit>[0-9])?(?P<glyph>[{''.join(_GLYPHS)}])")
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]+)[ -])?(?P<over>[0-9]+)/(?P<under>[0-9]+)")
_DECIMAL = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_GROUPED = re.compile(
    r"[1-9][0-9]{0,2}(?P<mark>[., ])[0-9]{3}(?:(?P=mark)[0-9]{3})*"
    r"(?:(?!(?P=mark))(?P<point>[.,])(?P<decimals>[0-9]+))?"
)
_THOUSANDS_OR_NOT = re.compile(r"(?P<whole>[1-9][0-9]{0,2})(?P<mark>[.,])(?P<rest>[0-9]{3})")


def quoted(text: str) -> str:
    r"""Show a text inside a message: cut when long, with nothing unseen left in it.

    >>> quoted("24.5 inc"), quoted("a\x1bb")
    ('“24.5 inc”', '“a�b”')
    """
    shown = text if len(text) <= LONGEST_TEXT else text[:LONGEST_TEXT] + "…"
    return "“" + "".join(char if char.isprintable() else "�" for char in shown) + "”"


def how_many(count: int, thing: str, things: str = "") -> str:
    """Say how many of a thing there are, in the plural but for one.

    >>> how_many(1, "past job"), how_many(3, "past job"), how_many(2, "box", "boxes")
    ('1 past job', '3 past jobs', '2 boxes')
    """
    return f"{count} {thing}" if count == 1 else f"{count} {things or f'{thing}s'}"


_NOT_BY_LETTER = re.compile(r"(?P<an>hour|heir|honest)|(?P<a>uni(?!n)|use|eu|one\b)")
"""Words that sound otherwise than their first letter: an hour, a unit."""


def with_article(thing: str) -> str:
    """A thing with a or an before it, by its sound.

    >>> [with_article(thing) for thing in ("visit", "hour", "edge", "unit", "m²")]
    ['a visit', 'an hour', 'an edge', 'a unit', 'a m²']
    """
    otherwise = _NOT_BY_LETTER.match(thing.casefold())
    is_an = bool(otherwise["an"]) if otherwise else thing[:1].casefold() in tuple("aeiou")
    return f"{'an' if is_an else 'a'} {thing}"


def tidy(text: str, hint: str) -> str:
    r"""Bring a text to plain signs, single spaces and small letters, or refuse it.

    >>> tidy("  4’ 6½″ ", "write a length")
    '4\' 6 1/2"'
    >>> tidy(" ", "write a length such as 622 mm")
    Traceback (most recent call last):
    ledger.errors.BadValue: Nothing is written here; write a length such as 622 mm.
    """
    if len(text) > LONGEST_TEXT:
        raise BadValue(f"{quoted(text)} is longer than {LONGEST_TEXT} characters; {hint}.")
    plain = plain_signs(text)
    if not plain:
        raise BadValue(f"Nothing is written here; {hint}.")
    if not plain.isprintable():
        raise BadValue(f"{quoted(text)} holds a character that cannot be seen; {hint}.")
    return plain


def plain_signs(text: str) -> str:
    r"""A text with plain signs for typographic ones, single spaces and small letters.

    >>> plain_signs("8’ ×  6½″")
    '8\' × 6 1/2"'
    """
    plain = " ".join(text.translate(_PLAIN_SIGNS).split()).lower()
    return _GLYPH.sub(_spelled_glyph, plain.replace("''", '"'))


def _spelled_glyph(match: re.Match[str]) -> str:
    """Write `1½` as `1 1/2` and `½` as `1/2`."""
    whole = f"{match['digit']} " if match["digit"] else ""
    return whole + _GLYPHS[match["glyph"]]


def read_fraction(text: str) -> Fraction | None:
    """Read `1/2`, `24-1/2` or `24 1/2`; None where the text is not of that form.

    >>> read_fraction("24-1/2"), read_fraction("3/4"), read_fraction("0.5")
    (Fraction(49, 2), Fraction(3, 4), None)
    >>> read_fraction("1/0")
    Traceback (most recent call last):
    ledger.errors.BadValue: “1/0” divides by zero; write a fraction such as 1/2.
    >>> read_fraction("24-3/2")
    Traceback (most recent call last):
    ledger.errors.BadValue: “24-3/2” has a fraction of one or more after a whole; write 25-1/2.
    """
    match = _FRACTION.fullmatch(text)
    if match is None:
        return None
    whole, over, under = int(match["whole"] or 0), int(match["over"]), int(match["under"])
    if under == 0:
        raise BadValue(f"{quoted(text)} divides by zero; write a fraction such as 1/2.")
    value = whole + Fraction(over, under)
    if match["whole"] and over >= under:
        right = spell_mixed(value)
        raise BadValue(
            f"{quoted(text)} has a fraction of one or more after a whole; write {right}."
        )
    return value


def spell_mixed(value: Fraction) -> str:
    """Write a fraction as a whole and a part, as on a tape.

    >>> spell_mixed(Fraction(49, 2)), spell_mixed(Fraction(-3, 4)), spell_mixed(Fraction(2))
    ('24-1/2', '-3/4', '2')
    """
    sign = "-" if value < 0 else ""
    whole, over = divmod(abs(value.numerator), value.denominator)
    if over == 0:
        return f"{sign}{whole}"
    part = f"{over}/{value.denominator}"
    return f"{sign}{whole}-{part}" if whole else f"{sign}{part}"


def read_number(text: str) -> Fraction | None:
    """Read a measured number: a fraction, or a decimal with point or comma.

    >>> read_number("24 1/2"), read_number("62,2"), read_number(".5"), read_number("x")
    (Fraction(49, 2), Fraction(311, 5), Fraction(1, 2), None)

    A point is always a decimal point here (31.125 in), but a comma before three digits may be a
    thousands comma, and the two readings are a factor of a thousand apart.

    >>> read_number("2,440")
    Traceback (most recent call last):
    ledger.errors.BadValue: “2,440” may be 2440 or 2.440; write it one of these two ways.
    """
    fraction = read_fraction(text)
    if fraction is not None:
        return fraction
    readings = two_readings(text)
    if readings and "," in text:
        raise BadValue(
            f"{quoted(text)} may be {readings[0]} or {readings[1]}; write it one of these two ways."
        )
    return Fraction(text.replace(",", ".")) if _DECIMAL.fullmatch(text) else None


def two_readings(text: str) -> tuple[str, str] | None:
    """Say how `1,234` or `1.234` may be read: with thousands, or with three decimals.

    >>> two_readings("1,234"), two_readings("1.234"), two_readings("0.054"), two_readings("1,23")
    (('1234', '1.234'), ('1234', '1.234'), None, None)
    """
    match = _THOUSANDS_OR_NOT.fullmatch(text)
    if match is None:
        return None
    return match["whole"] + match["rest"], f"{match['whole']}.{match['rest']}"


def by_mark(text: str, decimal_mark: str) -> str | None:
    """Spell what has two readings by the decimal mark of the book: `point`, `comma` or unknown.

    >>> by_mark("1,234", "point"), by_mark("1,234", "comma"), by_mark("1.234", "comma")
    ('1234', '1.234', '1234')
    >>> by_mark("1,234", ""), by_mark("1,23", "point")
    (None, None)
    """
    readings = two_readings(text)
    if readings is None or not decimal_mark:
        return None
    many, few = readings
    return few if ("," in text) == (decimal_mark == "comma") else many


def as_typed(text: str, decimal_mark: str) -> str:
    """Spell an exact number, its decimals behind a point, so that it is read as typed there.

    >>> as_typed("1.234", "comma"), as_typed("1.234", "point"), as_typed("1.234", "")
    ('1,234', '1.234', '1.2340')
    """
    if decimal_mark == "comma":
        return text.replace(".", ",")
    return f"{text}0" if two_readings(text) and not decimal_mark else text


def plain_decimal(text: str) -> str | None:
    """Spell an amount with a decimal point and no grouping; None where it is not an amount.

    >>> [plain_decimal(text) for text in ("1,234.50", "1.234,50", "1234,50", "1 234.50", "7")]
    ['1234.50', '1234.50', '1234.50', '1234.50', '7']
    >>> [plain_decimal(text) for text in ("1,234,567", "1,23,456", "12.", "-3")]
    ['1234567', None, None, None]
    """
    if _DECIMAL.fullmatch(text):
        return text.replace(",", ".")
    match = _GROUPED.fullmatch(text)
    if match is None:
        return None
    whole = text[: match.start("point")] if match["point"] else text
    digits = whole.replace(match["mark"], "")
    return f"{digits}.{match['decimals']}" if match["decimals"] else digits


def large(words: str) -> str:
    """Words as they begin a row: the first letter large, but for a unit that is written small.

    >>> large("price before tax"), large("km, fees"), large("")
    ('Price before tax', 'km, fees', '')
    """
    return words if words.startswith("km") else words[:1].upper() + words[1:]


_COMMAND = "benchledger "
_SENTENCE_ENDS = re.compile(r"(?<=[.!?]) (?=[A-Z])")


def without_commands(words: str) -> str:
    """The same without what to type at the terminal: no paper or workbook answers a command.

    >>> without_commands("No hours for delivery. Count them: benchledger job line J-1 protect 1")
    'No hours for delivery.'
    >>> without_commands("No price yet: benchledger material price PLY34 88")
    'No price yet.'
    >>> without_commands("Priced as your own; with a helper: benchledger shop set helper_cost=30")
    'Priced as your own.'
    """
    if _COMMAND not in words:
        return words
    kept = [one for one in _SENTENCE_ENDS.split(words) if _COMMAND not in one]
    stem = words.partition(_COMMAND)[0].rstrip(" :")
    return " ".join(kept) or f"{stem.rpartition('; ')[0] or stem}."

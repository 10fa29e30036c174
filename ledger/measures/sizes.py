"""The overall sizes of a piece, read as people say them: `bookcase 8 ft by 7 ft by 12 in`.

Numbers are parted by x, ×, *, by, and, a comma, a semicolon or a space. One unit at the end holds
for all of them; where a unit stands before and none at the end, a bare number after feet is inches,
and one of more than ten after meters is millimeters. A number before a noun counts things
(`5 shelves`) and is no size. What cannot be read is refused with an example, and a reading that
nobody builds (a bookcase 12 ft deep) is asked back. Pure.
"""

import re
from collections.abc import Callable, Sequence
from fractions import Fraction

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.length import LONGEST_SIZE, Length, show_length
from ledger.measures.spoken import plain_signs, quoted, read_number, spell_mixed, two_readings
from ledger.measures.values import replace

LONGEST_DESCRIPTION = 300
MOST_SIZES = 3
_SIDES = {
    "width": ("wide", "width", "w"),
    "height": ("high", "tall", "height", "h"),
    "depth": ("deep", "depth", "d"),
    "length": ("long", "length", "l"),
    "diameter": ("diameter", "dia", "round", "ø"),
    "thickness": ("thick", "thickness"),
}
_SIDE_OF = {word: side for side, words in _SIDES.items() for word in words}
_UNITS = {
    "ft": ("feet", "foot", "ft", "'"),
    "in": ("inches", "inch", "in", '"'),
    "mm": ("millimeters", "millimetres", "millimeter", "millimetre", "mm"),
    "cm": ("centimeters", "centimetres", "centimeter", "centimetre", "cm"),
    "m": ("meters", "metres", "meter", "metre", "m"),
}
_UNIT_OF = {word: unit for unit, words in _UNITS.items() for word in words}
_MARK_OF = {"width": "W", "height": "H", "depth": "D", "length": "L", "diameter": "round",
            "thickness": "thick"}  # fmt: skip
_NUMBER = r"[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+"
_END = r"(?=x ?[0-9]|[^a-zø]|$)"
_TOKEN = re.compile(
    rf"(?P<number>(?<![a-z0-9]){_NUMBER}|(?<=x)(?:{_NUMBER}))"
    rf"|(?P<sign>['\"])"
    rf"|(?P<by>[x×*;](?![a-z])|\bby\b|\band\b)"
    rf"|(?P<comma>,)"
    rf"|(?P<word>[a-z]+-[0-9]+|[a-zø](?:(?!x ?[0-9])[^\W_])*(?:(?<=[0-9])[a-z0-9]*)?){_END}"
    r"|(?P<other>\S)"
)


def _with_inches(match: re.Match[str]) -> str:
    return f"{match[1].rstrip('- ')} {match[2]} in"


_GLUED: tuple[tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]], ...] = (
    (
        re.compile(r"(?<![0-9.,])[0-9]+(?:,[0-9]+){2,}(?![0-9.,])"),
        lambda m: m[0].replace(",", ", "),
    ),
    (re.compile(r"(?<=[0-9])((?:ft|')-?|' )([0-9]{1,2})(?= ?(?:x|×|,|by\b|$))"), _with_inches),
    (re.compile(r"(?<=[0-9])(ft|')-?(?=[0-9])"), r"\1 "),
    (re.compile(r"⌀"), "ø"),
    (re.compile(r"\b([whdlø])(?=[0-9])"), r"\1 "),
    (re.compile(r"\b(round\b.*[0-9]['\"]? ?(?:[a-z]+ )?)across\b"), r"\1diameter"),
    (re.compile(r"\b([0-9]+)m([0-9]{2})\b"), r"\1.\2m"),
)
MOST_COUNTED = 500
_EXAMPLE = {"inch": "8 ft x 7 ft x 12 in", "mm": "2400 x 2100 x 300"}
_SIX_FEET = Length.of(6, "ft")
_FARTHEST = {"inch": Length.of(400, "in"), "mm": LONGEST_SIZE}
_NEAREST = Length.of(150, "mm")
"""A bare piece larger or smaller than any is asked back: it is of the other unit."""


class SpokenSize(Struct, frozen=True):
    """One size, and the side that it was said of: `width`, `height` … or nothing."""

    length: Length
    side: str = ""


class SpokenSizes(Struct, frozen=True):
    """What a description says of sizes: the sizes in its order, what it counts, its other words.

    `assumed` says which unit was put in, `question` what must be asked back before the sizes are
    used; both are empty where there is nothing to say.
    """

    sizes: tuple[SpokenSize, ...]
    counts: tuple[tuple[int, str], ...] = ()
    words: str = ""
    assumed: str = ""
    question: str = ""

    def repeated(self, units: str) -> str:
        """Say what was read in the units of the book, as `Read as 96 × 84 × 12 in.` does."""
        marks = [_MARK_OF.get(size.side, "") for size in self.sizes]
        shown = [show_length(size.length, units) for size in self.sizes]
        texts = [" ".join(filter(None, both)) for both in zip(shown, marks, strict=True)]
        unit = "in" if units == "inch" else "mm"
        return f"Read as {' × '.join(texts)} {unit}{self.assumed}."


class _Number(Struct, frozen=True):
    """A number as it stands: its text, its unit and side, and what parts it from the last one."""

    text: str
    value: Fraction
    unit: str = ""
    side: str = ""
    joint: str = ""
    noun: str = ""
    rest: Fraction = Fraction(0)
    """Inches that follow whole feet."""

    @property
    def is_bare(self) -> bool:
        """Whether it has neither unit nor side."""
        return not self.unit and not self.side


def read_sizes(text: str, units: str) -> SpokenSizes:
    """Read the sizes of a description; bare numbers are inches or millimeters as `units` says.

    >>> read_sizes("bookcase 8 ft by 7 ft by 12 in", "inch").repeated("inch")
    'Read as 96 × 84 × 12 in.'
    >>> read_sizes("84 high x 96 wide", "inch").repeated("inch")
    'Read as 84 H × 96 W in.'
    >>> read_sizes("1.2m x 600", "mm").repeated("mm")
    'Read as 1200 × 600 mm (the bare number after meters as millimeters).'
    >>> read_sizes("8 x 7 x 12 ft", "inch").question
    '12 ft deep? For inches write 8 ft x 7 ft x 12 in.'
    >>> read_sizes("desk with 2 drawers", "inch").counts
    ((2, 'drawers'),)

    Raises:
        BadValue: a number is neither a size nor a count, or sizes cannot be told apart.

    """
    if len(text) > LONGEST_DESCRIPTION:
        most = f"at most {LONGEST_DESCRIPTION} are read"
        raise BadValue(f"{quoted(text)} has {len(text)} characters; {most}.")
    numbers, words = _numbers(plain_signs(text), units)
    counts = tuple((int(n.value), n.noun) for n in numbers if n.noun)
    sized = [n for n in numbers if not n.noun]
    overall = [n for n in sized if n.side != "thickness"] or sized
    if not overall:
        return SpokenSizes((), counts, words)
    if len(overall) > MOST_SIZES:
        all_of_them = ", ".join(n.text for n in overall)
        raise BadValue(f"{all_of_them}: a piece has at most three sizes; {_example(units)}.")
    if len(overall) == 1 and overall[0].is_bare:
        alone, unit = overall[0].text, "in" if units == "inch" else "mm"
        right = f"say its unit or its side, as {alone} {unit} wide"
        raise BadValue(f"{quoted(alone)} stands alone; {right}.")
    with_units, assumed = _with_units(overall, units)
    sizes = tuple(SpokenSize(_length(n, units, text), n.side) for n in with_units)
    question = _question(overall, with_units, [size.length for size in sizes], units)
    return SpokenSizes(sizes, counts, words, assumed, question)


def _example(units: str) -> str:
    return f"write for example {_EXAMPLE[units]}"


def _numbers(text: str, units: str) -> tuple[list[_Number], str]:
    """The numbers of a text with what belongs to each, and its other words."""
    numbers: list[_Number] = []
    words: list[str] = []
    joint, side_before, is_open = "", "", False
    tokens = [(match.lastgroup or "", match[0]) for match in _TOKEN.finditer(_parted(text))]
    for place, (group, token) in enumerate(tokens):
        before, following = tokens[place - 1][0], (*tokens, ("", ""))[place + 1]
        if group == "number":
            numbers.append(_number(token, side_before, joint if is_open else "start", units))
            joint, side_before, is_open = "space", "", True
        elif group in ("by", "comma"):
            joint = "by" if group == "by" else "comma"
        elif (
            token in _UNIT_OF
            and is_open
            and (_takes_unit(numbers[-1], token, before, following, units))
        ):
            numbers[-1] = replace(numbers[-1], unit=_UNIT_OF[token])
            _join_inches(numbers)
        elif joint == "space" and is_open and numbers[-1].side in ("", _SIDE_OF.get(token)) \
                and token in _SIDE_OF:  # fmt: skip
            numbers[-1] = replace(numbers[-1], side=_SIDE_OF[token])
        elif token in _SIDE_OF and following[0] == "number":
            side_before, is_open = _SIDE_OF[token], bool(numbers)
        elif group == "word":
            if is_open and joint == "space" and _is_count(numbers, token):
                numbers[-1] = replace(numbers[-1], noun=token)
            words.append(token)
            is_open = False
        elif group == "other" and any(char.isdigit() for char in token):
            raise BadValue(f"{quoted(text)} has a number that is not read; {_example(units)}.")
        elif token == "-" and is_open and following[0] == "number":
            raise BadValue(f"{quoted(text)} may be a range; {_example(units)}.")
    _require_read(numbers, units)
    return numbers, " ".join(words)


def _parted(text: str) -> str:
    """A text with spaces where people leave them out, so that each number stands by itself.

    >>> _parted("96,84,12"), _parted("8ft6"), _parted("8'-6"), _parted("w96"), _parted("2m40")
    ('96, 84, 12', '8ft 6 in', "8' 6 in", 'w 96', '2.40m')
    """
    for pattern, parted in _GLUED:
        text = pattern.sub(parted, text)
    return text


def _number(token: str, side: str, joint: str, units: str) -> _Number:
    value = read_number(token)
    if value is None:
        raise BadValue(f"{quoted(token)} is not a size; {_example(units)}.")
    return _Number(token, value, side=side, joint=joint)


def _takes_unit(
    number: _Number, token: str, before: str, following: tuple[str, str], units: str
) -> bool:
    """Whether a word is the unit of the number before it; `in` may also begin “in oak”."""
    if number.unit or number.noun or (number.side and before != "number"):
        return False
    is_preposition = (
        token == "in" and units == "mm" and following[0] == "word"
        and following[1] not in _SIDE_OF and number.value > 100
    )  # fmt: skip
    return not is_preposition


def _join_inches(numbers: list[_Number]) -> None:
    """Make one size of feet and the inches right after them: 8 ft 6 in, 8'6."""
    if len(numbers) < 2:
        return
    feet, inches = numbers[-2:]
    is_one = (
        feet.unit == "ft" and inches.unit == "in" and inches.joint == "space"
        and not (feet.side or inches.noun or feet.rest) and feet.value.denominator == 1
        and inches.value < 12
    )  # fmt: skip
    if is_one:
        text = f"{feet.text} ft {inches.text} in"
        numbers[-2:] = [replace(feet, text=text, rest=inches.value, side=inches.side)]


def _is_count(numbers: Sequence[_Number], noun: str) -> bool:
    """Whether the last number counts what follows it: 5 shelves, but not 96 x 84 x 12 oak."""
    last = numbers[-1]
    if not last.is_bare or last.value.denominator != 1 or last.value > MOST_COUNTED:
        return False
    return last.joint in ("start", "comma") or (last.joint == "space" and noun.endswith("s"))


def _require_read(numbers: Sequence[_Number], units: str) -> None:
    """Refuse a bare number that stands by itself between words: neither a size nor a count."""
    for place, number in enumerate(numbers):
        is_joined = number.joint != "start" or any(
            after.joint != "start" for after in numbers[place + 1 : place + 2]
        )
        if number.is_bare and not number.noun and not is_joined and len(numbers) > 1:
            raise BadValue(f"{quoted(number.text)} is neither a size nor a count; give it a unit,"
                           f" or {_example(units)}.")  # fmt: skip


def _with_units(numbers: Sequence[_Number], units: str) -> tuple[list[_Number], str]:
    """Each number with its unit, and which units were put in beside those that were said."""
    named = [number.unit for number in numbers]
    if not any(named):
        return [replace(number, unit=units) for number in numbers], ""
    full, assumed = [], ""
    for place, number in enumerate(numbers):
        before = next((unit for unit in reversed(named[:place]) if unit), "")
        after = next((unit for unit in named[place:] if unit), "")
        if number.unit or after:
            if not number.unit and before not in ("", after):
                raise BadValue(f"{quoted(number.text)} may be {before} or {after}; say its unit.")
            full.append(replace(number, unit=after))
            continue
        unit = before
        if before == "ft":
            unit, assumed = "in", " (the bare number after feet as inches)"
        elif before == "m" and number.value > 10:
            unit, assumed = "mm", " (the bare number after meters as millimeters)"
        full.append(replace(number, unit=unit))
    return full, assumed


def _length(number: _Number, units: str, text: str) -> Length:
    if number.unit == "mm" and "." in number.text and two_readings(number.text):
        both = " or ".join(two_readings(number.text) or ())
        raise BadValue(f"{quoted(number.text)} may be {both}; write it one of these two ways.")
    length = Length.of(number.value, number.unit) + Length.of(number.rest, "in")
    if not length:
        raise BadValue(f"{quoted(number.text)} is zero; {_example(units)}.")
    if length > LONGEST_SIZE:
        raise BadValue(f"{quoted(text)}: {number.text} is longer than 100 m; {_example(units)}.")
    return length


def _question(
    typed: Sequence[_Number], full: Sequence[_Number], lengths: Sequence[Length], units: str
) -> str:
    """What must be asked back: a depth of more than 6 ft, or a bare size of the other unit."""
    is_all_feet = typed[-1].unit == "ft" and not any(n.unit or n.side for n in typed[:-1])
    if len(full) == MOST_SIZES and is_all_feet and min(lengths) > _SIX_FEET:
        first, second, last = (n.text for n in full)
        return f"{last} ft deep? For inches write {first} ft x {second} ft x {last} in."
    if any(n.unit for n in typed):
        return ""
    largest = max(lengths)
    texts = " x ".join(n.text for n in typed)
    if units == "inch" and largest > _FARTHEST["inch"]:
        feet = spell_mixed(Fraction(round(largest.feet)))
        return f"That would be {feet} ft. For millimeters write {texts} mm."
    if units == "mm" and largest < _NEAREST:
        return f"That would be {show_length(largest, 'mm')} mm. For inches write {texts} in."
    return ""


def is_size_word(word: str) -> bool:
    """Whether a word is a unit or a side of a size: `ft`, `wide`."""
    return word in _UNIT_OF or word in _SIDE_OF


def read_title(text: str, units: str) -> SpokenSizes:
    """What a title says of sizes, which was not written for this: what is in doubt is left out.

    >>> read_title("Bed no. 3", "inch").sizes, read_title("Desk 60 x 28", "inch").words
    ((), 'desk')
    """
    try:
        read = read_sizes(text, units)
    except BadValue:
        return SpokenSizes((), words=plain_signs(text))
    return replace(read, sizes=()) if read.question else read

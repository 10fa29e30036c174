"""Worked time as whole minutes, read as it is spoken."""

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from ledger.errors import BadValue
from ledger.measures.rounding import apportion, half_up, half_up_whole
from ledger.measures.spoken import quoted, read_number, tidy

DAY = 24 * 60
_HINT = "write a duration such as 1h45, 1:30, 90m or 1.5"
_MINUTES = r"(?:m|min|mins|minute|minutes|')"
_HOURS = r"(?:h|hr|hrs|hour|hours)"
_CLOCK = re.compile(
    rf"(?P<hours>[0-9]+) ?(?:: ?(?P<after>[0-9]{{2}})"
    rf"|{_HOURS} ?(?P<minutes>[0-9]{{1,2}}) ?{_MINUTES}?)"
)
_ONE_UNIT = re.compile(
    rf"(?P<number>[0-9.,/ -]*[0-9]) ?(?:(?P<hours>{_HOURS})|(?P<minutes>{_MINUTES}))?"
)


def parse_duration(text: str, longest: int = DAY, *, is_whole_job: bool = True) -> int:
    """Read a duration into minutes, half-up; a bare number is hours.

    A bare number above 24 is asked about, unless `longest` says that it may last for days and it is
    of a whole job.

    >>> [parse_duration(text) for text in ("1h45", "1h45m", "1 h 45 min", "1:45", "1h05")]
    [105, 105, 105, 105, 65]
    >>> [parse_duration(text) for text in ("90m", "90 min", "90 minutes", "45'")]
    [90, 90, 90, 45]
    >>> [parse_duration(text) for text in ("1.5", "1,5", "1.5h", "2h", "2 hours", "1-1/2", "¾ h")]
    [90, 90, 90, 120, 120, 90, 45]

    >>> parse_duration("90")
    Traceback (most recent call last):
    ledger.errors.BadValue: “90” is a long time in hours; is it 90m or 90h?
    >>> parse_duration("1h75")
    Traceback (most recent call last):
    ledger.errors.BadValue: “1h75” has 60 or more minutes after its hours; write 2h15.
    >>> parse_duration("0")
    Traceback (most recent call last):
    ledger.errors.BadValue: “0” comes to no whole minute; write a duration such as 1h45, 1:30, \
90m or 1.5.
    >>> parse_duration("25h")
    Traceback (most recent call last):
    ledger.errors.BadValue: “25h” is too long for one entry; write at most 24h.
    >>> parse_duration("40h", longest=60 * 60), parse_duration("40", longest=60 * 60)
    (2400, 2400)
    >>> parse_duration("-1h")
    Traceback (most recent call last):
    ledger.errors.BadValue: “-1h” is negative; a duration is more than zero.
    >>> parse_duration("a while")
    Traceback (most recent call last):
    ledger.errors.BadValue: “a while” is not a duration; write a duration such as 1h45, 1:30, \
90m or 1.5.
    """
    tidied = tidy(text, _HINT)
    if tidied.startswith("-"):
        raise BadValue(f"{quoted(text)} is negative; a duration is more than zero.")
    minutes = _hours_and_minutes(tidied)
    if minutes is None:
        minutes = _one_unit(tidied, is_within_a_day=longest <= DAY or not is_whole_job)
    if minutes is None:
        raise BadValue(f"{quoted(text)} is not a duration; {_HINT}.")
    if minutes == 0:
        raise BadValue(f"{quoted(text)} comes to no whole minute; {_HINT}.")
    if minutes > longest:
        most = show_minutes(longest)
        raise BadValue(f"{quoted(text)} is too long for one entry; write at most {most}.")
    return minutes


def _hours_and_minutes(text: str) -> int | None:
    """Read `1h45` and `1:45`."""
    match = _CLOCK.fullmatch(text)
    if match is None:
        return None
    hours, minutes = int(match["hours"]), int(match["after"] or match["minutes"])
    total = 60 * hours + minutes
    if minutes >= 60:
        right = show_minutes(total)
        raise BadValue(f"{quoted(text)} has 60 or more minutes after its hours; write {right}.")
    return total


def _one_unit(text: str, *, is_within_a_day: bool) -> int | None:
    """Read a number of minutes or hours; a bare number is hours, unless a day has fewer."""
    match = _ONE_UNIT.fullmatch(text)
    number = read_number(match["number"]) if match else None
    if match is None or number is None:
        return None
    if match["minutes"]:
        return half_up_whole(number)
    if match["hours"] is None and number > 24 and is_within_a_day:
        raise BadValue(f"{quoted(text)} is a long time in hours; is it {text}m or {text}h?")
    return half_up_whole(number * 60)


def show_minutes(minutes: int) -> str:
    """Show minutes as they are spoken; every spelling reads back the same.

    >>> [show_minutes(minutes) for minutes in (105, 65, 120, 45, 0, -105)]
    ['1h45', '1h05', '2h', '45m', '0m', '-1h45']
    """
    sign = "-" if minutes < 0 else ""
    hours, rest = divmod(abs(minutes), 60)
    if hours == 0:
        return f"{sign}{rest}m"
    return f"{sign}{hours}h{rest:02}" if rest else f"{sign}{hours}h"


def parse_hours_changed(text: str, longest: int) -> int:
    """Read by how much a change changes hours, in minutes: more, none, or fewer as “-10”.

    >>> [parse_hours_changed(text, 6000) for text in ("2h", "0", "-0.5", "− 10h", "0.0 h")]
    [120, 0, -30, -600, 0]
    """
    written = tidy(text, _HINT).casefold()
    size = written.lstrip("-−").strip()
    if re.fullmatch(rf"0+([.,]0*)? ?({_HOURS}|{_MINUTES})?", size):
        return 0
    return (-1 if size != written else 1) * parse_duration(size, longest)


def to_hours(minutes: int | Fraction) -> Decimal:
    """Turn minutes into hours with two decimals, half-up.

    >>> to_hours(105), to_hours(Fraction(1, 3)), to_hours(100)
    (Decimal('1.75'), Decimal('0.01'), Decimal('1.67'))
    """
    return half_up(Fraction(minutes) / 60, 2)


def split_minutes[K](minutes: int, weights: Mapping[K, Fraction]) -> dict[K, int]:
    """Divide whole minutes in proportion to the weights; they add up, parts of 0 are left out.

    >>> split_minutes(100, {"SND": Fraction(2), "SPR": Fraction(1), "SBC": Fraction(0)})
    {'SND': 67, 'SPR': 33}
    """
    parts = zip(weights, apportion(minutes, weights.values()), strict=True)
    return {key: part for key, part in parts if part}

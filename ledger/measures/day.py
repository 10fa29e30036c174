"""Days, months and times of day, read as they are spoken.

Nothing here asks the clock: the reader is told which day is today.
"""

import re
from calendar import monthrange
from datetime import date, time, timedelta

from msgspec import Struct, field

from ledger.errors import BadValue
from ledger.measures.custom import DAY_FIRST, MONTH_FIRST
from ledger.measures.spoken import quoted, tidy
from ledger.measures.yearless import is_just_ahead, last_such_day

FIRST_YEAR, LAST_YEAR = 1900, 2199
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_DAY_HINT = "write a day such as 2025-05-06, yesterday, mon, -2d or {}"
_SPOKEN = {DAY_FIRST: "6 may or 6.5.", MONTH_FIRST: "may 6 or 5/6"}
"""Examples of a day without its year, as it is written in each order."""
_MONTH_HINT = "write a month such as 2025-05, may, may 2025, this or last"
_TIME_HINT = "write a time such as 15:40, 1540 or 3:40pm"
_ISO = re.compile(r"(?P<year>[0-9]{4})-(?P<month>[0-9]{1,2})-(?P<day>[0-9]{1,2})")
_STEPS = re.compile(r"(?P<sign>[-+])(?P<days>[0-9]{1,4}) ?d(?:ays?)?")
_DAY_AND_MONTH = re.compile(
    r"(?:(?P<day>[0-9]{1,2}) (?P<month>[a-z]+)|(?P<first>[a-z]+) (?P<second>[0-9]{1,2}))"
    r"(?:,? (?P<year>[0-9]{4}))?"
)
_NUMBERS = re.compile(
    r"(?P<one>[0-9]{1,2})(?P<mark>[/.-])(?P<two>[0-9]{1,2})(?P=mark)"
    r"(?P<year>[0-9]{4}|(?<!-)[0-9]{2})"
)
_SHORT = re.compile(r"(?P<one>[0-9]{1,2})(?P<mark>[/.])(?P<two>[0-9]{1,2})\.?")
_YEAR_MONTH = re.compile(r"(?P<year>[0-9]{4})-(?P<month>[0-9]{1,2})")
_MONTH_NAME = re.compile(r"(?P<month>[a-z]+)(?: (?P<year>[0-9]{4}))?")
_TIME = re.compile(
    r"(?:(?P<hour>[0-9]{1,2})(?:[:.](?P<minute>[0-9]{2}))?|(?P<plain>[0-9]{4}))"
    r" ?(?P<half>am|pm|a\.m\.|p\.m\.)?"
)


class Month(Struct, frozen=True, order=True):
    """A calendar month; months compare in time, and their text is `2025-05`."""

    year: int
    month: int

    def __post_init__(self) -> None:
        if not 1 <= self.month <= 12:
            raise BadValue(f"A year has no month {self.month}; write 1 to 12.")
        if not FIRST_YEAR <= self.year <= LAST_YEAR:
            raise BadValue(f"The year {self.year} is outside {FIRST_YEAR} to {LAST_YEAR}.")

    @classmethod
    def of(cls, day: date) -> "Month":
        """Give the month a day lies in.

        >>> str(Month.of(date(2025, 5, 6)))
        '2025-05'
        """
        return cls(day.year, day.month)

    @property
    def first(self) -> date:
        """The first day of the month."""
        return date(self.year, self.month, 1)

    @property
    def last(self) -> date:
        """The last day of the month."""
        return date(self.year, self.month, monthrange(self.year, self.month)[1])

    def next(self) -> "Month":
        """Give the month after this one.

        >>> str(Month(2025, 12).next())
        '2026-01'
        """
        return Month.of(self.last + timedelta(days=1))

    def previous(self) -> "Month":
        """Give the month before this one.

        >>> str(Month(2025, 1).previous())
        '2024-12'
        """
        return Month.of(self.first - timedelta(days=1))

    def __str__(self) -> str:
        return f"{self.year}-{self.month:02}"


def parse_day(text: str, today: date, *, future: bool = False, order: str = "") -> date:
    """Read a day; one after today is refused unless `future` allows it.

    `order` (`month_first` or `day_first`) reads a numeric date; without it there is none. Points
    part only dates whose day comes first.

    >>> today = date(2025, 5, 7)  # a Wednesday
    >>> words = ("2025-05-06", "2025-5-6", "yesterday", "-1d", "tue", "tuesday", "6 may", "may 6")
    >>> {str(parse_day(text, today)) for text in words}
    {'2025-05-06'}
    >>> [str(parse_day(text, today)) for text in ("today", "wed", "thu", "8 jul", "May 6, 2024")]
    ['2025-05-07', '2025-05-07', '2025-05-01', '2024-07-08', '2024-05-06']
    >>> str(parse_day("+30d", today, future=True)), str(parse_day("tomorrow", today, future=True))
    ('2025-06-06', '2025-05-08')

    >>> str(parse_day("5/6/2025", today, order="month_first"))
    '2025-05-06'
    >>> {str(parse_day(text, today, order="month_first")) for text in ("5/6", "05/06", "may 6")}
    {'2025-05-06'}
    >>> words = ("6.5.2025", "06/05/25", "6.5.", "6.5", "6/5")
    >>> {str(parse_day(text, today, order="day_first")) for text in words}
    {'2025-05-06'}

    >>> parse_day("13/6/2025", today, order="month_first")
    Traceback (most recent call last):
    ledger.errors.BadValue: “13/6/2025” has no month 13, and dates are written month first here; \
write 2025-06-13.
    >>> parse_day("5/6/2025", today)
    Traceback (most recent call last):
    ledger.errors.BadValue: “5/6/2025” may be 5 June 2025 or 6 May 2025; write 2025-06-05 \
or 2025-05-06.
    >>> parse_day("13/6/2025", today)
    Traceback (most recent call last):
    ledger.errors.BadValue: “13/6/2025” is not how days are written here; write 2025-06-13.
    >>> parse_day("2025-02-30", today)
    Traceback (most recent call last):
    ledger.errors.BadValue: “2025-02-30” does not exist; February 2025 has 28 days.
    >>> parse_day("2025-05-08", today)
    Traceback (most recent call last):
    ledger.errors.BadValue: “2025-05-08” lies after today, 2025-05-07; write a day up to today.
    >>> parse_day("6 may", today, future=True)
    Traceback (most recent call last):
    ledger.errors.BadValue: “6 may” has no year, and may lie ahead; write 6 may 2025 or 6 may 2026.
    >>> parse_day("someday", today)
    Traceback (most recent call last):
    ledger.errors.BadValue: “someday” is not a day; write a day such as 2025-05-06, yesterday, \
mon, -2d or 6 may.
    """
    hint = _day_hint(order)
    tidied = tidy(text, hint)
    day = _near_day(tidied, today)
    if day is None:
        day = _calendar_day(tidied, today, future=future, order=order)
    if day is None:
        raise BadValue(f"{quoted(text)} is not a day; {hint}.")
    if day > today and not future:
        raise BadValue(f"{quoted(text)} lies after today, {today}; write a day up to today.")
    return day


def _day_hint(order: str) -> str:
    """What a day may look like in a book of this order."""
    return _DAY_HINT.format(_SPOKEN.get(order, "6 may"))


def _near_day(text: str, today: date) -> date | None:
    """Read a day told from today: `yesterday`, `mon`, `-2d`."""
    words = {"today": 0, "yesterday": -1, "tomorrow": 1}
    steps = _STEPS.fullmatch(text)
    if text in words:
        days = words[text]
    elif steps:
        days = int(steps["sign"] + steps["days"])
    elif (weekday := _index(text, WEEKDAYS)) is not None:
        days = -((today.weekday() - weekday) % 7)
    else:
        return None
    return today + timedelta(days=days)


def _calendar_day(text: str, today: date, *, future: bool, order: str) -> date | None:
    """Read a day of the calendar: ISO 8601, numbers in order, or a day and its month's name."""
    if match := _ISO.fullmatch(text):
        return _real_day(text, int(match["year"]), int(match["month"]), int(match["day"]))
    if match := _NUMBERS.fullmatch(text):
        return _ordered_day(text, match, order)
    if match := _SHORT.fullmatch(text):
        return _short_day(text, match, today, future=future, order=order)
    match = _DAY_AND_MONTH.fullmatch(text)
    index = _index(match["month"] or match["first"], MONTHS) if match else None
    if match is None or index is None:
        return None
    day = int(match["day"] or match["second"])
    if match["year"]:
        return _real_day(text, int(match["year"]), index + 1, day)
    if future:
        choice = f"{text} {today.year} or {text} {today.year + 1}"
        raise BadValue(f"{quoted(text)} has no year, and may lie ahead; write {choice}.")
    return _latest(text, index + 1, day, today)


def _short_day(
    text: str, match: re.Match[str], today: date, *, future: bool, order: str
) -> date | None:
    """Read `16.5.` or `5/16` where the order of the book decides; nothing where none does.

    Points part only dates whose day comes first, as with a year.
    """
    is_point = match["mark"] == "."
    is_ordered = order == DAY_FIRST or (order == MONTH_FIRST and not is_point)
    if not is_ordered or (text.endswith(".") and not is_point):
        return None
    one, two = int(match["one"]), int(match["two"])
    month, day = (one, two) if order == MONTH_FIRST else (two, one)
    if not 1 <= month <= 12:
        first = order.replace("_", " ")
        raise BadValue(
            f"{quoted(text)} has no month {month}, and dates are written {first} here;"
            f" {_day_hint(order)}."
        )
    if future:
        ahead = " or ".join(f"{year}-{month:02}-{day:02}" for year in (today.year, today.year + 1))
        raise BadValue(f"{quoted(text)} has no year, and may lie ahead; write {ahead}.")
    return _latest(text, month, day, today)


def _latest(text: str, month: int, day: int, today: date) -> date:
    """Give the latest such day not after today; refuse one that lies just ahead instead."""
    if (last := last_such_day(month, day, today)) and is_just_ahead(month, day, today):
        raise BadValue(
            f"{quoted(text)} has no year and lies just after today, {today}; write a day up to"
            f" today, or {last} if it was then."
        )
    return last or _real_day(text, today.year, month, day)


def _real_day(text: str, year: int, month: int, day: int) -> date:
    """Make a date, or say how many days its month has."""
    last = Month(year, month).last.day
    if not 1 <= day <= last:
        named = f"{MONTHS[month - 1]} {year}"
        raise BadValue(f"{quoted(text)} does not exist; {named} has {last} days.")
    return date(year, month, day)


def _ordered_day(text: str, match: re.Match[str], order: str) -> date:
    """Read `5/6/2025` in the order of the book, or say what it may mean."""
    is_ordered = order == DAY_FIRST or (order == MONTH_FIRST and match["mark"] != ".")
    if not is_ordered:
        raise BadValue(_both_readings(text, match))
    one, two = int(match["one"]), int(match["two"])
    month, day = (one, two) if order == MONTH_FIRST else (two, one)
    if month > 12 and 1 <= day <= 12:
        right = _real_day(text, _whole_year(match), day, month)
        first = order.replace("_", " ")
        raise BadValue(
            f"{quoted(text)} has no month {month}, and dates are written {first} here;"
            f" write {right}."
        )
    return _real_day(text, _whole_year(match), month, day)


def _whole_year(match: re.Match[str]) -> int:
    """Give the year; of two digits it is one of this century."""
    return int(match["year"]) + (2000 if len(match["year"]) == 2 else 0)


def _both_readings(text: str, match: re.Match[str]) -> str:
    """Say what `5/6/2025` may mean in words, and how to write each."""
    one, two, year = int(match["one"]), int(match["two"]), _whole_year(match)
    days = []
    for day, month in dict.fromkeys([(one, two), (two, one)]):
        if 1 <= month <= 12 and FIRST_YEAR <= year <= LAST_YEAR:
            days.append(_real_day(text, year, month, day))
    if not days:
        return f"{quoted(text)} is not a day; {_day_hint('')}."
    written = " or ".join(str(day) for day in days)
    if len(days) == 1:
        return f"{quoted(text)} is not how days are written here; write {written}."
    spoken = " or ".join(in_words(day) for day in days)
    return f"{quoted(text)} may be {spoken}; write {written}."


class DateReader(Struct, frozen=True):
    """Reads days as one shop writes them; a numeric date with two readings is remembered.

    Such a date that is read wrongly is a date all the same, so it is said back in words. With
    points the day comes first everywhere, so that one has a single reading.
    """

    today: date
    order: str = ""
    numeric: dict[str, date] = field(default_factory=dict)

    def read(self, text: str, *, future: bool = False) -> date:
        """Read a day, see `parse_day`."""
        day = parse_day(text, self.today, future=future, order=self.order)
        words = text.strip()
        match = _NUMBERS.fullmatch(words) or _SHORT.fullmatch(words)
        if match and match["mark"] != "." and day.day <= 12 and day.day != day.month:
            self.numeric[words] = day
        return day

    def said_back(self) -> str:
        """Say how dates with two readings were read, the first three of them; empty without any.

        >>> dates = DateReader(date(2025, 5, 20), "month_first")
        >>> _ = [dates.read(text) for text in ("5/13/2025", "2025-05-12", "5/6/25")]
        >>> dates.said_back()
        'Dates were read month first: 5/6/25 is May 6, 2025.'
        """
        if not self.numeric:
            return ""
        read = [f"{text} is {in_words(day, self.order)}" for text, day in self.numeric.items()]
        more = f"; and {len(read) - 3} more" if len(read) > 3 else ""
        return f"Dates were read {self.order.replace('_', ' ')}: {'; '.join(read[:3])}{more}."


def in_words(day: date, order: str = "") -> str:
    """Write a day with the name of its month.

    >>> in_words(date(2025, 5, 13), "month_first"), in_words(date(2025, 5, 13))
    ('May 13, 2025', '13 May 2025')
    """
    month = MONTHS[day.month - 1]
    if order == MONTH_FIRST:
        return f"{month} {day.day}, {day.year}"
    return f"{day.day} {month} {day.year}"


def _index(text: str, names: tuple[str, ...]) -> int | None:
    """Find a month or weekday by at least three letters of its name."""
    if len(text) < 3:
        return None
    indexes = [index for index, name in enumerate(names) if name.lower().startswith(text)]
    return indexes[0] if indexes else None


def parse_month(text: str, today: date) -> Month:
    """Read a month; a name alone is the latest such month not after this one.

    >>> today = date(2025, 5, 7)
    >>> {str(parse_month(text, today)) for text in ("2025-05", "may", "May 2025", "this")}
    {'2025-05'}
    >>> [str(parse_month(text, today)) for text in ("last", "last month", "jun", "2025-4")]
    ['2025-04', '2025-04', '2024-06', '2025-04']
    >>> parse_month("2025-13", today)
    Traceback (most recent call last):
    ledger.errors.BadValue: A year has no month 13; write 1 to 12.
    >>> parse_month("5/2025", today)
    Traceback (most recent call last):
    ledger.errors.BadValue: “5/2025” is not a month; write a month such as 2025-05, may, \
may 2025, this or last.
    """
    tidied = tidy(text, _MONTH_HINT)
    this = Month.of(today)
    if tidied.removesuffix(" month") == "this":
        return this
    if tidied.removesuffix(" month") == "last":
        return this.previous()
    if match := _YEAR_MONTH.fullmatch(tidied):
        return Month(int(match["year"]), int(match["month"]))
    match = _MONTH_NAME.fullmatch(tidied)
    index = _index(match["month"], MONTHS) if match else None
    if match is None or index is None:
        raise BadValue(f"{quoted(text)} is not a month; {_MONTH_HINT}.")
    if match["year"]:
        return Month(int(match["year"]), index + 1)
    return Month(today.year if index < today.month else today.year - 1, index + 1)


def parse_time(text: str) -> time:
    """Read a time of day, on a 24-hour clock or with am and pm.

    >>> [str(parse_time(text)) for text in ("15:40", "3:40pm", "3:40 PM", "1540", "9:05", "3pm")]
    ['15:40:00', '15:40:00', '15:40:00', '15:40:00', '09:05:00', '15:00:00']
    >>> str(parse_time("12am")), str(parse_time("12:30 p.m."))
    ('00:00:00', '12:30:00')
    >>> parse_time("24:00")
    Traceback (most recent call last):
    ledger.errors.BadValue: “24:00” is not a time of day; write a time such as 15:40, 1540 \
or 3:40pm.
    >>> parse_time("3")
    Traceback (most recent call last):
    ledger.errors.BadValue: “3” may be morning or afternoon; write 3am or 3pm.
    """
    tidied = tidy(text, _TIME_HINT)
    match = _TIME.fullmatch(tidied)
    if match is None:
        raise BadValue(f"{quoted(text)} is not a time of day; {_TIME_HINT}.")
    plain = match["plain"]
    hour = int(plain[:2] if plain else match["hour"])
    minute = int(plain[2:] if plain else match["minute"] or 0)
    half = (match["half"] or "").replace(".", "")
    bare = not plain and match["minute"] is None and not half
    if bare and 1 <= hour <= 12:
        raise BadValue(f"{quoted(text)} may be morning or afternoon; write {hour}am or {hour}pm.")
    if bare or minute > 59 or hour > 23 or (half and not 1 <= hour <= 12):
        raise BadValue(f"{quoted(text)} is not a time of day; {_TIME_HINT}.")
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    return time(hour, minute)

"""A day of the calendar without its year: the last one, unless one lies just ahead."""

from calendar import monthrange
from datetime import date, timedelta

JUST_AHEAD = 31
"""Days within which a day that is written without its year is taken for one to come."""


def last_such_day(month: int, day: int, today: date) -> date | None:
    """Find the latest such day not after today; 29 February may lie eight years back.

    >>> last_such_day(5, 8, date(2025, 5, 7))
    datetime.date(2024, 5, 8)
    """
    for year in range(today.year, today.year - 9, -1):
        if _exists(year, month, day) and date(year, month, day) <= today:
            return date(year, month, day)
    return None


def is_just_ahead(month: int, day: int, today: date) -> bool:
    """Whether such a day comes so soon that the last one, nearly a year back, is hardly meant.

    >>> is_just_ahead(1, 2, date(2025, 12, 31)), is_just_ahead(5, 7, date(2025, 5, 7))
    (True, False)
    """
    soon = today + timedelta(days=JUST_AHEAD)
    return any(
        _exists(year, month, day) and today < date(year, month, day) <= soon
        for year in (today.year, soon.year)
    )


def _exists(year: int, month: int, day: int) -> bool:
    return 1 <= day <= monthrange(year, month)[1]

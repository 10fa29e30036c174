"""When work is done at the hours that are really free: days of work, weeks off. Pure.

The billable hours of a week lie on Monday to Friday alike (*common practice, no source*); days off
have none. So much is an assumption, and a date that follows from it is said as “about”.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction

from ledger.measures.days_off import DaysOff

WORKDAYS = 5
FARTHEST = 3 * 366
"""Days after which no date is told: the book can't mean it."""


@dataclass(frozen=True, slots=True)
class FreeTime:
    """The owner's billable hours a week, and days off."""

    hours_a_week: Fraction
    off: DaysOff = field(default_factory=DaysOff)

    def on(self, day: date) -> Fraction:
        """The hours of a day."""
        is_off = day.weekday() >= WORKDAYS or self.off.has(day)
        return Fraction(0) if is_off else self.hours_a_week / WORKDAYS

    def between(self, first: date, last: date) -> Fraction:
        """The hours from one day to another, both in it."""
        days = (last - first).days + 1
        return sum((self.on(first + timedelta(days=n)) for n in range(days)), Fraction(0))

    def done_by(self, start: date, hours: Fraction) -> date | None:
        """The day on which so many hours are done if work begins on a day; None if too far off.

        >>> FreeTime(Fraction(25)).done_by(date(2026, 3, 2), Fraction(26))
        datetime.date(2026, 3, 9)
        """
        left, day = hours, start
        for _ in range(FARTHEST):
            left -= self.on(day)
            if left <= 0:
                return day
            day += timedelta(days=1)
        return None

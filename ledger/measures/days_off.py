"""Days without work: stretches of days as they are typed, and whether a day lies in one."""

from datetime import date

from msgspec import Struct

from ledger.errors import BadValue


class DaysOff(Struct, frozen=True):
    """Stretches of days, the first and last of each in it, in the order of time."""

    stretches: tuple[tuple[date, date], ...] = ()

    def has(self, day: date) -> bool:
        """Whether a day is off."""
        return any(first <= day <= last for first, last in self.stretches)

    def __str__(self) -> str:
        """As they are typed."""
        return "; ".join(
            f"{first} to {last}" if last > first else str(first) for first, last in self.stretches
        )


def parse_days_off(text: str) -> DaysOff:
    """Read stretches of days, parted by semicolons.

    >>> str(parse_days_off("2026-12-24; 2026-07-06 to 2026-07-19"))
    '2026-07-06 to 2026-07-19; 2026-12-24'

    Raises:
        BadValue: a part is no day and no stretch of days.
    """
    stretches = []
    for part in filter(None, (part.strip() for part in text.split(";"))):
        try:
            ends = [date.fromisoformat(end.strip()) for end in part.split(" to ")]
        except ValueError:
            ends = []
        if len(ends) not in (1, 2) or ends[-1] < ends[0]:
            raise BadValue(
                f"“{part}” is no day and no stretch of days; write for example 2026-07-06 to"
                " 2026-07-19; 2026-12-24."
            )
        stretches.append((ends[0], ends[-1]))
    return DaysOff(tuple(sorted(stretches)))

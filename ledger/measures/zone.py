"""The shop's time zone: from the clock on its wall to the moment that is the same everywhere.

A wall clock shows some times twice in a year and leaves others out; minutes are counted between
moments. Which of two equal times is meant says `fold`, as Python has it: 1 is the later one.
"""

from datetime import UTC, datetime
from functools import cached_property
from typing import TYPE_CHECKING

from ledger.errors import BadValue

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


class Zone:
    """A time zone by its name in the tz database, such as Europe/Vienna; empty: the computer's."""

    def __init__(self, name: str = "") -> None:
        self.name = name

    @cached_property
    def _rules(self) -> "ZoneInfo | None":
        if not self.name:
            return None
        from zoneinfo import ZoneInfo

        try:
            return ZoneInfo(self.name)
        except (KeyError, OSError, ValueError):  # no such name, or none that a file can have
            raise BadValue(
                f"“{self.name}” is no time zone; write for example America/Chicago or"
                " Europe/Vienna."
            ) from None

    def check(self) -> None:
        """Check that there is such a zone.

        Raises:
            BadValue: there is none.
        """
        _ = self._rules

    def moment(self, wall: datetime) -> datetime:
        """The moment, in UTC, at which the shop's wall clock shows a time."""
        return wall.replace(tzinfo=self._rules).astimezone(UTC)

    def wall(self, moment: datetime) -> datetime:
        """What the shop's wall clock shows at a moment."""
        shown = moment.astimezone(self._rules).replace(tzinfo=None)
        return shown if self.moment(shown) == moment else shown.replace(fold=1)

    def shows(self, wall: datetime) -> bool:
        """Whether the wall clock shows that time at all, or leaps over it."""
        return self.wall(self.moment(wall)) == wall

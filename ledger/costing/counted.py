"""What of a job is counted for a shop's operations, and which kinds of work nothing speaks of."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from ledger.book.tables.operations import Operation
from ledger.designs.built import BuiltCount


class WorkCounts(Struct, frozen=True):
    """A shop's operations by code, and the driver (count, area, length) of each on one job."""

    operations: Mapping[str, Operation]
    drivers: Mapping[str, BuiltCount]
    by_hand: frozenset[str]

    def is_counted(self, drivers: Sequence[str], group: str = "") -> bool:
        """Whether an operation of these drivers has a count, or the shop's own one in a group.

        An explicit zero, of the design or by hand, is a count; one that was derived is none.
        """
        return any(self._speaks(row, drivers, group) for row in self.operations.values())

    def has_other(self, group: str, drivers: Sequence[str]) -> bool:
        """Whether an operation of a group has a count, these drivers' only by hand or design."""
        return any(
            row.code in self.by_hand
            or self._is_fixed(row)
            or (row.driver not in drivers and self._quantity(row) > 0)
            for row in self.operations.values()
            if row.group == group
        )

    def is_timed(self, driver: str) -> bool:
        """Whether an operation of the shop is timed by a driver, or was told its own count."""
        return any(row.minutes or row.setup or row.code in self.by_hand for row in self._of(driver))

    def code_for(self, driver: str) -> str:
        """The first operation of a driver, nothing where the shop has none."""
        return next((row.code for row in self._of(driver)), "") if driver else ""

    def own_code(self, group: str, units: Sequence[str]) -> str:
        """The first operation of the shop's own in a group that is counted in one of the units."""
        own = (row for row in self._of("") if row.group == group)
        return next((row.code for row in own if row.unit.casefold() in units), "")

    def quantity(self, driver: str) -> Fraction:
        """What is counted of a driver."""
        return max((self._quantity(row) for row in self._of(driver)), default=Fraction(0))

    def _of(self, driver: str) -> Iterator[Operation]:
        return (row for row in self.operations.values() if row.driver == driver)

    def _speaks(self, row: Operation, drivers: Sequence[str], group: str) -> bool:
        if row.driver in drivers:
            return row.code in self.by_hand or self._is_fixed(row) or self._takes_time(row)
        return bool(group) and row.group == group and not row.driver and row.code in self.by_hand

    def _takes_time(self, row: Operation) -> bool:
        """Whether the operation has something to do, and minutes for it."""
        return self._quantity(row) > 0 and bool(row.minutes or row.setup)

    def _is_fixed(self, row: Operation) -> bool:
        count = self.drivers.get(row.driver)
        return count is not None and count.fixed

    def _quantity(self, row: Operation) -> Fraction:
        count = self.drivers.get(row.driver)
        return count.quantity if count is not None else Fraction(0)

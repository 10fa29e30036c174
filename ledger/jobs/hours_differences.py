"""The hours of a job beside its plan, operation by operation, and which cannot be believed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.book.questions.labor import WorkSum
from ledger.costing.sheet import CostSheet, SheetHours
from ledger.labor.observations import Lesson
from ledger.labor.plan import COUNTED
from ledger.measures.duration import to_hours


@dataclass(frozen=True, slots=True)
class HoursDifference:
    """One operation: hours planned and minutes worked, rework and change orders apart."""

    operation: str
    name: str
    group: str
    planned: Decimal
    minutes: int
    standard: Decimal = Decimal("0.00")
    is_believed: bool = True

    @property
    def actual(self) -> Decimal:
        """The minutes worked as hours, as they are shown."""
        return to_hours(self.minutes)


def hours_differences(
    sheet: CostSheet, work: Iterable[WorkSum], names: Mapping[str, str]
) -> tuple[HoursDifference, ...]:
    """The lines of the plan beside their minutes, then what was not planned.

    `names` has the name of each operation; hours of a whole group have the group's.
    """
    minutes: dict[str, int] = {}
    groups: dict[str, str] = {}
    for row in work:
        if row.kind in COUNTED and (row.operation or row.group):
            name = row.operation or row.group or ""
            minutes[name] = minutes.get(name, 0) + row.minutes
            groups[name] = row.group or ""
    planned = {line.operation: line for line in sheet.hours}
    differences = [_beside(line, minutes.get(line.operation, 0)) for line in planned.values()]
    differences += [
        HoursDifference(
            name,
            names.get(name, f"{name.replace('_', ' ')} as a whole"),
            groups[name],
            Decimal("0.00"),
            worked,
        )
        for name, worked in minutes.items()
        if name not in planned
    ]
    return tuple(differences)


def _beside(line: SheetHours, minutes: int) -> HoursDifference:
    """A planned line beside its minutes, and whether so many can be true of its standard."""
    lesson = Lesson("", date.min, line.operation, line.group, line.standard, minutes)
    return HoursDifference(
        line.operation, line.name, line.group, line.estimate, minutes, line.standard,
        lesson.is_believed,
    )  # fmt: skip


def not_believed_words(line: HoursDifference) -> str:
    """What is wrong with hours that nothing is learned from, and what to do about it."""
    return (
        f"Not believed, and nothing is learned from it: {line.name} {line.actual} h against"
        f" {line.standard} h by the standard. Check the entry; if it is right, correct the count"
        " (job count --built) or the standard (standards set)."
    )

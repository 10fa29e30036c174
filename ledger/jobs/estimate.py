"""The hours of a job: drivers from the build, the layouts and the maker's own counts.

A count made by hand for the job wins over one the design fixes, that one over a count of the
layout, and that over a derived one; every line says which it was.
"""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.counts import JobCount
from ledger.book.tables.ground import Operation
from ledger.costing.sheet import HoursLine
from ledger.cutting.sequence import CutCounts
from ledger.designs.built import Build, BuiltCount
from ledger.labor.estimate import estimate_line, with_ratio
from ledger.labor.learning import History, Learned
from ledger.measures.rounding import half_up

_CUTS = {
    "strips": ("strip", "strips of the layout"),
    "wide_crosscuts": ("cut", "crosscuts wider than the miter saw takes"),
    "narrow_crosscuts": ("cut", "crosscuts at the miter saw"),
}


def drivers_of(build: Build, sheets: int, cuts: CutCounts) -> dict[str, BuiltCount]:
    """Every driver of the job by name: the build's own, and those of the layouts."""
    found = {
        "sheets": BuiltCount(Fraction(sheets), "sheet", "sheets of the layout", True, False),
        **{
            name: BuiltCount(Fraction(getattr(cuts, name)), unit, basis, True, False)
            for name, (unit, basis) in _CUTS.items()
        },
    }
    return {**found, **build.counts}


def estimate(
    operations: Mapping[str, Operation],
    drivers: Mapping[str, BuiltCount],
    by_hand: Mapping[str, JobCount],
    past: History,
    *,
    from_history: bool,
) -> tuple[HoursLine, ...]:
    """One line for every operation that has something to do, in the order of the standards."""
    lines = []
    for operation in operations.values():
        count = _count(operation, drivers, by_hand)
        if count is not None and count.quantity:
            lines.append(_line(operation, count, past, from_history))
    return tuple(lines)


def _count(
    operation: Operation, drivers: Mapping[str, BuiltCount], by_hand: Mapping[str, JobCount]
) -> BuiltCount | None:
    if operation.code in by_hand:
        row = by_hand[operation.code]
        words = f"counted by hand{f': {row.words}' if row.words else ''}"
        return BuiltCount(row.driver.fraction, operation.unit, words, True, True)
    return drivers.get(operation.driver)


def _line(operation: Operation, count: BuiltCount, past: History, from_history: bool) -> HoursLine:
    taught = past.learned(operation.code)
    ratio = past.ratio(operation.code, operation.group)
    standard = estimate_line(operation, count.quantity, entered=count.entered, basis=count.basis)
    told = with_ratio(standard, ratio)
    used = told.history if from_history else standard.estimate
    helper = half_up(Fraction(used) * operation.helper_share, 2)
    return HoursLine(
        operation=operation.code,
        name=operation.name,
        group=operation.group,
        driver=standard.driver,
        unit=operation.unit,
        estimate=used,
        owner=used - helper,
        helper=helper,
        standard=standard.estimate,
        history=told.history,
        ratio=Fraction(1) if ratio is None else ratio,
        past_jobs=taught.jobs,
        basis=count.basis,
        trace=_trace(operation, standard.driver, standard.estimate, taught, count),
    )


def _trace(
    operation: Operation,
    driver: Fraction,
    hours: Decimal,
    taught: Learned,
    count: BuiltCount,
) -> tuple[str, ...]:
    number = half_up(driver, 2).normalize()
    steps = [
        f"standard: {operation.setup} min set-up + {operation.minutes} min a {operation.unit}",
        f"count: {number:f} {operation.unit} ({count.basis})",
        f"({operation.setup} + {operation.minutes} × {number:f}) ÷ 60 = {hours} h",
    ]
    if operation.helper_share:
        steps.append(f"the helper's share is {operation.helper_share}")
    if taught.jobs:
        steps.append(f"history: × {half_up(taught.ratio, 2)} from {taught.jobs} past jobs")
    return tuple(steps)

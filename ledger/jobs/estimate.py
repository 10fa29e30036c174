"""The hours of a job: drivers from the build, the layouts and the maker's own counts.

A count made by hand for the job wins over one the design fixes, that one over a count of the
layout, and that over a derived one; every line says which it was.
"""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.counts import JobCount
from ledger.book.tables.operations import Operation
from ledger.costing.sheet import BY_HAND, CostSheet, SheetHours
from ledger.cutting.sequence import CutCounts
from ledger.designs.built import Build, BuiltCount
from ledger.labor.estimate import StandardHours, helper_hours, standard_hours, total_hours
from ledger.labor.hours_range import Foretold, HoursRange, foretell
from ledger.labor.learning import History
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many, with_article
from ledger.measures.values import replace

_CUTS = {
    "strips": ("strip", "cuts at the fence in the cut list"),
    "wide_crosscuts": ("cut", "cuts by track saw in the cut list, whole sheets aside"),
    "narrow_crosscuts": ("cut", "cuts at the miter saw or a sled in the cut list"),
}


def drivers_of(build: Build, sheets: int, cuts: CutCounts) -> dict[str, BuiltCount]:
    """Every driver of the job by name: the build's own, and those of the layouts."""
    drivers = {
        "sheets": BuiltCount(Fraction(sheets), "sheet", "sheets of the layout", True, False),
        **{
            name: BuiltCount(Fraction(getattr(cuts, name)), unit, basis, True, False)
            for name, (unit, basis) in _CUTS.items()
        },
    }
    return {**drivers, **build.counts}


def estimate(
    operations: Mapping[str, Operation],
    drivers: Mapping[str, BuiltCount],
    by_hand: Mapping[str, JobCount],
    past: History,
    *,
    from_history: bool,
) -> tuple[tuple[SheetHours, ...], Foretold]:
    """One line for every operation that has something to do, and what the past foretells of them.

    The lines stand in the order of the standards. Until a job is closed or loaded the standards are
    all there is to estimate from.
    """
    counted = _counted(operations, drivers, by_hand)
    standards, foretold = _foretold(operations, counted, past)
    is_history = from_history and foretold.range.jobs > 0
    lines = tuple(
        _line(one, counted[one.operation.code], foretold, past, is_history=is_history)
        for one in standards
    )
    return lines, foretold


def hours_range(
    operations: Mapping[str, Operation], drivers: Mapping[str, BuiltCount], past: History
) -> HoursRange:
    """What the past foretells of these operations together, nothing of them counted by hand."""
    return _foretold(operations, _counted(operations, drivers, {}), past)[1].range


def _foretold(
    operations: Mapping[str, Operation], counted: Mapping[str, BuiltCount], past: History
) -> tuple[list[StandardHours], Foretold]:
    standards = [
        standard_hours(operations[code], count.quantity, entered=count.entered)
        for code, count in counted.items()
    ]
    foretold = foretell(past.forecast, standards)
    groups = {one.operation.group for one in standards}
    unbelieved = tuple(one for one in past.unbelieved if not one.group or one.group in groups)
    return standards, replace(foretold, range=replace(foretold.range, unbelieved=unbelieved))


def _counted(
    operations: Mapping[str, Operation],
    drivers: Mapping[str, BuiltCount],
    by_hand: Mapping[str, JobCount],
) -> dict[str, BuiltCount]:
    """The operations that have something to do, by their code, each with its count."""
    counts = {row.code: _count(row, drivers, by_hand) for row in operations.values()}
    return {code: count for code, count in counts.items() if count and count.quantity}


def _count(
    operation: Operation, drivers: Mapping[str, BuiltCount], by_hand: Mapping[str, JobCount]
) -> BuiltCount | None:
    if operation.code in by_hand:
        row = by_hand[operation.code]
        words = f"{BY_HAND}{f': {row.words}' if row.words else ''}"
        return BuiltCount(row.driver.fraction, operation.unit, words, True, True)
    return drivers.get(operation.driver)


def _line(
    standard: StandardHours, count: BuiltCount, foretold: Foretold, past: History, *,
    is_history: bool,
) -> SheetHours:  # fmt: skip
    operation = standard.operation
    typical = foretold.typical.get(operation.code, Decimal("0.00"))
    used = typical if is_history else standard.estimate
    helper = helper_hours(used, operation)
    has_hours = standard.estimate > 0
    ratio = Fraction(typical) / Fraction(standard.estimate) if has_hours else Fraction(1)
    number = half_up(standard.driver, 4).normalize()
    steps = [
        f"standard: {operation.setup} min set-up + {operation.minutes} min"
        f" {with_article(operation.unit)}",
        f"count: {number:f} {operation.unit} ({count.basis})",
        f"({operation.setup} + {operation.minutes} × {number:f}) ÷ 60 = {standard.estimate} h",
    ]
    if operation.helper_share:
        steps.append(f"the helper's share is {operation.helper_share}")
    if has_hours:
        ratio_words = words_of_ratio(past, operation.code, operation.group, ratio)
        steps.append(f"{ratio_words}: here {standard.estimate} h become {typical} h")
    return SheetHours(
        operation=operation.code,
        name=operation.name,
        group=operation.group,
        driver=standard.driver,
        unit=operation.unit,
        estimate=used,
        owner=used - helper,
        helper=helper,
        standard=standard.estimate,
        history=typical,
        ratio=ratio,
        past_jobs=past.learned(operation.code).jobs,
        basis=count.basis,
        trace=tuple(steps),
        is_assumed=count.is_assumed,
        repeat=count.repeat,
    )


def planned_at(
    sheet: CostSheet, plan: Mapping[str, Decimal], operations: Mapping[str, Operation]
) -> CostSheet:
    """A cost sheet with the hours that a job was planned at before, where its lines are the same.

    What the shop learned since then moves the next estimate, not the plan of a job that is done.
    Typical hours have their rework beside them, the standards have none.
    """
    priced = {line.operation: line.estimate for line in sheet.hours}
    if plan.keys() != priced.keys() or plan == priced:
        return sheet
    lines = []
    for line in sheet.hours:
        hours = plan[line.operation]
        helper = helper_hours(hours, operations[line.operation])
        lines.append(replace(line, estimate=hours, owner=hours - helper, helper=helper))
    is_standard = plan == {line.operation: line.standard for line in sheet.hours}
    p50, work = Fraction(sheet.range.p50), Fraction(sheet.range.work)
    reworked = 1 if is_standard or not work else p50 / work
    owner = half_up(Fraction(total_hours(line.owner for line in lines)) * reworked, 2)
    helper = half_up(Fraction(total_hours(line.helper for line in lines)) * reworked, 2)
    totals, rates = sheet.totals, sheet.rates
    help_cost = rates.helper_cost.times(helper) - rates.helper_cost.times(totals.helper_hours)
    own_cost = rates.break_even.times(owner) - rates.break_even.times(totals.owner_hours)
    totals = replace(
        totals,
        estimate_hours=owner + helper,
        owner_hours=owner,
        helper_hours=helper,
        full_cost=totals.full_cost + own_cost + help_cost,
        cash_cost=totals.cash_cost + help_cost,
    )
    return replace(sheet, hours=tuple(lines), totals=totals)


def words_of_ratio(past: History, code: str, group: str, used: Fraction) -> str:
    """One sentence on an operation: its own ratio, the one that counts, and where that is from."""
    taught, counted = past.learned(code), f"{half_up(used, 3)}"
    if not past.forecast.jobs and not taught.jobs:
        return f"no job stands behind this; counted as {counted}, a published figure, not your own"
    if not taught.jobs or taught.raw is None:
        return (
            f"no hours of its own yet; takes what {group.replace('_', ' ')}"
            f" and the shop run at, {counted}"
        )
    jobs = how_many(taught.jobs, "job")
    return f"ran {half_up(taught.raw, 2)} × the standard over {jobs}; counted as {counted}"

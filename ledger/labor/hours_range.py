"""The range of a job's hours as it is frozen and shown: points to 0.01 h, lines that add up."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.labor.estimate import StandardHours
from ledger.labor.forecast import BAD, SAFE, TYPICAL, Distribution, Forecast
from ledger.labor.observations import Planned, Unbelieved
from ledger.measures.rounding import apportion, half_up

BASIS = "pooled 1"
"""The name of the method and its constants, frozen with the points it made."""


class GroupHours(Struct, frozen=True):
    """The points of one group's hours, rework in them; `typical` is its part of the job's."""

    group: str
    typical: Decimal
    p50: Decimal
    p80: Decimal
    p95: Decimal


class HoursRange(Struct, frozen=True):
    """The hours that a price must pay for: points that 50, 80 and 95 % of such jobs stay under.

    `jobs` stand behind it; `work` is the typical point without rework, a sum of lines; `helper` the
    helper's share of it; `published` how much of the level is not the shop's own; `basis` names the
    method, so that a later one does not move points that were frozen; `unbelieved` are past hours
    that were left out and would speak of this job.
    """

    p50: Decimal
    p80: Decimal
    p95: Decimal
    jobs: int
    work: Decimal = Decimal(0)
    helper: Fraction = Fraction(0)
    published: Fraction = Fraction(0)
    is_changing: bool = False
    groups: tuple[GroupHours, ...] = ()
    basis: str = ""
    unbelieved: tuple[Unbelieved, ...] = ()


class Foretold(Struct, frozen=True):
    """What the past foretells of a job: each operation's typical hours, the range, any chance."""

    typical: Mapping[str, Decimal]
    range: HoursRange
    spread: Distribution | None

    def chance_over(self, hours: Decimal) -> Fraction:
        """How likely the job takes more than so many hours, to 0.001."""
        if self.spread is None:
            return Fraction(0)
        return Fraction(half_up(1 - Fraction(self.spread.chance_under(float(hours))), 3))


def foretell(forecast: Forecast, lines: Sequence[StandardHours]) -> Foretold:
    """Predict a job's hours from its standard hours: by line, and points 50, 80, 95 % of all."""
    worked = [(line.operation, line.estimate) for line in lines if line.estimate]
    planned = [
        Planned(row.code, row.group, float(hours), float(row.helper_share)) for row, hours in worked
    ]
    by_line = typical_lines(forecast, planned)
    typical = {row.code: hours for (row, _), hours in zip(worked, by_line, strict=True)}
    helped = sum(Fraction(typical[row.code]) * row.helper_share for row, _ in worked)
    whole = sum(by_line, Decimal("0.00"))
    p50, p80, p95 = _points(forecast, planned)
    jobs, published = forecast.behind(planned)
    range_ = HoursRange(
        p50, p80, p95,
        jobs=jobs,
        work=whole,
        helper=helped / Fraction(whole) if whole else Fraction(0),
        published=Fraction(half_up(Fraction(published), 4)),
        is_changing=forecast.is_changing,
        groups=_groups(forecast, planned, by_line),
        basis=BASIS,
    )  # fmt: skip
    return Foretold(typical, range_, forecast.hours(planned) if planned else None)


def _groups(
    forecast: Forecast, planned: Sequence[Planned], by_line: Sequence[Decimal]
) -> tuple[GroupHours, ...]:
    members: dict[str, list[Planned]] = {}
    typical: dict[str, Decimal] = {}
    for one, hours in zip(planned, by_line, strict=True):
        members.setdefault(one.group, []).append(one)
        typical[one.group] = typical.get(one.group, Decimal("0.00")) + hours
    return tuple(
        GroupHours(group, hours, *_points(forecast, members[group]))
        for group, hours in typical.items()
    )


def _points(forecast: Forecast, lines: Sequence[Planned]) -> tuple[Decimal, Decimal, Decimal]:
    if not lines:
        return Decimal("0.00"), Decimal("0.00"), Decimal("0.00")
    spread = forecast.hours(lines)
    p50, p80, p95 = (half_up(Fraction(spread.point(share)), 2) for share in (TYPICAL, SAFE, BAD))
    return p50, p80, p95


def typical_lines(forecast: Forecast, lines: Sequence[Planned]) -> list[Decimal]:
    """The lines' typical hours: they add up to the typical point of their work to 0.01 h."""
    if not lines:
        return []
    means = [Fraction(forecast.line(one)[0]) for one in lines]
    point = half_up(Fraction(forecast.hours(lines, has_rework=False).point(TYPICAL)), 2)
    return [Decimal(part).scaleb(-2) for part in apportion(int(point * 100), means)]

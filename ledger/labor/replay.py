"""Past jobs that were loaded, each foretold from the jobs before it. Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.labor.forecast import BAD, SAFE, TYPICAL, Forecast
from ledger.labor.observations import TOTAL_ALONE, Lesson, Planned, past_work
from ledger.measures.rounding import half_up


@dataclass(frozen=True, slots=True)
class Replayed:
    """A past job beside the points that the jobs before it would have given it; hours."""

    job: str
    day: date
    typical: Decimal
    safe: Decimal
    bad: Decimal
    past_jobs: int
    hours: Decimal


def replay(
    lessons: Sequence[Lesson], rework: Mapping[str, float], jobs: Sequence[str]
) -> list[Replayed]:
    """The jobs of these numbers, oldest first; their hours are work and noted rework."""
    by_job: dict[str, list[Lesson]] = {}
    for lesson in sorted(lessons, key=lambda one: (one.day, one.job)):
        by_job.setdefault(lesson.job, []).append(lesson)
    results, before = [], list[Lesson]()
    for number, own in by_job.items():
        lines = [
            Planned(one.operation, one.group, float(one.estimate), float(one.helper))
            for one in own if one.estimate > 0
        ]  # fmt: skip
        if number in jobs and lines:
            earlier = past_work(before)
            noted = {job: hours for job, hours in rework.items() if job != number}
            has_rework = number in rework or any(one.left_out == TOTAL_ALONE for one in own)
            spread = Forecast(earlier, noted).hours(lines, has_rework=has_rework)
            typical, safe, bad = (
                half_up(Fraction(spread.point(share)), 2) for share in (TYPICAL, SAFE, BAD)
            )
            worked = Fraction(sum(one.minutes for one in own), 60)
            hours = half_up(worked + Fraction(rework.get(number, 0.0)), 2)
            results.append(Replayed(number, own[0].day, typical, safe, bad, len(earlier), hours))
        before += own
    return results

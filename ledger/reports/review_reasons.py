"""Why a closed job earned what it did: its money and its hours beside what was planned. Pure.

What it earned less what it was planned to earn is split by what it was for, and its hours less the
planned ones by what they went into; each list adds up to its difference.
"""

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.jobs.cost_differences import MATERIAL
from ledger.measures.duration import to_hours
from ledger.measures.money import Money
from ledger.measures.spoken import large
from ledger.reports.review_figures import Part
from ledger.reports.review_jobs import ClosedWork

NAMED = 4
"""So many reasons are named in a line; the rest stands as other."""

CHANGES, OTHER, PLANNED_REWORK = "change orders", "other", "rework planned"
UNBOOKED, UNLOGGED = "planned costs never booked", "planned hours never booked"
"""Perhaps no saving, only not noted: told last and never inside other."""


def money_reasons(job: ClosedWork) -> list[tuple[str, Money]]:
    """What made it earn more than planned (less is negative), largest first.

    Without a plan of costs: change orders, and what the job cost, for which none was planned.
    """
    reasons = [(CHANGES, job.done.changes)]
    if job.costs is None:
        done = job.done
        reasons += [(MATERIAL, -job.material), ("helper", -done.helper),
                    ("other costs", -(done.other + done.use_tax))]  # fmt: skip
    else:
        reasons += [(line.name, -line.amount) for line in job.costs.lines]
        reasons += [(UNBOOKED, job.costs.unbooked)]
    ranked = sorted(reasons, key=lambda one: (one[0] == UNBOOKED, -abs(one[1].minor), one[0]))
    return [reason for reason in ranked if reason[1]]


def hour_reasons(job: ClosedWork) -> list[tuple[str, Decimal]]:
    """What made it take more hours than planned (fewer are negative), largest first.

    Everybody's hours on the job; work itself is what is neither rework nor of change orders.
    """
    hours = job.hours
    if hours.planned is None:
        return []
    rest = [(f"rework ({cause or 'no cause said'})", to_hours(m)) for cause, m in hours.rework]
    rest += [(PLANNED_REWORK, -hours.planned_rework), (CHANGES, to_hours(hours.changes))]
    rest += [(UNLOGGED, -sum((h for _, h in hours.not_logged), Decimal(0)))]
    work = to_hours(job.minutes) - hours.planned - sum(h for _, h in rest)
    reasons = [("work", work), *rest]
    ranked = sorted(reasons, key=lambda one: (one[0] == UNLOGGED, -abs(one[1]), one[0]))
    return [reason for reason in ranked if reason[1]]


def more_hours(job: ClosedWork) -> Decimal | None:
    """All hours on the job less the planned ones; None where none were planned."""
    planned = job.hours.planned
    return None if planned is None else to_hours(job.minutes) - planned


def shortened[T: (Money, Decimal)](reasons: list[tuple[str, T]], nothing: T) -> list[tuple[str, T]]:
    """The largest reasons and the rest of them as one; what was never booked stays apart."""
    sure = [reason for reason in reasons if reason[0] not in (UNBOOKED, UNLOGGED)]
    if len(sure) <= NAMED + 1:
        return reasons
    named = sure[:NAMED]
    named.append((OTHER, sum((amount for _, amount in sure[NAMED:]), nothing)))
    return named + reasons[len(sure) :]


def why_words(job: ClosedWork, show: Callable[[Money], str]) -> str:
    """Why a job earned what it did, in figures: its money, then its hours."""
    sentences = [_money_words(job, show), _hours_words(job)]
    return ". ".join(words for words in sentences if words) or "sold in one sum, nothing planned"


def _money_words(job: ClosedWork, show: Callable[[Money], str]) -> str:
    named = shortened(money_reasons(job), Money(0))
    if job.planned_earned is None:
        return f"Sold in one sum: {_figures(named, show)}" if named else ""
    if not named:
        return "Costs as planned"
    more = job.full - job.planned_earned
    side = "more" if more > Money(0) else "less"
    head = f"Earned {show(abs(more))} {side} than planned" if more else "Earned as planned"
    doubts = (job.costs.maybe_words(show), large(job.costs.twice_words(show))) if job.costs else ()
    maybe = ". ".join(filter(None, doubts))
    return f"{head}: {_figures(named, show)}{f'. {maybe}' if maybe else ''}"


def _figures(named: Sequence[tuple[str, Money]], show: Callable[[Money], str]) -> str:
    return ", ".join(f"{name} {_signed(show(amount))}" for name, amount in named)


def _hours_words(job: ClosedWork) -> str:
    more, named = more_hours(job), shortened(hour_reasons(job), Decimal(0))
    if more is None:
        return ""
    source = "guessed" if job.hours.is_guess else "planned"
    worked = f"{to_hours(job.minutes)} h for {job.hours.planned} {source}"
    sold = f" ({to_hours(job.hours.sold)} sold)" if job.hours.sold else ""
    parts = [
        f"{name} {_signed(f'{hours}')}{sold if name == CHANGES else ''}" for name, hours in named
    ]
    return f"{worked}: {', '.join(parts)}" if parts else worked


def _signed(figure: str) -> str:
    return figure.replace("-", "−") if figure.startswith("-") else f"+{figure}"


def reason_parts(job: ClosedWork) -> Iterable[Part]:
    """Each reason as a part of the job's figure, and what stands behind it."""
    costs = job.costs
    for name, amount in money_reasons(job):
        what = "money" if costs or name == CHANGES else "none planned"
        yield Part(job.number, f"{name}, {what}", amount)
    for line in costs.lines if costs else ():
        yield Part(job.number, f"{line.name} planned", line.planned)
        yield Part(job.number, f"{line.name} as it came", line.actual)
        yield from (Part(job.number, f"of {line.name}: {n}", a) for n, a in line.parts if a)
    if costs is not None:
        for name, cost in (*costs.not_taken, *costs.not_noted):
            yield Part(job.number, f"nothing booked: {name}", cost)
        for name, cost in costs.maybe_bills:
            yield Part(job.number, f"material, perhaps a bill of outside work: {name}", cost)
        for amount in costs.maybe_twice:
            yield Part(job.number, "outside work, a cost and a receipt, perhaps one bill", amount)
    for name, hours in hour_reasons(job):
        yield Part(job.number, f"{name}, hours", hours)
    for name, hours in job.hours.not_logged:
        yield Part(job.number, f"no hours booked: {name}", hours)


def unbooked_of(jobs: Iterable[ClosedWork]) -> list[tuple[str, Money, Decimal]]:
    """The jobs with planned lines of which nothing was booked: their cost and their hours."""
    rows = [
        (job.number, job.costs.unbooked if job.costs else Money(0),
         sum((hours for _, hours in job.hours.not_logged), Decimal(0)))
        for job in jobs
    ]  # fmt: skip
    return [row for row in rows if row[1] or row[2]]


def timed_words(jobs: Sequence[ClosedWork]) -> str:
    """The closed jobs that stand behind a figure an hour, and of how many where some lack hours."""
    timed = sum(job.is_timed for job in jobs)
    return "closed jobs" if timed == len(jobs) else f"{timed} of {len(jobs)} closed jobs"


def planned_hour(job: ClosedWork) -> Money | None:
    """What the job was planned to earn an hour of the owner's, or by what was typed of it.

    None without a plan of costs, where none was typed either.
    """
    earned, hours = job.planned_earned, job.planned_owner_hours
    if earned is None:
        earned, hours = job.typed_earned, hours or job.hours.planned
    return earned.times(1 / Fraction(hours)) if earned is not None and hours else None

"""What closed jobs earned, by kind of piece and by stream of income, the best and the worst. Pure.

Earned is what the close-out calls so: price + change orders − material + offcuts kept − helpers −
other costs. Full takes material at full value, cash at what was paid for it. An hour is the owner's
on the job, rework and change orders in it; content hours stand apart.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.costing.afterwards import Done
from ledger.measures.duration import to_hours
from ledger.measures.money import Money, total
from ledger.reports.review_figures import HourlyRange, an_hour, hourly_range

NOTHING = Money(0)

OF_JOBS = frozenset({"commission", "change orders"})
IN_KIND, CANCELED = "goods in kind", "kept of canceled jobs"
"""Streams of the commissions themselves, and those that no sale brings."""

ENDS = 5
"""How many of the best and of the worst jobs are told."""


@dataclass(frozen=True, slots=True)
class ClosedWork:
    """A job that was closed: its account, and what it was foretold and planned at.

    `priced` hours of the accepted quote, `typical` hours and `foretold_minutes` (what both are held
    against) are None and 0 where the job was sold by total; `planned_material` is that of the quote
    at full value, without the `planned_freight` of its purchases; `freight` is what was paid for
    bringing what it took. `guess` has the hours guessed for a job sold in one sum, where no hours
    were planned, and `guessed_minutes` what is held against them.
    `unpriced_minutes` went into changes beyond the hours that approved and paid ones foresaw.
    """

    number: str
    title: str
    kind: str
    day: date
    done: Done
    priced: Decimal | None = None
    typical: Decimal | None = None
    foretold_minutes: int = 0
    planned_material: Money | None = None
    planned_freight: Money = NOTHING
    freight: Money = NOTHING
    guess: Decimal | None = None
    guessed_minutes: int = 0
    rework: tuple[tuple[str, int], ...] = ()
    unpriced_minutes: int = 0

    @property
    def income(self) -> Money:
        """The price with its change orders."""
        return self.done.price + self.done.changes

    @property
    def full(self) -> Money:
        """What the owner earned, material at full value."""
        return self.done.earned

    @property
    def cash(self) -> Money:
        """What the owner earned, material at what was paid for it."""
        done = self.done
        in_kind = done.material - done.material_cash - (done.credit - done.credit_cash)
        return done.earned + in_kind

    @property
    def full_hour(self) -> Money | None:
        """Earned an hour before overhead, material at full value."""
        return an_hour(self.full, self.done.owner_minutes)

    @property
    def material(self) -> Money:
        """Material used, less the pieces that went to the rack, at full value."""
        return self.done.material - self.done.credit


@dataclass(frozen=True, slots=True)
class KindOfWork:
    """All closed jobs of one kind of piece."""

    kind: str
    jobs: tuple[ClosedWork, ...]

    @property
    def income(self) -> Money:
        """Their prices with change orders."""
        return total(job.income for job in self.jobs)

    @property
    def full(self) -> Money:
        """What they earned, material at full value."""
        return total(job.full for job in self.jobs)

    @property
    def cash(self) -> Money:
        """What they earned, material at what was paid for it."""
        return total(job.cash for job in self.jobs)

    @property
    def owner_minutes(self) -> int:
        """The owner's minutes on them."""
        return sum(job.done.owner_minutes for job in self.jobs)

    @property
    def helper_minutes(self) -> int:
        """The helpers' minutes on them."""
        return sum(job.done.helper_minutes for job in self.jobs)

    @property
    def full_range(self) -> HourlyRange:
        """Earned an hour before overhead, material at full value."""
        return hourly_range((job.full, job.done.owner_minutes) for job in self.jobs)

    @property
    def cash_hour(self) -> Money | None:
        """Earned an hour before overhead, in cash."""
        return an_hour(self.cash, self.owner_minutes)


def by_kind(jobs: Iterable[ClosedWork]) -> list[KindOfWork]:
    """The closed jobs by kind, the kind with the most income first."""
    kinds: dict[str, list[ClosedWork]] = {}
    for job in jobs:
        kinds.setdefault(job.kind, []).append(job)
    groups = [KindOfWork(kind, tuple(of_kind)) for kind, of_kind in kinds.items()]
    return sorted(groups, key=lambda group: (-group.income.minor, group.kind))


@dataclass(frozen=True, slots=True)
class OtherIncome:
    """Income of the period beside commissions: of which job, what came and what a store kept."""

    stream: str
    job: str
    gross: Money
    fee: Money


@dataclass(frozen=True, slots=True)
class ContentTime:
    """Minutes of content in the period, by job ('' for none) and by owner and helpers."""

    job: str
    owner: int
    helpers: int


@dataclass(frozen=True, slots=True)
class Stream:
    """One stream of income: what came, what a store kept, in cash, with what each job gave."""

    name: str
    income: Money
    fee: Money
    cash: Money
    parts: tuple[tuple[str, Money], ...]


def streams(
    jobs: Sequence[ClosedWork],
    other: Sequence[OtherIncome],
    in_kind: Sequence[tuple[str, Money]],
    canceled: Sequence[tuple[str, Money]] = (),
) -> list[Stream]:
    """The streams of a period, those without income left out; `in_kind` is by giver.

    `canceled` is what canceled jobs left here before tax, whatever they had cost.

    Commissions and change orders count when their job is closed, other income on its own day.
    Goods in kind are income at their fair value and bring no cash.
    """
    named = [
        _of_jobs("commission", jobs, lambda job: job.done.price),
        _of_jobs("change orders", jobs, lambda job: job.done.changes),
    ]
    for name in dict.fromkeys(["sponsor fee", *sorted({row.stream for row in other})]):
        rows = [row for row in other if row.stream == name]
        gross, fee = total(row.gross for row in rows), total(row.fee for row in rows)
        parts = tuple((row.job, row.gross - row.fee) for row in rows)
        named.append(Stream(name, gross, fee, gross - fee, parts))
    kept = total(value for _, value in canceled)
    named.append(Stream(CANCELED, kept, Money(0), kept, tuple(canceled)))
    goods = total(value for _, value in in_kind)
    named.append(Stream(IN_KIND, goods, Money(0), Money(0), tuple(in_kind)))
    return [stream for stream in named if stream.income or stream.fee]


def _of_jobs(
    name: str, jobs: Sequence[ClosedWork], amount: Callable[[ClosedWork], Money]
) -> Stream:
    parts = tuple((job.number, amount(job)) for job in jobs if amount(job))
    income = total(value for _, value in parts)
    return Stream(name, income, Money(0), income, parts)


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that made a job better or worse: in figures, and what it comes to in minutes."""

    words: str
    minutes: int = 0
    amount: Money | None = None
    is_planned: bool = True


def reasons(job: ClosedWork) -> list[Reason]:
    """Why a job earned what it did: hours, material, rework by its cause, changes not paid for."""
    sentences = []
    if job.foretold_minutes and (job.priced or job.typical):
        points = {"the priced": job.priced, "the typical": job.typical}
        if job.priced == job.typical:
            points = {"the priced and typical": job.priced}
        against = [_against(n, at, job.foretold_minutes) for n, at in points.items() if at]
        sentences.append(Reason(", ".join(one.words for one in against), against[0].minutes))
    elif job.guess:
        against = [_against("the guess of", job.guess, job.guessed_minutes)]
        sentences += [one for one in against if one.minutes]
    if job.planned_material is not None:
        more = job.done.material - job.freight - job.planned_material
        freight = job.freight - job.planned_freight
        sentences += [Reason("material", amount=more)] if more else []
        sentences += [Reason("freight", amount=freight)] if freight else []
    elif job.guess and job.done.material:
        sentences.append(Reason("material", amount=job.done.material, is_planned=False))
    for cause, minutes in job.rework:
        sentences.append(
            Reason(f"{to_hours(minutes)} h rework ({cause or 'no cause said'})", minutes)
        )
    if job.unpriced_minutes > 0:
        words = f"{to_hours(job.unpriced_minutes)} h on changes beyond what was priced"
        sentences.append(Reason(words, job.unpriced_minutes))
    return sentences


def _against(name: str, hours: Decimal, minutes: int) -> Reason:
    """What was worked, held against hours that were known before."""
    over = minutes - int(Fraction(hours) * 60)
    side = "over" if over > 0 else "under"
    words = f"{to_hours(abs(over))} h {side} {name} {hours} h"
    return Reason(words if over else f"{name} {hours} h to the minute", over)


def best_and_worst(
    jobs: Iterable[ClosedWork],
) -> tuple[list[ClosedWork], list[ClosedWork]]:
    """The five best and five worst jobs by what they earned an hour; no job stands in both."""
    timed = [(hour.minor, job.number, job) for job in jobs if (hour := job.full_hour) is not None]
    ranked = [job for _, _, job in sorted(timed, key=lambda one: (-one[0], one[1]))]
    half = min(ENDS, (len(ranked) + 1) // 2)
    return ranked[:half], ranked[half:][::-1][:ENDS]

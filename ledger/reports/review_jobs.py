"""What closed jobs earned, by kind of piece and by stream of income, the best and the worst. Pure.

Earned is what the close-out calls so: price + change orders − material + offcuts kept − helpers −
other costs. Full takes material at full value, cash at what was paid for it. An hour is the owner's
on the job, rework and change orders in it; content hours stand apart.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct

from ledger.costing.afterwards import Done
from ledger.jobs.cost_differences import CostDifferences
from ledger.jobs.income import PLANS
from ledger.measures.grouped import grouped
from ledger.measures.money import Money, total
from ledger.reports.review_figures import HourlyRange, an_hour, hourly_range

NOTHING = Money(0)

OF_JOBS = frozenset({"commission", "change orders"})
IN_KIND, CANCELED = "goods in kind", "kept of canceled jobs"
"""Streams of the commissions themselves, and those that no sale brings."""

SPONSOR_FEE = "sponsor fee"

ENDS = 5
"""How many of the best and of the worst jobs are told."""


class HoursOfJob(Struct, frozen=True):
    """The hours a job was planned at, and what its own went into beside the work itself.

    `planned` is in everybody's hours, None where none were, `planned_rework` in them what a price
    on typical hours pays for; `is_guess` marks those of a job sold in one sum. `changes` are
    minutes on change orders, for which approved ones were sold with `sold`. `not_logged` are
    planned lines without hours, of which nobody said why.
    """

    planned: Decimal | None = None
    planned_rework: Decimal = Decimal(0)
    is_guess: bool = False
    changes: int = 0
    sold: int = 0
    rework: tuple[tuple[str, int], ...] = ()
    not_logged: tuple[tuple[str, Decimal], ...] = ()


class ClosedWork(Struct, frozen=True):
    """A job that was closed: its account beside what it was planned at.

    `costs` and `planned_earned` (at the price agreed) are those of the accepted quote, None where
    there is none or the job was sold in one sum. `typed_earned` is what a job that was typed and
    not quoted was to bring: its price less all that was to be paid for. `planned_owner_hours` are
    of the quote, else of the plan kept at closing, None of a guess.
    """

    number: str
    title: str
    kind: str
    day: date
    done: Done
    hours: HoursOfJob = HoursOfJob()
    costs: CostDifferences | None = None
    planned_earned: Money | None = None
    planned_owner_hours: Decimal | None = None
    typed_earned: Money | None = None

    @property
    def minutes(self) -> int:
        """Everybody's minutes on the job, rework and change orders in them."""
        return self.done.owner_minutes + self.done.helper_minutes

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
    def is_timed(self) -> bool:
        """Whether its hours say what an hour earned: at most half of the planned ones lack.

        What the owner answered of a line (not done, on another line) lacks nothing.
        """
        lacking = sum((hours for _, hours in self.hours.not_logged), Decimal(0))
        return bool(self.done.owner_minutes) and lacking * 2 <= (self.hours.planned or lacking * 2)

    @property
    def material(self) -> Money:
        """Material used, less the pieces that went to the rack, at full value."""
        return self.done.material - self.done.credit


class KindOfWork(Struct, frozen=True):
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
    def timed(self) -> "KindOfWork":
        """Those whose hours say what an hour earned."""
        return KindOfWork(self.kind, tuple(job for job in self.jobs if job.is_timed))

    @property
    def full_range(self) -> HourlyRange:
        """Earned an hour before overhead, material at full value, by those timed."""
        return hourly_range((job.full, job.done.owner_minutes) for job in self.timed.jobs)

    @property
    def cash_hour(self) -> Money | None:
        """Earned an hour before overhead, in cash, by those timed."""
        return an_hour(self.timed.cash, self.timed.owner_minutes)


def by_kind(jobs: Iterable[ClosedWork]) -> list[KindOfWork]:
    """The closed jobs by kind, the kind with the most income first."""
    kinds = grouped(jobs, lambda job: job.kind)
    groups = [KindOfWork(kind, tuple(of_kind)) for kind, of_kind in kinds.items()]
    return sorted(groups, key=lambda group: (-group.income.minor, group.kind))


class OtherIncome(Struct, frozen=True):
    """Income of the period beside commissions: of which job, what came and what a store kept."""

    stream: str
    job: str
    gross: Money
    fee: Money


class ContentTime(Struct, frozen=True):
    """Minutes of content in the period, by job ('' for none) and by owner and helpers."""

    job: str
    owner: int
    helpers: int


class Stream(Struct, frozen=True):
    """One stream of income: what came, what a store kept, in cash, with what each job gave."""

    name: str
    income: Money
    fee: Money
    cash: Money
    parts: tuple[tuple[str, Money], ...]

    @property
    def left(self) -> Money:
        """What came less what a store kept, goods in kind in it."""
        return self.income - self.fee

    @property
    def in_goods(self) -> Money:
        """What of it came in goods and in no money."""
        return self.left - self.cash


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
    goods, kept = total(value for _, value in in_kind), total(value for _, value in canceled)
    sold: dict[str, list[OtherIncome]] = {name: [] for name in _SOLD}
    for row in other:
        sold.setdefault(row.stream, []).append(row)
    fee, *beside = (_sold(name, rows) for name, rows in sorted(sold.items(), key=_place))
    named = [
        _of_jobs("commission", jobs, lambda job: job.done.price),
        _of_jobs("change orders", jobs, lambda job: job.done.changes),
        Stream(CANCELED, kept, NOTHING, kept, tuple(canceled)),
        fee,
        Stream(IN_KIND, goods, NOTHING, NOTHING, tuple(in_kind)),
        *beside,
    ]
    return [stream for stream in named if stream.income or stream.fee]


_SOLD = (SPONSOR_FEE, PLANS, "affiliate", "ads")
"""Streams beside commissions in the order in which they are told; others follow by name."""


def _place(sold: tuple[str, list[OtherIncome]]) -> tuple[int, str]:
    name = sold[0]
    return (_SOLD.index(name) if name in _SOLD else len(_SOLD)), name


def _sold(name: str, rows: Sequence[OtherIncome]) -> Stream:
    """Income beside commissions; plans that were sold stand as such."""
    gross, fee = total(row.gross for row in rows), total(row.fee for row in rows)
    parts = tuple((row.job, row.gross - row.fee) for row in rows)
    return Stream("plan sales" if name == PLANS else name, gross, fee, gross - fee, parts)


def beside_jobs(several: Iterable[Stream]) -> list[Stream]:
    """The streams that publishing brings: neither of commissions nor of canceled jobs."""
    return [stream for stream in several if stream.name not in (*OF_JOBS, CANCELED)]


def _of_jobs(
    name: str, jobs: Sequence[ClosedWork], amount: Callable[[ClosedWork], Money]
) -> Stream:
    parts = tuple((job.number, amount(job)) for job in jobs if amount(job))
    income = total(value for _, value in parts)
    return Stream(name, income, Money(0), income, parts)


def best_and_worst(
    jobs: Iterable[ClosedWork],
) -> tuple[list[ClosedWork], list[ClosedWork]]:
    """The five best and five worst jobs by what they earned an hour; no job stands in both.

    Jobs that are mostly unlogged are not ranked.
    """
    timed = [
        (hour.minor, job.number, job)
        for job in jobs
        if job.is_timed and (hour := job.full_hour) is not None
    ]
    ranked = [job for _, _, job in sorted(timed, key=lambda one: (-one[0], one[1]))]
    half = min(ENDS, (len(ranked) + 1) // 2)
    return ranked[:half], ranked[half:][::-1][:ENDS]

"""What a period left for the owner before any pay, in cash and by its closed jobs. Pure.

In cash counts all that was paid in the period, whatever it was for. By closed jobs counts what the
jobs closed in it were sold for and took, material at full value; what jobs under way took is in it
when they are closed.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from ledger.measures.money import Money, total
from ledger.reports.review_jobs import CANCELED, IN_KIND, OF_JOBS, ClosedWork, Stream

NOTHING = Money(0)

type Amounts = tuple[tuple[str, Money], ...]
"""What each job (or supplier, or helper) gave, negative where it cost."""


class Moved(Struct, frozen=True):
    """Money of the period by whom or what it was for: what clients paid is without tax.

    `lost` is material at full value that left the stock for no job: thrown away, counted short, of
    the shop's own use. `sent_back` is what suppliers kept of goods that went back from stock, and
    gifts that went back to their givers, which were income when they came. `shop_help` is pay of
    helpers for no job, a part of `helpers`.
    """

    clients: Amounts
    bought: Amounts
    helpers: Amounts
    shop_help: Money
    costs: Amounts
    lost: Amounts
    sent_back: Amounts
    canceled: Amounts
    overhead: Money | None


class ResultLine(Struct, frozen=True):
    """One line of the result with its two amounts, negative where it went out."""

    name: str
    in_cash: Amounts
    by_jobs: Amounts

    @property
    def cash(self) -> Money:
        """The money that moved."""
        return total(amount for _, amount in self.in_cash)

    @property
    def earned(self) -> Money:
        """What counts by the jobs that were closed."""
        return total(amount for _, amount in self.by_jobs)


def result_lines(
    jobs: Sequence[ClosedWork], streams: Iterable[Stream], moved: Moved
) -> list[ResultLine]:
    """The lines of the result, those without any amount left out."""
    beside = [s for s in streams if s.name not in OF_JOBS]
    other = tuple(p for s in beside if s.name not in (IN_KIND, CANCELED) for p in s.parts)
    given = tuple(p for s in beside if s.name == IN_KIND for p in s.parts)
    material = tuple((job.number, -(job.material + job.done.use_tax)) for job in jobs)
    helped = (*((job.number, -job.done.helper) for job in jobs), ("no job", -moved.shop_help))
    costs = tuple((job.number, -job.done.other) for job in jobs)
    overhead = () if moved.overhead is None else (("these days", -moved.overhead),)
    lines = [
        ResultLine(
            "clients, without tax", moved.clients, tuple((j.number, j.income) for j in jobs)
        ),
        ResultLine("other income, less what stores kept", other, other),
        ResultLine("goods in kind, at fair value", (), given),
        ResultLine("canceled jobs: kept less their cost", (), moved.canceled),
        ResultLine("material", _out(moved.bought), material),
        ResultLine("material lost or of own use", (), _out(moved.lost)),
        ResultLine("material sent back without full credit", (), _out(moved.sent_back)),
        ResultLine("helpers", _out(moved.helpers), helped),
        ResultLine("outside work, driving, other costs", _out(moved.costs), costs),
        ResultLine("overhead", overhead, overhead),
    ]
    return [_without_nothing(line) for line in lines if any(_amounts(line))]


def _out(amounts: Amounts) -> Amounts:
    return tuple((name, -amount) for name, amount in amounts)


def _amounts(line: ResultLine) -> Iterable[bool]:
    return (bool(amount) for _, amount in (*line.in_cash, *line.by_jobs))


def _without_nothing(line: ResultLine) -> ResultLine:
    kept = [tuple(p for p in side if p[1]) for side in (line.in_cash, line.by_jobs)]
    return ResultLine(line.name, *kept)

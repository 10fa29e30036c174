"""What material of a period cost and where it went: spend, price changes, waste, the rack. Pure."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book.questions.review import BoughtAt
from ledger.measures.grouped import grouped
from ledger.measures.money import Money, split, total
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.measures.values import replace

TAKEN, BACK, KEPT, SOLD, UNSOLD = "issue", "return", "kept", "sold", "unsold"


class Spending(Struct, frozen=True):
    """What was spent under one name in a period, by month (YYYY-MM)."""

    name: str
    by_month: tuple[tuple[str, Money], ...]

    @property
    def amount(self) -> Money:
        """The whole of it."""
        return total(amount for _, amount in self.by_month)


def spending(rows: Iterable[tuple[str, str, Money]]) -> list[Spending]:
    """Amounts of (month, name) by name, most first."""
    names = grouped(rows, lambda row: row[1])
    sums = [Spending(name, tuple(row[::2] for row in own)) for name, own in names.items()]
    return sorted(sums, key=lambda one: (-one.amount.minor, one.name))


class PriceChange(Struct, frozen=True):
    """A material with its first and last price of the period, and all that was spent on it."""

    material: str
    first: BoughtAt
    last: BoughtAt
    purchases: int
    landed: Money

    @property
    def change(self) -> Fraction | None:
        """The share by which the last purchase was dearer; None where it was bought only once."""
        if self.purchases < 2 or not self.first.unit_net:
            return None
        return self.last.unit_net / self.first.unit_net - 1


def price_changes(bought: Iterable[BoughtAt]) -> list[PriceChange]:
    """First and last price of each material, most spent first; gifts have no price.

    What was credited is off what was spent, and is no purchase.
    """
    all_lines = list(bought)
    spent = grouped(all_lines, lambda line: line.material)
    paid = (line for line in all_lines if line.quantity > Quantity(0) and line.net)
    lines = grouped(paid, lambda line: line.material)
    changes = [
        PriceChange(
            material, own[0], own[-1], len(own), total(line.landed for line in spent[material])
        )
        for material, own in lines.items()
    ]
    changes.sort(key=lambda one: (-one.landed.minor, one.material))
    return changes


class RackPieceMoved(Struct, frozen=True):
    """A piece of the rack: what happened to it, its area in nm², its value at full, its job."""

    kind: str
    material: str
    area: int
    full: Money
    job: str


class RackOfPeriod(Struct, frozen=True):
    """What the rack did in a period: pieces and their value; sheets that its pieces stood for.

    `sold` went to clients as they were, `gone` was thrown away or left for no job. `used_value` is
    net of what came back. `sheets` is the area used ÷ the area of a whole sheet, by material;
    `unknown` are used pieces of a material whose sheet size the price list lacks.
    """

    kept: tuple[RackPieceMoved, ...]
    used: tuple[RackPieceMoved, ...]
    sold: tuple[RackPieceMoved, ...]
    gone: tuple[RackPieceMoved, ...]
    used_value: Money
    sheets: Decimal
    unknown: int


def rack_of_period(moves: Sequence[RackPieceMoved], sheet_area: Mapping[str, int]) -> RackOfPeriod:
    """Pieces kept, used, sold and gone; `sheet_area` is that of a whole sheet, in nm²."""
    kept = tuple(move for move in moves if move.kind == KEPT)
    used = tuple(move for move in moves if move.kind == TAKEN)
    back = [move for move in moves if move.kind == BACK]
    sold = [move for move in moves if move.kind == SOLD]
    for move in moves:
        if move.kind == UNSOLD and (piece := replace(move, kind=SOLD)) in sold:
            sold.remove(piece)
    gone = tuple(m for m in moves if m.kind not in {KEPT, TAKEN, BACK, SOLD, UNSOLD})
    sheets = sum(
        (_part(move, sheet_area) for move in used), Fraction(0)
    ) - sum((_part(move, sheet_area) for move in back), Fraction(0))  # fmt: skip
    value = total(move.full for move in used) - total(move.full for move in back)
    unknown = sum(move.material not in sheet_area for move in used)
    return RackOfPeriod(kept, used, tuple(sold), gone, value, half_up(sheets, 2), unknown)


def _part(move: RackPieceMoved, sheet_area: Mapping[str, int]) -> Fraction:
    area = sheet_area.get(move.material)
    return Fraction(move.area, area) if area else Fraction(0)


class SponsorGoods(Struct, frozen=True):
    """What one giver gave, and the content hours that its builds took.

    Goods stand at fair value; `fee` is the sponsor fees (less what was kept of them) of the jobs
    that this giver's publications show, `minutes` the owner's content minutes on them. Where a job
    shows several givers they share it alike; what belongs to a job that shows none stands under an
    empty name. What buyers and stores paid for a build came of no sponsor.
    """

    giver: str
    fair: Money
    fee: Money
    minutes: Fraction
    cost: Money

    @property
    def gave(self) -> Money:
        """Goods and fees together."""
        return self.fair + self.fee

    @property
    def hour(self) -> Money | None:
        """What was given for an hour of content."""
        return self.gave.times(60 / self.minutes) if self.minutes else None


def sponsor_goods(
    fair: Mapping[str, Money],
    content: Mapping[str, int],
    fees: Iterable[tuple[str, Money]],
    givers_of: Mapping[str, Sequence[str]],
    break_even: Money,
) -> list[SponsorGoods]:
    """Each giver's goods and fees beside what publishing took.

    `content` is minutes by job, `fees` the sponsor fees by job.
    """
    minutes: dict[str, Fraction] = {}
    money: dict[str, Money] = {}
    for job, worked in content.items():
        givers = givers_of.get(job) or ("",)
        for giver in givers:
            minutes[giver] = minutes.get(giver, Fraction(0)) + Fraction(worked, len(givers))
    for job, amount in fees:
        givers = givers_of.get(job) or ("",)
        for giver, part in zip(givers, split(amount, [1] * len(givers)), strict=True):
            money[giver] = money.get(giver, Money(0)) + part
    rows = []
    for giver in sorted({*fair, *minutes, *money}, key=lambda name: (not name, name)):
        took, nothing = minutes.get(giver, Fraction(0)), Money(0)
        cost = break_even.times(took / 60)
        given, fee = fair.get(giver, nothing), money.get(giver, nothing)
        rows.append(SponsorGoods(giver, given, fee, took, cost))
    return rows

"""The cost sheet of a job: lines, hours, rates, build-up and totals, frozen together.

One that was kept behind a quote is read in the form of today or an older one.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any

from msgspec import Struct, field

from ledger.costing.cautions import Caution
from ledger.costing.rates import Rates
from ledger.costing.stages import Gap, open_words
from ledger.errors import BadValue
from ledger.labor.estimate import counted_driver
from ledger.labor.hours_range import HoursRange
from ledger.measures.frozen import read_json, thaw
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.values import WRITTEN_IF_OTHER

_NONE, _ZERO = Quantity(0), Money(0)


class CostLine(Struct, frozen=True):
    """One material or piece of hardware of the job.

    `full` is its cost at replacement price, `cash` what of it was or will be paid (0 where goods in
    kind cover it), `price` its part of the marked-up total. `net` is what the piece needs before
    any allowance. `trace` says step by step where the figures come from.

    Of `quantity` so much is there `in_kind`, so much is `owned` and paid for, the rest is to be
    bought; `owned_value` is the owned part of `cash`. A piece of the rack has a `lot`.
    """

    group: str
    item: str
    words: str
    kind: str
    net: Quantity
    quantity: Quantity
    unit: str
    unit_cost: Decimal
    full: Money
    cash: Money
    price: Money
    basis: str
    trace: tuple[str, ...] = ()
    lot: int | None = None
    in_kind: Quantity = _NONE
    owned: Quantity = _NONE
    owned_value: Money = _ZERO

    @property
    def to_pay(self) -> Money:
        """What must still be bought and paid."""
        return self.cash - self.owned_value


BY_HAND = "counted by hand"
"""How the basis of a line begins whose count was typed; it stands as typed, whatever repeats."""


class SheetHours(Struct, frozen=True):
    """One operation of the job, in person-hours.

    `estimate` is what the price uses; `standard` comes from the standards alone, `history` is what
    the shop's own past would have said (`ratio` × standard). `is_assumed` marks a line with joints
    that the design does not list. `repeat` is the factor for repeating that is in `driver`.
    """

    operation: str
    name: str
    group: str
    driver: Fraction
    unit: str
    estimate: Decimal
    owner: Decimal
    helper: Decimal
    standard: Decimal
    history: Decimal
    ratio: Fraction
    past_jobs: int
    basis: str
    trace: tuple[str, ...] = ()
    is_assumed: bool = False
    repeat: Fraction = Fraction(1)

    @property
    def real_count(self) -> Fraction:
        """What there is to do at the bench, without the factor for repeating."""
        if self.repeat == 1:
            return self.driver
        return counted_driver(self.unit, self.driver / self.repeat)


class BuildUpLine(Struct, frozen=True):
    """One line of the price build-up: its name, its calculation in words, its amount.

    The fee of card payments says its `rate`, a share of the whole price, and what is `fixed` of it.
    """

    name: str
    calculation: str
    amount: Money
    # sheets that were frozen before there were these fields have none, and keep their bytes
    rate: Annotated[Fraction, WRITTEN_IF_OTHER] = Fraction(0)
    fixed: Annotated[Money, WRITTEN_IF_OTHER] = Money(0)


class OtherCost(Struct, frozen=True):
    """Miles, work bought outside and the like: cost, and what the client is charged for it."""

    kind: str
    words: str
    calculation: str
    cost: Money
    price: Money


class SheetsLaid(Struct, frozen=True):
    """How many sheets of one material the layout takes, and what is proven about it."""

    material: str
    sheets: int
    fewest_possible: int
    proven: bool
    net_area: Fraction
    sheet_yield: Fraction
    # sheets that were frozen before there was this field have none, and keep their bytes
    proof: Annotated[str, WRITTEN_IF_OTHER] = ""


class PastJobNear(Struct, frozen=True):
    """A finished job that is near in hours, for comparison."""

    number: str
    title: str
    price: Money
    hours: Decimal
    earned_per_hour: Money


class ForgottenItem(Struct, frozen=True):
    """One line of the list of costs that get forgotten, and how it was answered."""

    item: str
    words: str
    answer: str
    amount: Money | None

    @property
    def is_open(self) -> bool:
        """Whether nobody has answered it yet."""
        return not self.answer


class Totals(Struct, frozen=True):
    """The sums of a cost sheet; shares are exact, money is rounded to the minor unit.

    Material at full value is what is there in kind, what is owned and paid for, and what is to be
    bought: `material_full` = `material_in_kind` + `material_owned` + `material_to_buy`.
    `cash_cost` is all that was or will be paid; of it `cash_to_spend` is the material that is still
    to be bought, and helpers, miles, freight and fees as planned, but no freight once all is there.
    `others_paid` is what was planned of the work of others whose bills came.
    `freight` is what is planned for bringing what is bought; it is in the costs, not in material.
    What the owner earns an hour is told at the typical hours, which no contingency is part of.
    """

    material: Money
    hardware: Money
    material_full: Money
    material_cash: Money
    estimate_hours: Decimal
    owner_hours: Decimal
    helper_hours: Decimal
    full_cost: Money
    cash_cost: Money
    build_up: Money
    price: Money
    earned_per_hour: Money | None
    earned_after_overhead: Money | None
    material_share: Fraction | None
    markup: Fraction | None
    margin: Fraction | None
    material_owned: Money = _ZERO
    freight: Money = _ZERO
    # sheets that were frozen before there was this field have none, and keep their bytes
    others_paid: Annotated[Money, WRITTEN_IF_OTHER] = _ZERO

    @property
    def material_in_kind(self) -> Money:
        """Material that goods in kind cover, at full value."""
        return self.material_full - self.material_cash

    @property
    def material_to_buy(self) -> Money:
        """Material that must still be bought and paid."""
        return self.material_cash - self.material_owned

    @property
    def freight_paid(self) -> Money:
        """The planned freight of goods that are all there: what it came to is in their cost."""
        return self.freight if self.material_owned and not self.material_to_buy else _ZERO

    @property
    def cash_to_spend(self) -> Money:
        """The material still to be bought, and helpers, miles, freight and fees as planned."""
        return self.cash_cost - self.material_owned - self.others_paid - self.freight_paid


class Prospect(Struct, frozen=True):
    """How far the firm price reaches: hours, and the chance that such a job takes more.

    Up to `target_hours` the owner earns the shop's target after overhead; the price pays for
    `paid_hours` at the shop's rates.
    """

    target_hours: Decimal
    over_target: Fraction
    paid_hours: Decimal
    over_paid: Fraction


class CostSheet(Struct, frozen=True):
    """Everything a price stands on, as of one day."""

    job: str
    title: str
    as_of: date
    currency: Currency
    units: str
    design: str
    estimate_from: str
    lines: tuple[CostLine, ...]
    hours: tuple[SheetHours, ...]
    others: tuple[OtherCost, ...]
    rates: Rates
    build_up: tuple[BuildUpLine, ...]
    totals: Totals
    range: HoursRange
    layouts: tuple[SheetsLaid, ...] = ()
    near: tuple[PastJobNear, ...] = ()
    forgotten: tuple[ForgottenItem, ...] = ()
    cautions: tuple[Caution, ...] = ()
    warnings: tuple[str, ...] = ()
    facts: dict[str, str] = field(default_factory=dict)
    prospect: Prospect | None = None
    gaps: tuple[Gap, ...] = ()
    pieces: int = 1
    is_agreed: bool = False
    """The price was agreed in one sum, whatever is worked out."""

    @property
    def open_lines(self) -> tuple[str, ...]:
        """How many open items there are, and each of them; nothing where none is."""
        return (open_words(self.gaps), *self.gap_lines) if self.gaps else ()

    @property
    def repeating(self) -> str:
        """What repeating takes off the hours of several pieces, where counts are of all of them."""
        repeat = min((line.repeat for line in self.hours), default=Fraction(1))
        if repeat == 1:
            return ""
        shown = f"{trimmed(half_up(repeat, 4)):f}"
        typed = [
            line.operation
            for line in self.hours
            if line.estimate and line.basis.startswith(BY_HAND)
        ]
        rest = f", but not of what was {BY_HAND} ({', '.join(typed)})" if typed else ""
        return f"Counts are of all {self.pieces} pieces; hours of what repeats are × {shown}{rest}."

    @property
    def gap_lines(self) -> tuple[str, ...]:
        """The stages of work without hours, each as a sentence with what closes it."""
        return tuple(gap.sentence(self.job) for gap in self.gaps)


_OLD_PIECE = "from the rack: lot "
"""How the basis of a line began that was a piece of the rack, before lines carried a lot."""


def read_cost_sheet(frozen: bytes) -> CostSheet:
    """The cost sheet that frozen bytes say, whenever they were kept.

    Raises:
        BadValue: the bytes are no cost sheet.
    """
    body = read_json(frozen)
    try:
        body |= {"lines": [_line(line) for line in body["lines"]]}
        freight = sum(row["amount"] for row in body["build_up"] if _is_freight(row))
        body |= {"totals": {"freight": freight} | body["totals"]}
    except (AttributeError, KeyError, TypeError, ValueError) as wrong:
        raise BadValue(f"These bytes are not a cost sheet ({wrong!r}).") from wrong
    return thaw(CostSheet, body)


def _is_freight(line: dict[str, Any]) -> bool:
    """Whether a line of the build-up is the shop's share for freight."""
    return bool(line["name"] == "freight" and line["calculation"].endswith(" of purchases"))


def _line(line: dict[str, Any]) -> dict[str, Any]:
    """A line with its lot; what was owned then was not kept, so all of its cash is to be paid."""
    is_piece = line["basis"].startswith(_OLD_PIECE)
    lot = int(line["basis"].removeprefix(_OLD_PIECE)) if is_piece else None
    return {"lot": lot} | line

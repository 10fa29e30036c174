"""One need per material: all lines of a job's take-off that are of the same material, together."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.measures.grouped import grouped
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity

if TYPE_CHECKING:
    from ledger.costing.sheet import CostLine

_NONE = Quantity(0)


class MaterialNeed(Struct, frozen=True):
    """What a job needs of one material, and how that is covered.

    New goods in stock units: `quantity` = `in_kind` + `owned` + `to_buy`; at full value `full` =
    `value_in_kind` + `value_owned` + `to_pay`. Pieces of the rack stand apart by their `lots`,
    for they are not counted in stock units: `rack_full` and `rack_cash` are what they carry.
    """

    item: str
    words: str
    unit: str
    quantity: Quantity
    in_kind: Quantity
    owned: Quantity
    full: Money
    cash: Money
    value_owned: Money
    lots: tuple[int, ...]
    rack_full: Money
    rack_cash: Money

    @property
    def to_buy(self) -> Quantity:
        """What is to be bought, before whole packs."""
        return self.quantity - self.in_kind - self.owned

    @property
    def value_in_kind(self) -> Money:
        """What goods in kind cover, at full value."""
        return self.full - self.cash

    @property
    def to_pay(self) -> Money:
        """What must still be bought and paid."""
        return self.cash - self.value_owned


def needs_of(lines: "Iterable[CostLine]") -> tuple[MaterialNeed, ...]:
    """The needs of a cost sheet's lines, in the order in which the materials first stand there."""
    by_item = grouped(lines, lambda line: line.item)
    return tuple(_need(item, members) for item, members in by_item.items())


def _need(item: str, lines: "list[CostLine]") -> MaterialNeed:
    new = [line for line in lines if line.lot is None]
    pieces = [line for line in lines if line.lot is not None]
    named = (new or pieces)[0]
    return MaterialNeed(
        item=item,
        words=named.words,
        unit=named.unit,
        quantity=sum((line.quantity for line in new), _NONE),
        in_kind=sum((line.in_kind for line in new), _NONE),
        owned=sum((line.owned for line in new), _NONE),
        full=total(line.full for line in new),
        cash=total(line.cash for line in new),
        value_owned=total(line.owned_value for line in new),
        lots=tuple(line.lot for line in pieces if line.lot is not None),
        rack_full=total(line.full for line in pieces),
        rack_cash=total(line.cash for line in pieces),
    )

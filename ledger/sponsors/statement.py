"""A sponsor's goods over a span of days: opening, received, used, wasted, sent back, closing.

Pure arithmetic on lots and their movements. Goods given stand at the full value that stock carries
them at, goods lent at what their owner declared; what leaves takes its share of that, and the last
of a lot takes what is left, so that every line closes in units and in value.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from ledger.book.questions.sponsors import GivenLot, GivenMove
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace

NONE, ZERO = Quantity(0), Money(0)

_COLUMNS = {
    "issue": "used", "return": "used", "damage": "wasted", "scrap": "wasted",
    "to_supplier": "sent_back", "reversed": "received", "own_use": "otherwise",
    "giveaway": "otherwise", "count": "otherwise",
}  # fmt: skip


class Amount(Struct, frozen=True):
    """A quantity with its value; what left is negative."""

    quantity: Quantity = NONE
    value: Money = ZERO

    def __add__(self, other: "Amount") -> "Amount":
        return Amount(self.quantity + other.quantity, self.value + other.value)

    def __neg__(self) -> "Amount":
        return Amount(-self.quantity, -self.value)

    def __bool__(self) -> bool:
        return bool(self.quantity or self.value)


class StatementLine(Struct, frozen=True):
    """One kind of goods over the span; opening and all that is between add up to closing.

    `lots` are those it is made of. What was used, wasted or sent back is negative; `otherwise` is
    what was counted, kept for the shop or given away.
    """

    item: str
    unit: str
    loan: bool
    lots: tuple[int, ...] = ()
    opening: Amount = Amount()
    received: Amount = Amount()
    used: Amount = Amount()
    wasted: Amount = Amount()
    sent_back: Amount = Amount()
    otherwise: Amount = Amount()

    @property
    def closing(self) -> Amount:
        """What is there at the end of the span."""
        between = (self.received, self.used, self.wasted, self.sent_back, self.otherwise)
        return sum(between, self.opening)

    @property
    def moved(self) -> bool:
        """Whether there was anything of it in the span at all."""
        return any((self.opening, self.received, self.used, self.wasted, self.sent_back,
                    self.otherwise))  # fmt: skip


def statement(
    lots: Sequence[GivenLot], moves: Iterable[GivenMove], first: date, last: date
) -> list[StatementLine]:
    """The lines of a span of days, one for each kind of goods, gifts before loans."""
    worth = amounts(lots, moves)
    lines: dict[tuple[str, str, bool], StatementLine] = {}
    by_lot = {lot.lot: _kind(lot) for lot in lots}
    for lot in lots:
        line = StatementLine(lot.words, lot.unit, lot.source == "borrowed")
        line = lines.get(_kind(lot), line)
        lines[_kind(lot)] = replace(line, lots=(*line.lots, lot.lot))
        _put(lines, _kind(lot), "received", lot.day, arrived(lot), first, last)
    for move, amount in worth:
        _put(lines, by_lot[move.lot], _COLUMNS[move.kind], move.day, amount, first, last)
    moved = [line for line in lines.values() if line.moved]
    return sorted(moved, key=lambda line: (line.loan, line.item.casefold(), line.unit))


def arrived(lot: GivenLot) -> Amount:
    """What a lot was when it came in."""
    return Amount(lot.quantity, lot.declared if lot.source == "borrowed" else lot.full)


def amounts(lots: Sequence[GivenLot], moves: Iterable[GivenMove]) -> list[tuple[GivenMove, Amount]]:
    """Each movement with its value: stock's own of goods given, the share of it of goods lent."""
    lent = {lot.lot: lot for lot in lots if lot.source == "borrowed"}
    left = {number: arrived(lot) for number, lot in lent.items()}
    rows = []
    for move in moves:
        amount = Amount(move.quantity, move.full)
        if move.lot in lent:
            whole, before = arrived(lent[move.lot]), left[move.lot]
            quantity = before.quantity + move.quantity
            after = Amount(quantity, whole.value.times(quantity.fraction / whole.quantity.fraction))
            amount = after + -before
            left[move.lot] = after
        rows.append((move, amount))
    return rows


def _kind(lot: GivenLot) -> tuple[str, str, bool]:
    return (lot.material or lot.words.casefold(), lot.unit, lot.source == "borrowed")


def _put(
    lines: dict[tuple[str, str, bool], StatementLine],
    kind: tuple[str, str, bool],
    column: str,
    day: date,
    amount: Amount,
    first: date,
    last: date,
) -> None:
    if day > last:
        return
    chosen = "opening" if day < first else column
    line = lines[kind]
    lines[kind] = replace(line, **{chosen: getattr(line, chosen) + amount})

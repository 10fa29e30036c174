"""The stock of a month rolled forward: what it opened with, what came and went, what is left."""

from collections.abc import Iterable, Mapping
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.month import moved, moved_by_material
from ledger.measures.grouped import grouped
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

COLUMNS = (
    "opening", "received", "issued", "returned", "scrapped", "to_supplier", "own_use", "counted",
    "closing",
)  # fmt: skip
"""The columns in their order; what leaves stock is shown positive and subtracted."""

LEAVES = ("issued", "scrapped", "to_supplier", "own_use")
"""The columns that are subtracted."""

_PLACES: Mapping[str, str] = {
    "lot receipt": "received", "lot in_kind": "received", "lot borrowed": "received",
    "lot offcut": "returned", "lot opening": "opening", "reversed": "received",
    "issue": "issued", "return": "returned", "scrap": "scrapped", "damage": "scrapped",
    "to_supplier": "to_supplier", "own_use": "own_use", "giveaway": "own_use", "count": "counted",
    "lot kept": "to_supplier", "kept": "returned", "charged": "issued",
}  # fmt: skip
# What a supplier kept of goods sent back before: they went back, and from their job, for less.
# A kept offcut comes back from its job; opening stock is what the month of its day began with.


class Roll[S: (Money, Quantity)](Struct, frozen=True):
    """One view of a month's stock: its full value, its cash, or a quantity."""

    opening: S
    received: S
    issued: S
    returned: S
    scrapped: S
    to_supplier: S
    own_use: S
    counted: S
    closing: S

    def closes(self) -> bool:
        """Whether what it opened with, what came and what went make up what is left."""
        came = self.opening + self.received + self.returned + self.counted
        went = self.issued + self.scrapped + self.to_supplier + self.own_use
        return came - went == self.closing

    def columns(self) -> dict[str, S]:
        """The figures by the names of their columns."""
        return {name: getattr(self, name) for name in COLUMNS}


class MaterialRoll(Struct, frozen=True):
    """One material's month in quantity, full value and cash."""

    material: str
    unit: str
    quantity: Roll[Quantity]
    full: Roll[Money]
    cash: Roll[Money]


def roll_between(book: Book, first: date, last: date) -> tuple[Roll[Money], Roll[Money]]:
    """The stock of some days, the first and last included, in full value and in cash."""
    rows = moved(book, first, last)
    return (
        _roll(Money(0), ((row.kind, row.before, row.full) for row in rows)),
        _roll(Money(0), ((row.kind, row.before, row.cash) for row in rows)),
    )


def roll_by_material(book: Book, first: date, last: date) -> list[MaterialRoll]:
    """Some days of each material that was there or moved, in the order of codes."""
    rows_moved = moved_by_material(book, first, last)
    groups = grouped(rows_moved, lambda row: (row.material or row.words, row.unit))
    rolls = [
        MaterialRoll(
            name,
            unit,
            _roll(Quantity(0), ((row.kind, row.before, row.quantity) for row in rows)),
            _roll(Money(0), ((row.kind, row.before, row.full) for row in rows)),
            _roll(Money(0), ((row.kind, row.before, row.cash) for row in rows)),
        )
        for (name, unit), rows in groups.items()
    ]
    return [
        roll
        for roll in rolls
        if any((*roll.quantity.columns().values(), *roll.full.columns().values()))
    ]


def _roll[S: (Money, Quantity)](nothing: S, rows: Iterable[tuple[str, bool, S]]) -> Roll[S]:
    sums = dict.fromkeys(COLUMNS, nothing)
    for kind, before, amount in rows:
        place = _PLACES[kind]
        sums["closing"] = sums["closing"] + amount
        if before:
            sums["opening"] = sums["opening"] + amount
        else:
            sums[place] = sums[place] + (-amount if place in LEAVES else amount)
    return Roll(**sums)


def column_of(kind: str) -> str:
    """The column of the roll-forward that a movement, or a lot taken in, belongs to."""
    return _PLACES[kind]

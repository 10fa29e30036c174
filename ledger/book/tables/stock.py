"""Lots, and the movements that draw on them."""

from datetime import date

from ledger.book.tables.base import Posted, column
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class Lot(Posted, table=True):
    """What came in at one cost: full value and cash side by side (in kind: cash 0).

    Sources: `receipt`, `opening`, `in_kind`, `borrowed` (not ours: value 0, what the owner said it
    is worth stands in `declared`), `offcut` (a piece with a size, credited to `job`).
    `factory_edges` are those of an offcut, in words with spaces between: empty where unknown.
    """

    material: str | None = None
    words: str
    category: str
    unit: str
    day: date = column(date)
    source: str
    quantity: Quantity = column(Quantity)
    full: Money = column(Money)
    cash: Money = column(Money)
    tax_kind: str = "none"
    line: int | None = None
    job: int | None = None
    sponsor: str = ""
    agreement: str = ""
    declared: Money = column(Money, default=Money(0))
    method: str = ""
    evidence: str = ""
    thickness: Length | None = column(Length, default=None)
    length: Length | None = column(Length, default=None)
    width: Length | None = column(Length, default=None)
    statement: str = ""
    note: str = ""
    factory_edges: str = ""


class Movement(Posted, table=True):
    """What left a lot (negative) or came back to it (positive), at what full value and cash."""

    lot: int
    kind: str
    day: date = column(date)
    quantity: Quantity = column(Quantity)
    full: Money = column(Money)
    cash: Money = column(Money)
    job: int | None = None
    reason: str = ""
    on_camera: bool | None = None
    of_movement: int | None = None
    line: int | None = None
    use_tax: Money = column(Money, default=Money(0))

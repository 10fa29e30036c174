"""Income beside the commission, material spoiled in rework, and what a job was closed with."""

from datetime import date
from decimal import Decimal

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money


class Income(Posted, table=True):
    """Money a build brought beside its commission; `fee` is what a store or network kept."""

    job: int
    day: date = column(date)
    stream: str
    words: str = ""
    gross: Money = column(Money)
    fee: Money = column(Money)


class PlanSale(Posted, table=True):
    """A plan that was sold to an order; `sizes` are empty where nobody noted those of the buyer."""

    __tablename__ = "plan_sale"

    income: int
    design_version: int
    reference: str
    sizes: str = ""


class Spoiled(Posted, table=True):
    """Material lost in rework: part of the material's cost already, told apart for its cause."""

    job: int
    day: date = column(date)
    part: str = ""
    words: str
    amount: Money = column(Money)


class CloseOutRow(Posted, table=True):
    """What a job was closed with: its price, the hours planned and their four-in-five point."""

    __tablename__ = "close_out"

    job: int
    day: date = column(date)
    price: Money = column(Money)
    planned_hours: Decimal = column(Decimal)
    four_in_five: Decimal = column(Decimal)
    actual_minutes: int


class ClosingPlan(Posted, table=True):
    """The cost sheet's bytes beside which a job without a quote was closed."""

    __tablename__ = "closing_plan"

    job: int
    basis: bytes

"""Operations with their standard times, and marks of a new start."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from sqlmodel import Field

from ledger.book.tables.base import Posted, column


class Operation(Posted, table=True):
    """A standard of time: set-up minutes + minutes × driver; the last in force counts.

    `stage` is what the operation does to the piece (prepare, join, coat …), `source` who says so.
    """

    code: str
    name: str
    group: str = Field(sa_column_kwargs={"name": "family"})
    driver: str
    unit: str
    minutes: Decimal = column(Decimal)
    setup: Decimal = column(Decimal)
    helper_share: Fraction = column(Fraction)
    remark: str = ""
    spoken: str = ""
    stage: str = ""
    source: str = ""


class OperationMark(Posted, table=True):
    """From that day on an operation is learned afresh (a new machine); the last in force counts."""

    __tablename__ = "operation_mark"

    operation: str
    day: date = column(date)
    words: str = ""

"""What every posted row has, and short names for the columns of exact values."""

import os
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from pydantic import ConfigDict
from sqlmodel import Field, SQLModel

from ledger.book.columns import (
    DayColumn,
    DecimalColumn,
    LengthColumn,
    MoneyColumn,
    QuantityColumn,
    ShareColumn,
)
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

_COLUMNS: dict[type, Any] = {
    Money: MoneyColumn,
    Length: LengthColumn,
    Quantity: QuantityColumn,
    Decimal: DecimalColumn,
    Fraction: ShareColumn,
    date: DayColumn,
}


def column(kind: type, **more: Any) -> Any:
    """A field of an exact value: `full: Money = column(Money)`; `default=None` if it may lack."""
    return Field(sa_type=_COLUMNS[kind], **more)


def salt() -> Any:
    """A field of random text: no digest of a row that has it can be guessed once it is redacted."""
    return Field(default_factory=lambda: os.urandom(16).hex())


class Posted(SQLModel):
    """A row of an entry: it is posted once and stands for ever; `entry` says when, who and why."""

    # Rows are made from checked values, never validated: no validator is built for a table.
    model_config = ConfigDict(  # type: ignore[assignment]
        arbitrary_types_allowed=True, defer_build=True
    )

    id: int | None = Field(default=None, primary_key=True)
    entry: int = Field(default=0, sa_column_kwargs={"name": "deed"})

    @property
    def key(self) -> int:
        """The row's number; asking for it before the row is posted is a mistake of the program."""
        if self.id is None:
            raise RuntimeError(f"{type(self).__name__} has not been posted")
        return self.id

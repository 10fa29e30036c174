"""Kits that a client might buy instead."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money


class Kit(Posted, table=True):
    """A kit that a client might buy instead, at the price seen on a day."""

    number: str
    name: str
    price: Money = column(Money)
    seen: date = column(date)
    source: str = ""
    shipping: Money = column(Money)
    tax_rate: Fraction = column(Fraction)
    assembly: Decimal = column(Decimal)
    years: int
    warranty: str = ""
    lift_help: str = ""
    note: str = ""


class KitExtra(Posted, table=True):
    """Something a kit needs beside it to do the same as the commission."""

    __tablename__ = "kit_extra"

    kit: int
    words: str
    amount: Money = column(Money)
    taxed: bool

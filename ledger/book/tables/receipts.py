"""Receipts with their lines and shares, and goods that were credited."""

from datetime import date
from decimal import Decimal

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class Receipt(Posted, table=True):
    """A supplier's document as it came; a credit note and a reversal carry negative lines.

    Kinds: `bought`, `credit`, `in_kind`, `borrowed`, `reversal` (of the receipt it names).
    """

    number: str
    day: date = column(date)
    kind: str
    supplier: int
    document: str = ""
    paid_by: str = ""
    total: Money = column(Money)
    agreement: str = ""
    reverses: int | None = None


class ReceiptLine(Posted, table=True):
    """One line of goods: what the document says of it and what it came to, freight included.

    `net` is after discounts and before freight and tax; `landed` is net + freight + tax paid + use
    tax − recoverable tax; `fair` is the fair value of goods received in kind.
    """

    __tablename__ = "receipt_line"

    receipt: int
    material: str | None = None
    words: str
    category: str
    bought: Quantity = column(Quantity)
    bought_unit: str
    quantity: Quantity = column(Quantity)
    unit: str
    unit_price: Decimal | None = column(Decimal, default=None)
    tax_kind: str
    discount: Money = column(Money)
    net: Money = column(Money)
    freight: Money = column(Money)
    tax_paid: Money = column(Money)
    recoverable: Money = column(Money)
    use_tax: Money = column(Money)
    landed: Money = column(Money)
    fair: Money = column(Money)


class ReceiptShare(Posted, table=True):
    """Where a part of a line went: to a job, to stock, or used up by the shop itself."""

    __tablename__ = "receipt_share"

    line: int
    place: str
    job: int | None = None
    quantity: Quantity = column(Quantity)
    landed: Money = column(Money)


class CreditedGoods(Posted, table=True):
    """Goods that are both sent back and credited: how much of which movement, by which line.

    `movement` is the one that took the goods out of stock: the sending back, where that came
    first, or the credit note's own.
    """

    __tablename__ = "credited_goods"

    movement: int
    line: int
    quantity: Quantity = column(Quantity)

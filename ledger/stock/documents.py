"""A supplier's document as values: its lines, where each goes, its taxes, freight and total."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.materials import KINDS

TAX_KINDS = ("paid", "resale", "use", "recoverable", "none")
"""How a line stands to tax: paid to the supplier, bought for resale, use tax owed, VAT, none."""

CATEGORIES = (*KINDS, "blade", "safety", "packing", "tool", "freight")
"""What the month's spend is told apart by: the kinds of material and what else a shop buys."""

DOCUMENT_KINDS = ("bought", "credit", "in_kind", "borrowed")

ZERO = Money(0)
NONE = Quantity(0)


@dataclass(frozen=True, slots=True)
class Share:
    """A part of a line: for a job, for stock, or used up by the shop itself."""

    place: str
    quantity: Quantity
    job: int | None = None


@dataclass(frozen=True, slots=True)
class DocumentLine:
    """One line as it is printed; `net` is after the line's own discount, before freight and tax.

    Quantities: `bought` in the document's unit, `quantity` in the stock unit. On free goods `net`
    is the fair value, told with its method and evidence. On a credit note every figure is positive,
    as printed, and `credit_of` says of which goods: a lot, a receipt, the
    document that brought them, or the material.
    """

    words: str
    category: str
    quantity: Quantity
    unit: str
    net: Money
    material: str | None = None
    bought: Quantity = NONE
    bought_unit: str = ""
    unit_price: Decimal | None = None
    discount: Money = ZERO
    tax_kind: str = "none"
    tax_paid: Money = ZERO
    shares: tuple[Share, ...] = ()
    thickness: Length | None = None
    statement: str = ""
    note: str = ""
    method: str = ""
    evidence: str = ""
    credit_of: str = ""


@dataclass(frozen=True, slots=True)
class Document:
    """A receipt, credit note or delivery note with all its lines.

    `discount` and `tax` are figures of the whole document, spread over its lines by value; lines
    of category `freight` are spread over the goods. `total` is what the document says it comes to.
    """

    supplier: str
    day: date
    lines: tuple[DocumentLine, ...]
    kind: str = "bought"
    number: str = ""
    document: str = ""
    paid_by: str = ""
    discount: Money = ZERO
    tax: Money = ZERO
    total: Money | None = None
    agreement: str = ""

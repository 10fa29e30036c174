"""A supplier's document as values: its lines, where each goes, its taxes, freight and total."""

from datetime import date
from decimal import Decimal
from typing import Any

from msgspec import Struct

from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.materials import KINDS

TAX_KINDS = ("paid", "resale", "use", "recoverable", "none")
BEAR_TAX = ("paid", "recoverable")
"""The kinds whose goods have tax on the paper, which stays a cost or comes back."""
"""How a line stands to tax: paid to the supplier, bought for resale, use tax owed, VAT, none."""

OUTSIDE = "outside"
"""The category of the work of others on a job: a bill, and no goods."""

CATEGORIES = (*KINDS, "blade", "safety", "packing", "tool", "freight", OUTSIDE)
"""What the month's spend is told apart by: the kinds of material and what else a shop buys."""

ZERO = Money(0)
NONE = Quantity(0)


class Share(Struct, frozen=True):
    """A part of a line: for a job, for stock, or used up by the shop itself."""

    place: str
    quantity: Quantity
    job: int | None = None


class DocumentLine(Struct, frozen=True):
    """One line of a document: as it is printed, and after `land` with all that was put on it.

    Quantities: `bought` in the document's unit, `quantity` in the stock unit. `net` is after
    discounts, before freight and tax; on free goods it is the fair value, told with its method and
    evidence. On a credit note every figure is positive, as printed, and `credit_of` says of which
    goods: a lot, a receipt, the document that brought them, or the material.

    Known once landed: `freight`, `recoverable` and `use_tax`; `own_tax`, the tax on the goods alone
    that stays a cost, without that on their freight.
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
    freight: Money = ZERO
    recoverable: Money = ZERO
    use_tax: Money = ZERO
    own_tax: Money = ZERO

    @property
    def landed(self) -> Money:
        """What the line costs the shop in the end."""
        return self.payable + self.use_tax - self.recoverable

    @property
    def payable(self) -> Money:
        """What the supplier is paid for it."""
        return self.net + self.freight + self.tax_paid


class DocumentWords(Struct, frozen=True, kw_only=True):
    """What stands on a document word for word and is kept so; each a column of the receipt."""

    document: str = ""
    paid_by: str = ""


def document_words(source: object) -> dict[str, Any]:
    """Those words of whatever carries them, by name: a document, what was typed, a receipt."""
    return {name: getattr(source, name) for name in DocumentWords.__struct_fields__}


class Document(DocumentWords, frozen=True):
    """A receipt, credit note or delivery note with all its lines.

    `discount` and `tax` are figures of the whole document, spread over its lines by value; lines
    of category `freight` are spread over the goods. `total` is what the document says it comes to.
    """

    supplier: str
    day: date
    lines: tuple[DocumentLine, ...]
    kind: str = "bought"
    number: str = ""
    discount: Money = ZERO
    tax: Money = ZERO
    total: Money | None = None
    agreement: str = ""

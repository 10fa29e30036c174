"""What the shop knows of its materials, what they cost, and from whom."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.base import Posted, column
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity


class Supplier(Posted, table=True):
    """Somebody the shop buys from."""

    name: str


class Material(Posted, table=True):
    """What the shop knows about a material; a changed price list posts a new row, the last counts.

    Units: `density` in kg/m³; `coverage` in square feet (inch book) or square meters (mm book)
    per stock unit and coat; `allowance` a share of what is needed or bought, as `allowance_on`
    says (`net`: added on top; `bought`: a divisor). Lumber `by_tally` is bought by the whole board
    foot, other lumber as the boards it is laid on; `surfaced` is how thick it comes, where it is
    not rough.
    """

    code: str
    name: str
    kind: str
    unit: str
    pack: Quantity = column(Quantity)
    length: Length | None = column(Length, default=None)
    width: Length | None = column(Length, default=None)
    thickness: Length | None = column(Length, default=None)
    grain: str | None = None
    density: Decimal | None = column(Decimal, default=None)
    density_source: str | None = None
    coverage: Decimal | None = column(Decimal, default=None)
    coverage_source: str | None = None
    allowance: Fraction | None = column(Fraction, default=None)
    allowance_on: str | None = None
    whole: bool = False
    composite: bool = False
    by_tally: bool = False
    grade: str = ""
    surfaced: Length | None = column(Length, default=None)
    note: str = ""


class Price(Posted, table=True):
    """What a stock unit of a material cost at a supplier on a day.

    `with_tax` says that whatever tax stays a cost is inside the amount; else it is before tax, and
    `tax_rate` is the rate of tax on purchases that stood when it was noted.
    """

    material: str
    supplier: int | None = None
    day: date = column(date)
    amount: Decimal = column(Decimal)
    source: str = ""
    tax_rate: Fraction = column(Fraction, default=Fraction(0))
    with_tax: bool = False

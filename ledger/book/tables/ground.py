"""Entries, settings, clients, suppliers, materials, jobs, operations and months.

Designs, counts and past jobs have modules of their own: making a class takes milliseconds, and
most commands touch none of them.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from pydantic import ConfigDict
from sqlmodel import Field, SQLModel

from ledger.book.tables.base import Posted, column, salt
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity


class JournalEntry(SQLModel, table=True):
    """One command that wrote: when, on which day of the shop, who, in what words."""

    __tablename__ = "deed"
    model_config = ConfigDict(arbitrary_types_allowed=True)  # type: ignore[assignment]

    id: int | None = Field(default=None, primary_key=True)
    at: str
    day: date = column(date)
    who: str
    verb: str
    words: str = ""
    reverses: int | None = None
    why: str | None = None


class SettingValue(Posted, table=True):
    """What a setting was set to; the last in force counts."""

    __tablename__ = "setting"

    name: str
    value: str


class Client(SQLModel, table=True):
    """Who a commission is for; the one table whose details can be redacted on request."""

    id: int | None = Field(default=None, primary_key=True)
    name: str
    contact: str = ""
    address: str = ""
    vat_number: str = ""
    redacted_on: str | None = None
    salt: str = salt()


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


class Job(Posted, table=True):
    """A commission, or a past job that was loaded for what it teaches."""

    number: str
    title: str
    client: int | None = None
    kind: str = "commission"


class JobBasis(Posted, table=True):
    """What a job is made of: a design's version, its parameters, how many; the last counts."""

    __tablename__ = "job_basis"

    job: int
    design: int
    parameters: str
    pieces: int = 1


class JobState(Posted, table=True):
    """A state a job entered on a day."""

    __tablename__ = "job_state"

    job: int
    state: str
    day: date = column(date)
    why: str = ""


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


class MonthState(Posted, table=True):
    """A month that was closed to postings, or opened again with a reason."""

    __tablename__ = "month_state"

    month: str
    state: str
    why: str = ""

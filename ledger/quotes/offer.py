"""An offer: everything the client reads, and nothing from inside the shop.

It carries no hours, rate, markup, overhead, profit, contingency, supplier, unit cost, sponsor,
helper's pay or cut plan: there is no field for them. The client is named by a number only, so that
their details can be redacted while the page stands as it was sent.
"""

from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.jobs.agreement import Ask
from ledger.measures.money import Currency, Money, total


class Maker(Struct, frozen=True):
    """The workshop as it signs: name, address, how to reach it."""

    name: str
    address: str
    contact: str


class QuoteFact(Struct, frozen=True):
    """One line on the piece: overall size, material, finish, mattress."""

    name: str
    words: str


class QuoteDeliverable(Struct, frozen=True):
    """What is delivered under one price, whether tax falls on it, and of how many pieces it is."""

    name: str
    amount: Money
    taxed: bool
    pieces: int = 1

    @property
    def piece(self) -> Money | None:
        """The price of one piece; the pieces together are the amount."""
        return self.amount.divided(self.pieces)


class Option(Struct, frozen=True):
    """Something the client may add: its price and the tax on it, in no total of the offer."""

    name: str
    amount: Money
    tax: Money

    @property
    def asked(self) -> Money:
        """What it adds to what is to be paid."""
        return self.amount + self.tax


class Tax(Struct, frozen=True):
    """The tax on an offer: how the shop stands to it, on what, how much, and the words for it."""

    standing: str
    rate: Fraction
    base: Money
    amount: Money
    words: str


class Clause(Struct, frozen=True):
    """A term of the offer with its heading: changes, care, warranty."""

    name: str
    words: str


class Offer(Struct, frozen=True):
    """A quote as the client reads it."""

    number: str
    revision: str
    day: date
    valid_until: date
    currency: Currency
    units: str
    maker: Maker
    client: int | None
    title: str
    description: str
    facts: tuple[QuoteFact, ...]
    drawing: str
    sample: str
    deliverables: tuple[QuoteDeliverable, ...]
    options: tuple[Option, ...]
    included: tuple[str, ...]
    tax: Tax
    payments: tuple[Ask, ...]
    lead_weeks: int
    revisions: int
    assumptions: tuple[str, ...]
    exclusions: tuple[str, ...]
    cautions: tuple[str, ...]
    clauses: tuple[Clause, ...]
    acceptance: str

    @property
    def name(self) -> str:
        """Number and revision as they stand on the page."""
        return f"{self.number}-{self.revision}"

    @property
    def price(self) -> Money:
        """The price before tax."""
        return total(line.amount for line in self.deliverables)

    @property
    def to_pay(self) -> Money:
        """The price with its tax."""
        return self.price + self.tax.amount


def address_lines(address: str) -> list[str]:
    """The lines of an address, parted by `|` or by lines of their own.

    >>> address_lines("12 Old Mill Lane | Larkspur")
    ['12 Old Mill Lane', 'Larkspur']
    """
    return [part.strip() for part in address.replace("\n", "|").split("|") if part.strip()]

"""What a material costs: one basis for the price list, plans, stock, month and close-out.

The basis is the cost of one stock unit to the shop: tax that stays a cost is inside, tax that is
recovered is not, freight is not. So in a shop that gets no
tax back a lot's cost and a price differ by freight alone, and a purchase at the price in force
changes nothing. (What is not recoverable belongs to the cost of
purchase, what is recoverable does not: IAS 2, paragraph 11; from memory.)

A price is noted as it was seen: before tax, and then the shop's rate of tax on purchases
(`material_tax`) is put on it, or with all tax in it. Where a shop recovers its tax, prices are
before tax and that is what they cost; where it buys for resale, they are too, and tax on a
purchase without a certificate, or use tax, is a cost of that lot alone. Freight is no part of a
price: what is expected of it is a line of the price build-up of its own, and what was paid lies
in the lots.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.prices import STARTING_PRICE
from ledger.book.tables.materials import Material, Price
from ledger.measures.grouped import grouped
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import as_typed


def is_starting(source: str) -> bool:
    """Whether a price with this source is of the starting list."""
    return source.startswith(STARTING_PRICE)


class CostPrice(Struct, frozen=True):
    """A price in force: `amount` is the cost of one stock unit, `noted` what was written down.

    `tax` is the rate put on what was noted before tax; None where the tax is in it already.
    """

    key: int
    material: str
    supplier: int | None
    day: date
    amount: Decimal
    noted: Decimal
    tax: Fraction | None
    source: str

    @property
    def is_untaxed(self) -> bool:
        """Whether no tax is in the cost, so that an improvement pays it on top."""
        return self.tax is not None and not self.tax

    @property
    def is_starting(self) -> bool:
        """Whether it is of the starting price list, and not the shop's own."""
        return is_starting(self.source)


class Noted(Struct, frozen=True):
    """A price as it is to be noted: before tax at a rate, or (rate None) with the tax in it."""

    amount: Decimal
    tax_rate: Fraction | None


def purchase_tax(book: Book) -> Fraction:
    """The rate of tax on purchases that stays a cost of the shop; 0 where it is recovered."""
    rate: Fraction = book.settings.material_tax
    return Fraction(0) if book.settings.tax_standing == "vat" else rate


def rates_paid(book: Book) -> tuple[Fraction, ...]:
    """The rates of tax that purchases may bear by the book's settings, the most usual first."""
    shop = book.settings
    if shop.tax_standing == "vat":
        return shop.tax_rate, shop.material_tax
    own = shop.use_tax_rate
    sold = shop.tax_rate if shop.tax_standing == "sales_tax" else Fraction(0)
    return shop.material_tax, sold if own is None else own, sold


def is_tax_inside(book: Book) -> bool:
    """Whether the prices have the tax inside that the shop pays on purchases as a rule."""
    return bool(purchase_tax(book)) or _is_tax_usual(book)


def price_basis(book: Book) -> str:
    """What tax is in the prices of the book, in words for whoever reads the figures."""
    if is_tax_inside(book):
        return "tax that stays a cost inside, freight not"
    if book.settings.tax_standing == "vat":
        return "before tax, which comes back; freight not inside"
    return "as noted, before tax; tax and freight paid are in the lots alone"


def pays_tax(book: Book) -> bool:
    """Whether the shop's purchases have tax on them as a rule, that comes back or stays a cost."""
    comes_back = book.settings.tax_standing == "vat"
    return comes_back or _is_tax_usual(book) or bool(purchase_tax(book))


def with_tax(amount: Decimal, rate: Fraction | None, digits: int) -> Decimal:
    """A price noted before tax with that tax on it; at most six places, at least the currency's.

    >>> with_tax(Decimal("100.00"), Fraction(1, 5), 2), with_tax(Decimal("0.054"), None, 2)
    (Decimal('120.00'), Decimal('0.054'))
    """
    if not rate:
        return amount
    return _places(Fraction(amount) * (1 + rate), digits)


def _places(exact: Fraction, digits: int) -> Decimal:
    price = trimmed(half_up(exact, 6))
    return half_up(price, max(len(f"{price:f}".partition(".")[2]), digits))


def has_use_tax(book: Book) -> bool:
    """Whether the shop can owe use tax: where it charges sales tax, or set a rate of its own."""
    charges = book.settings.tax_standing == "sales_tax"
    return charges or book.settings.use_tax_rate is not None


def in_order(prices: Iterable[Price]) -> list[Price]:
    """The prices of one material, the one in force last: by their day, then as they were noted.

    A starting price gives way to the shop's own that was noted after it, of whatever day that is.
    """
    rows = list(prices)
    own = max((row.key for row in rows if not is_starting(row.source)), default=0)
    stands = {row.key: row.key >= own or not is_starting(row.source) for row in rows}
    return sorted(rows, key=lambda row: (stands[row.key], row.day, row.key))


def current_prices(book: Book) -> dict[str, CostPrice]:
    """Today's price of every material that has one."""
    told = grouped((row for row in book.rows(Price) if row.day <= book.today), _material_of)
    return {code: _cost(book, in_order(rows)[-1]) for code, rows in told.items()}


def _material_of(price: Price) -> str:
    return price.material


def current_price(book: Book, code: str, day: date | None = None) -> CostPrice | None:
    """The latest price of a material on a day (today if none is said), whoever asks it."""
    limit = day or book.today
    rows = in_order(row for row in book.rows(Price, material=code) if row.day <= limit)
    return _cost(book, rows[-1]) if rows else None


def all_prices(book: Book, code: str) -> list[CostPrice]:
    """Every price of a material by day, starting prices that gave way first."""
    return [_cost(book, row) for row in in_order(book.rows(Price, material=code))]


def _cost(book: Book, row: Price) -> CostPrice:
    """The price at today's rate of tax on purchases, whatever the rate was when it was noted."""
    tax = None if row.with_tax else purchase_tax(book)
    amount = with_tax(row.amount, tax, book.currency.digits)
    return CostPrice(
        row.key, row.material, row.supplier, row.day, amount, row.amount, tax, row.source
    )


def to_note(book: Book, amount: Decimal, *, included: bool | None = None) -> Noted:
    """How a price that was read somewhere is noted; unsaid, it is as the shop's lists are.

    A shop that recovers its tax takes it out of a price that includes it.
    """
    if included is None:
        included = book.settings.list_prices == "with_tax"
    if not included:
        return Noted(amount, purchase_tax(book))
    if book.settings.tax_standing != "vat":
        return Noted(amount, None)
    rate: Fraction = book.settings.material_tax or book.settings.tax_rate
    return Noted(_places(Fraction(amount) / (1 + rate), book.currency.digits), Fraction(0))


def _is_tax_usual(book: Book) -> bool:
    """Whether the shop pays tax on what it buys as a rule and gets none of it back."""
    standing, lists = book.setting_text("tax_standing"), book.setting_text("list_prices")
    return standing == "exempt" or (standing != "vat" and lists == "with_tax")


class PaidPrice(Struct, frozen=True):
    """What a receipt's line says of a price: printed before tax, and the tax that stays a cost."""

    printed: Decimal
    quantity: Quantity
    net: Money
    tax: Money


def price_paid(book: Book, paid: PaidPrice, current: CostPrice | None) -> Noted:
    """The unit price to note after a purchase, before tax or with the tax that stays a cost.

    Tax at the shop's own rate, rounded as a document rounds it, is the ordinary case: the price is
    noted before tax. So it is where tax hangs on the purchase (a resale certificate or none) and
    says nothing of the next one. Else the tax is put into the price; where that comes to the same
    money as the price in force, the price has not changed and is noted again as it was.
    """
    rate = purchase_tax(book)
    if not paid.net or not _is_tax_usual(book):
        return Noted(paid.printed, rate)
    expected = paid.net.times(rate)
    if paid.tax == expected or (rate and abs(paid.tax - expected).minor <= 1):
        noted = Noted(paid.printed, rate)
    else:
        share = Fraction(paid.tax.minor, paid.net.minor)
        exact = Fraction(paid.printed) * (1 + share)
        noted = Noted(_places(exact, book.currency.digits), None)
    if current is None or not paid.tax:
        return noted
    amount = with_tax(noted.amount, noted.tax_rate, book.currency.digits)
    money = book.currency.money
    if money(amount * paid.quantity.decimal) == money(current.amount * paid.quantity.decimal):
        return Noted(current.noted, current.tax)
    return noted


def discount_note(
    book: Book,
    material: Material,
    quantity: Quantity,
    noted: Noted,
    usual: Fraction,
    current: CostPrice | None,
) -> str:
    """A note that the price now in the list is one at a discount; nothing where it stood so before.

    `usual` says how many times the noted price is the one without the discount.
    """
    digits = book.currency.digits
    paid = with_tax(noted.amount, noted.tax_rate, digits)
    if current is not None:
        moved = (Fraction(paid) - Fraction(current.amount)) * quantity.fraction
        if abs(book.currency.money(moved)).minor <= 1:
            return ""
    full = f"{_places(Fraction(noted.amount) * usual, digits):f}"
    full = as_typed(full, book.currency.decimal_mark)
    tax = "--before-tax" if noted.tax_rate is not None else "--with-tax"
    return (
        f"{material.code}: {book.currency.number(noted.amount)} {of_one(material.unit)}"
        " is noted in the price list, its discount taken off. Where that was for once, set the"
        f" usual price: benchledger material price {material.code} {full} {tax}"
    )


def of_one(unit: str) -> str:
    """How a price is said to be that of one: `each`, `a sheet`."""
    return "each" if unit == "each" else f"a {unit}"


JUMP = 5
"""How many times the last price, or what part of it, is asked about: common practice, no source."""


def price_jump(book: Book, unit: str, noted: Noted, current: CostPrice | None) -> str:
    """A note where a price is many times the one in force, or a small part of it; else nothing.

    Both are compared as costs of one stock unit, tax alike.
    """
    if current is None or not current.amount or not noted.amount:
        return ""
    paid = with_tax(noted.amount, noted.tax_rate, book.currency.digits)
    if current.amount / JUMP <= paid <= current.amount * JUMP:
        return ""
    return (
        f"{current.material}: {book.currency.number(paid)} {of_one(unit)}; the last price was"
        f" {book.currency.number(current.amount)} on {current.day}. Look at quantity, unit and"
        " price; if they are wrong, take it back with: benchledger undo"
    )

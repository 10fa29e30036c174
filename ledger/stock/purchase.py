"""From what is written on a receipt to a line of it: codes found, packs turned to stock units.

The command line and the receipt file both read lines with this, so that a line means the same
wherever it is entered.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.ground import Material
from ledger.errors import BadValue, NotFound
from ledger.measures.length import Length
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import convert, kind
from ledger.stock.documents import CATEGORIES, ZERO, DocumentLine
from ledger.stock.shares import FindJob, read_shares

ONE = Quantity(1_000_000)


@dataclass(frozen=True, slots=True)
class Written:
    """One line as it is written: a material's code, or words and a category of their own."""

    material: str = ""
    words: str = ""
    category: str = ""
    quantity: Quantity = ONE
    unit: str = ""
    unit_price: Decimal | None = None
    net: Money | None = None
    discount: Money = ZERO
    tax_kind: str = "none"
    tax_paid: Money = ZERO
    goes_to: str = ""
    thickness: Length | None = None
    statement: str = ""
    note: str = ""
    method: str = ""
    evidence: str = ""
    credit_of: str = ""


@dataclass(frozen=True, slots=True)
class PurchaseNames:
    """How a line's names are found, and the currency its prices are rounded in."""

    material: Callable[[str], Material]
    job: FindJob
    currency: Currency


def line_of(written: Written, names: PurchaseNames) -> DocumentLine:
    """Turn a line as it was written into a line of a document: its code, stock units and net.

    Raises:
        LedgerError: an unknown name, a unit that cannot be stock, a price that does not multiply.
    """
    written = _money_alone(written, names.currency)
    net = _net(written, names.currency)
    material = names.material(written.material) if written.material else None
    if material is None:
        quantity, unit, category = written.quantity, written.unit or "each", _category(written)
    else:
        quantity = stock_quantity(material, written.quantity, written.unit)
        unit, category = material.unit, _known(written.category or material.kind)
    freight = category == "freight"
    shares = (
        ()
        if (freight or written.credit_of) and not written.goes_to
        else read_shares(
            written.goes_to,
            quantity,
            names.currency.decimal(net),
            names.job,
            names.currency.decimal_mark,
        )
    )
    return DocumentLine(
        words=written.words or (material.name if material else category),
        category=category,
        quantity=quantity,
        unit=unit,
        net=net,
        material=material.code if material else None,
        bought=written.quantity,
        bought_unit=written.unit or unit,
        unit_price=written.unit_price,
        discount=written.discount,
        tax_kind=written.tax_kind,
        tax_paid=written.tax_paid,
        shares=shares,
        thickness=written.thickness,
        statement=written.statement,
        note=written.note,
        method=written.method,
        evidence=written.evidence,
        credit_of=written.credit_of,
    )


def stock_quantity(material: Material, quantity: Quantity, unit: str) -> Quantity:
    """A bought quantity in the stock unit: the same unit, a measure of its kind, or whole packs.

    Raises:
        BadValue: the unit is neither, or the material has no pack size.
    """
    if not unit or unit == material.unit:
        return quantity
    if kind(unit) != "count":
        return Quantity.of(convert(quantity.fraction, unit, material.unit))
    if material.pack == ONE:
        raise BadValue(
            f"{material.code} is stocked by the {material.unit} and has no pack size; write the"
            f" quantity in {material.unit}, or load its pack size with the price list."
        )
    return Quantity.of(quantity.fraction * material.pack.fraction)


def _money_alone(written: Written, currency: Currency) -> Written:
    """A credit without goods: the price that is written is what comes back."""
    if not written.credit_of or written.quantity or written.unit_price is None:
        return written
    amount = currency.money(Fraction(written.unit_price))
    return replace(written, unit_price=None, net=amount if written.net is None else written.net)


def _net(written: Written, currency: Currency) -> Money:
    """What the line comes to, checked against quantity × price where all three are written."""
    if written.unit_price is None:
        if written.net is None:
            raise BadValue("The line has neither a unit price nor an amount; write one of them.")
        return written.net
    exact = written.quantity.fraction * Fraction(written.unit_price)
    worked = currency.money(exact) - written.discount
    if worked.minor < 0:
        raise BadValue("The discount is more than the line comes to.")
    if written.net is not None and written.net != worked:
        less = f" less {currency.show(written.discount)}" if written.discount else ""
        raise BadValue(
            f"{show_quantity(written.quantity)} at {written.unit_price}{less} come to"
            f" {currency.show(worked)}, not {currency.show(written.net)}."
        )
    return worked


def _category(written: Written) -> str:
    if not written.category:
        raise BadValue(
            "Goods without a material's code need a category, such as supply, hardware or freight."
        )
    category = _known(written.category)
    if not written.words and category != "freight":
        raise BadValue("Goods without a material's code need words that say what they are.")
    return category


def _known(category: str) -> str:
    if category in CATEGORIES:
        return category
    raise NotFound("category", category, CATEGORIES, are_all=True)

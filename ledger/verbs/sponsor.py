"""Goods of a sponsor as a document that stock takes in."""

from datetime import date
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.materials import Material
from ledger.errors import BadValue, NotFound
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.sponsors.agreements import agreements
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.materials import find_material
from ledger.stock.prices import current_price
from ledger.stock.receipts import PostedReceipt, receive


class Given(Struct, frozen=True):
    """Goods in kind or on loan as they were typed."""

    item: str
    quantity: Quantity
    value: str
    method: str
    evidence: str
    document: str
    loan: bool
    tool: bool
    statement: str


def take_in(book: Book, sponsor: str, given: Given, day: date) -> PostedReceipt:
    """Receive goods of a sponsor as one line of a document of theirs.

    Raises:
        NotFound: the item is neither a material nor said to be a tool.
        BadValue: no value is said and none is known.
    """
    material = None if given.tool else _material(book, given.item)
    each, method, evidence = _value(book, material, given, day)
    line = DocumentLine(
        words=material.name if material else given.item.strip(),
        category=material.kind if material else "tool",
        quantity=given.quantity,
        unit=material.unit if material else "each",
        net=_worth(book, each, given.quantity),
        material=material.code if material else None,
        unit_price=each,
        thickness=material.thickness if material else None,
        statement=given.statement,
        method=method,
        evidence=evidence,
    )
    agreed = [row for row in agreements(book, sponsor) if row.day <= day]
    document = Document(
        sponsor,
        day,
        (line,),
        "borrowed" if given.loan else "in_kind",
        document=given.document,
        agreement=f"agreement of {agreed[-1].day}" if agreed else "",
    )
    return receive(book, document)


def _material(book: Book, item: str) -> Material:
    try:
        return find_material(book, item)
    except NotFound as unknown:
        raise BadValue(f"{unknown}\nIf it is a tool, say so: --tool") from unknown


def _value(
    book: Book, material: Material | None, given: Given, day: date
) -> tuple[Decimal, str, str]:
    """The fair value of one, how it was found, and what shows it."""
    if given.value:
        return book.currency.parse_price(given.value), given.method, given.evidence
    price = current_price(book, material.code, day) if material else None
    if price is None:
        raise BadValue(f"Say what one {given.item} is worth: --value AMOUNT")
    shown = given.evidence or f"own price of {price.day}, {price.source}".rstrip(", ")
    return price.amount, "usual buying price", shown


def _worth(book: Book, each: Decimal, quantity: Quantity) -> Money:
    return book.currency.money(each * quantity.decimal)

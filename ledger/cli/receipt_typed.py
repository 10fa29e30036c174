"""A receipt of one line as it is typed, turned into a document."""

from dataclasses import dataclass

from ledger.book import Book
from ledger.book.tables.ground import Material, Supplier
from ledger.book.tables.stock import Receipt, ReceiptLine
from ledger.errors import BadValue, NotFound
from ledger.jobs.jobs import find_job
from ledger.measures.length import parse_size
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity, parse_quantity
from ledger.measures.units import unit
from ledger.stock.credited import credited_lots, sold_by
from ledger.stock.documents import TAX_KINDS, Document, Line
from ledger.stock.fair import METHODS
from ledger.stock.materials import find_material, materials
from ledger.stock.purchase import Names, Written, line_of


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed, every word as it stands."""

    item: str
    quantity: str
    price: str
    supplier: str
    to: str
    unit: str
    category: str
    tax: str
    tax_kind: str
    freight: str
    discount: str
    total: str
    document: str
    number: str
    paid_by: str
    on: str
    thickness: str
    statement: str
    credit_of: str
    in_kind: str
    evidence: str
    borrowed: bool


def typed_document(book: Book, typed: Typed) -> Document:
    """The document that was typed, the last supplier standing in where none is named.

    Raises:
        LedgerError: a word that is not what it should be.
    """
    supplier = typed.supplier.strip() or _usual_supplier(book, typed)
    names = Names(
        lambda text: find_material(book, text), lambda text: find_job(book, text).key, book.currency
    )
    lines = [line_of(_written(book, typed, supplier), names)]
    if typed.freight:
        lines.append(_freight(book, typed, lines[0]))
    return Document(
        supplier=supplier,
        day=book.dates.read(typed.on),
        lines=tuple(lines),
        kind=_kind(typed),
        number=typed.number,
        document=typed.document,
        paid_by=typed.paid_by,
        total=book.currency.parse(typed.total) if typed.total else None,
    )


def _written(book: Book, typed: Typed, supplier: str) -> Written:
    amount = book.currency.parse
    material = _material(book, typed)
    return Written(
        material=material.code if material else "",
        words="" if material else typed.item,
        category=typed.category.strip().casefold(),
        quantity=parse_quantity(typed.quantity, book.currency.decimal_mark),
        unit=unit(typed.unit) if typed.unit else "",
        unit_price=book.currency.parse_price(typed.price),
        discount=amount(typed.discount) if typed.discount else Money(0),
        tax_kind=_tax_kind(book, typed, supplier),
        tax_paid=amount(typed.tax) if typed.tax else Money(0),
        goes_to=typed.to,
        thickness=parse_size(typed.thickness, book.units) if typed.thickness else None,
        statement=typed.statement,
        method=_method(typed.in_kind),
        evidence=typed.evidence,
        credit_of=typed.credit_of,
    )


def _material(book: Book, typed: Typed) -> Material | None:
    """The material that is meant; goods with a category of their own are one by exact name only."""
    if typed.category:
        sought = typed.item.strip().casefold()
        known = materials(book).values()
        return next((m for m in known if sought in (m.code.casefold(), m.name.casefold())), None)
    try:
        return find_material(book, typed.item)
    except NotFound as unknown:
        raise BadValue(
            f"{unknown} For goods without a code say what they are: --category supply"
        ) from unknown


def _freight(book: Book, typed: Typed, goods: Line) -> Line:
    charge = book.currency.parse(typed.freight)
    return Line("freight", "freight", Quantity.of(1), "each", charge, tax_kind=goods.tax_kind)


def _kind(typed: Typed) -> str:
    chosen = [
        name
        for name, said in (
            ("credit", typed.credit_of), ("in_kind", typed.in_kind), ("borrowed", typed.borrowed),
        )
        if said
    ]  # fmt: skip
    if len(chosen) > 1:
        raise BadValue("A receipt is either a credit note, or in kind, or borrowed; choose one.")
    return chosen[0] if chosen else "bought"


def _method(text: str) -> str:
    """How a fair value was found, by any part of its name."""
    sought = text.strip().casefold()
    near = [method for method in METHODS if sought and sought in method]
    if sought and len(near) != 1:
        raise NotFound("way to find a fair value", text, METHODS)
    return near[0] if near else ""


def _tax_kind(book: Book, typed: Typed, supplier: str) -> str:
    """How the line stands to tax: as said, as the tax shows, or as last time with this supplier."""
    said = typed.tax_kind.strip().casefold()
    if said:
        if said not in TAX_KINDS:
            raise NotFound("kind of tax", typed.tax_kind, TAX_KINDS)
        return said
    if typed.tax:
        return "recoverable" if book.setting("tax_standing") == "vat" else "paid"
    if _kind(typed) != "bought":
        return "none"
    return _last_tax_kind(book, supplier)


def _last_tax_kind(book: Book, supplier: str) -> str:
    for row in book.rows(Supplier, in_force=False):
        if row.name.casefold() == supplier.casefold():
            last = book.last(Receipt, supplier=row.key, kind="bought")
            line = book.last(ReceiptLine, receipt=last.key) if last else None
            if line is not None and line.tax_kind in ("resale", "use", "none"):
                return line.tax_kind
    return "none"


def _usual_supplier(book: Book, typed: Typed) -> str:
    """Who is meant if nobody is named: who sold what is credited, else the last supplier."""
    if typed.credit_of:
        material = _material(book, typed)
        code = material.code if material else None
        lots = credited_lots(book, typed.credit_of, code, typed.item)
        return sold_by(book, lots[-1])
    return _last_supplier(book)


def _last_supplier(book: Book) -> str:
    last = book.last(Receipt, kind="bought")
    row = book.row(Supplier, last.supplier) if last else None
    if row is None:
        raise BadValue('Say whom it is from: --from "Copper Vale Lumber"')
    return row.name

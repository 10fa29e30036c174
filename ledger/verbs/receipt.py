"""Receipts as they are typed, line by line, and as they stand with what became of each line."""

from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Material, Supplier
from ledger.book.tables.receipts import Receipt, ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Lot
from ledger.errors import BadValue, NotFound
from ledger.jobs.jobs import find_job
from ledger.measures.length import parse_size
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity, parse_quantity
from ledger.measures.share import parse_share
from ledger.measures.units import unit
from ledger.measures.values import replace
from ledger.stock.credited import credited_lots, sold_by
from ledger.stock.documents import (
    BEAR_TAX,
    TAX_KINDS,
    ZERO,
    Document,
    DocumentLine,
    DocumentWords,
    document_words,
)
from ledger.stock.fair import METHODS
from ledger.stock.line_text import LineText
from ledger.stock.materials import find_material, materials
from ledger.stock.prices import pays_tax
from ledger.stock.purchase import PurchaseNames, line_of, stock_quantity
from ledger.stock.receipts import receive, supplier_name
from ledger.stock.retention import KeptPaper, kept_paper
from ledger.verbs.photos import require_photo, tie_photo
from ledger.verbs.receipt_doubts import doubts


class TypedReceipt(DocumentWords, frozen=True):
    """A receipt as it was typed, each field a text.

    Every line goes to `to`, unless it says otherwise; `thickness` is that of the first line.
    `discount` is an amount or a share (`5 %`) of what all the goods come to.
    """

    lines: tuple[LineText, ...] = ()
    supplier: str = ""
    to: str = ""
    tax: str = ""
    tax_kind: str = ""
    freight: str = ""
    discount: str = ""
    total: str = ""
    number: str = ""
    on: str = "today"
    thickness: str = ""
    statement: str = ""
    credit_of: str = ""
    in_kind: str = ""
    evidence: str = ""
    borrowed: bool = False


class LineNow(Struct, frozen=True):
    """A line of a receipt, where its goods went, and the lot that it brought, if any.

    `cost` is the line as it is kept, with all of its money.
    """

    cost: ReceiptLine
    places: tuple[str, ...]
    lot: int | None

    @property
    def item(self) -> str:
        """The material's code, else the words of the line."""
        return self.cost.material or self.cost.words


class ReceiptNow(Struct, frozen=True):
    """A receipt as it stands, with what to look at again; `cost` is it as kept, with its total."""

    number: str
    supplier: str
    lines: tuple[LineNow, ...]
    paper: KeptPaper
    warnings: tuple[str, ...]
    cost: Receipt


def add(book: Book, typed: TypedReceipt, photo: int = 0) -> ReceiptNow:
    """Take in a receipt as it was typed, from the photo of that number where one is named.

    Raises:
        LedgerError: a word that is not what it should be, or lines that miss the total.
    """
    document = typed_document(book, typed)
    if photo:
        pictured = require_photo(book, photo)
        with book.entry("receipt add", f"photo {photo}"):
            received = receive(book, document)
            tie_photo(book, pictured, received.receipt)
    else:
        received = receive(book, document)
    untaxed = _untaxed_words(book, typed, document)
    slips = doubts(book, received, (line.quantity for line in typed.lines))
    return read(book, received.receipt, (*received.warnings, *untaxed, *slips))


def _untaxed_words(book: Book, typed: TypedReceipt, document: Document) -> tuple[str, ...]:
    """A sentence where goods come without tax: said to bear it, or nothing was said of tax.

    What was said is an amount, 0 too, or a kind that bears none: resale, use, none.
    """
    words = [typed.tax, *(line.tax for line in typed.lines)]
    is_amount_said = any(word and word.casefold() not in TAX_KINDS for word in words)
    if document.kind != "bought" or is_amount_said:
        return ()
    taxed = any(line.tax_kind in BEAR_TAX for line in document.lines)
    is_kind_said = typed.tax_kind or any(line.tax_kind != "none" for line in document.lines)
    if not taxed and (is_kind_said or not pays_tax(book)):
        return ()
    return (
        "no tax is on it. If the paper shows tax, take it back, benchledger undo, and enter it with"
        " --tax AMOUNT; with --tax 0 where there is none.",
    )


def read(book: Book, receipt: Receipt, warnings: tuple[str, ...] = ()) -> ReceiptNow:
    """A receipt as it stands, line by line."""
    lines = tuple(_line_now(book, row) for row in book.rows(ReceiptLine, receipt=receipt.key))
    supplier, paper = supplier_name(book, receipt), kept_paper(book, receipt)
    return ReceiptNow(receipt.number, supplier, lines, paper, warnings, receipt)


def _line_now(book: Book, row: ReceiptLine) -> LineNow:
    brought = row.quantity.millionths > 0  # a credit note brought none
    lot = book.last(Lot, line=row.key) if brought else None
    places = []
    for share in book.rows(ReceiptShare, line=row.key):
        job = book.row(Job, share.job) if share.job is not None else None
        places.append(job.number if job else share.place)
    return LineNow(row, tuple(places), lot.key if lot else None)


def typed_document(book: Book, typed: TypedReceipt) -> Document:
    """The document that was typed, the last supplier standing in where none is named.

    With several lines the tax is the document's, and falls on those that are taxed.

    Raises:
        LedgerError: a word that is not what it should be.
    """
    supplier = typed.supplier.strip() or _usual_supplier(book, typed)
    if not supplier:
        raise BadValue('Say whom it is from: --from "Copper Vale Lumber"')
    lines = [_line_as_typed(book, typed, line, supplier) for line in typed.lines]
    discount = _discount(book, typed, lines)
    if typed.thickness and lines:
        lines[0] = replace(lines[0], thickness=parse_size(typed.thickness, book.units))
    if typed.freight and lines:
        lines.append(_freight(book, typed, lines[0]))
    tax = book.currency.parse(typed.tax) if typed.tax and len(typed.lines) > 1 else ZERO
    return Document(
        supplier=supplier,
        day=book.dates.read(typed.on),
        lines=tuple(lines),
        kind=_kind(typed),
        number=typed.number,
        discount=discount,
        tax=tax,
        total=book.currency.parse(typed.total) if typed.total else None,
        **document_words(typed),
    )


def _discount(book: Book, typed: TypedReceipt, goods: list[DocumentLine]) -> Money:
    """The discount of the whole document: an amount, or a share of what its goods come to."""
    if not typed.discount.strip().endswith("%"):
        return book.currency.parse(typed.discount) if typed.discount.strip() else ZERO
    share = parse_share(typed.discount, most=Fraction(1))
    return total(line.net for line in goods).times(share)


def _line_as_typed(book: Book, typed: TypedReceipt, line: LineText, supplier: str) -> DocumentLine:
    names = PurchaseNames(
        lambda text: find_material(book, text), lambda text: find_job(book, text).key, book.currency
    )
    written = _written(book, typed, line, supplier)
    return line_of(written, names, goes_to=line.to or typed.to)


def _written(book: Book, typed: TypedReceipt, line: LineText, supplier: str) -> DocumentLine:
    amount = book.currency.parse
    material = _material(book, line, line.to or typed.to)
    own_kind = line.tax.casefold() if line.tax.casefold() in TAX_KINDS else ""
    own_tax = "" if own_kind else line.tax
    if own_tax and typed.tax:
        raise BadValue("Say the tax once for the whole document, or on each of its lines.")
    tax = own_tax if len(typed.lines) > 1 else own_tax or typed.tax
    return DocumentLine(
        material=material.code if material else None,
        words="" if material else line.item,
        category=line.category.strip().casefold(),
        quantity=parse_quantity(line.quantity, book.currency.decimal_mark),
        unit=unit(line.unit) if line.unit else "",
        net=ZERO,
        unit_price=book.currency.parse_price(line.price),
        discount=amount(line.discount) if line.discount else ZERO,
        tax_kind=own_kind or _tax_kind(book, typed, supplier, is_taxed=bool(own_tax or typed.tax)),
        tax_paid=amount(tax) if tax else ZERO,
        statement=typed.statement,
        method=_method(typed.in_kind),
        evidence=typed.evidence,
        credit_of=typed.credit_of,
    )


def _material(book: Book, line: LineText, goes_to: str) -> Material | None:
    """The material that is meant; goods with a category of their own are one by exact name only.

    What such goods for the shop are counted in need not turn into the unit of a material.
    """
    if line.category:
        sought = line.item.strip().casefold()
        known = materials(book).values()
        named = (m for m in known if sought in (m.code.casefold(), m.name.casefold()))
        is_for_shop = goes_to.strip().casefold() == "shop"
        return next((m for m in named if not is_for_shop or _is_counted_so(m, line.unit)), None)
    try:
        return find_material(book, line.item)
    except NotFound as unknown:
        raise BadValue(
            f"{unknown} For goods without a code say what they are: --category supply, or in a"
            " further line: as supply"
        ) from unknown


def _is_counted_so(material: Material, typed: str) -> bool:
    """Whether a unit as typed turns into that of a material; none is its own."""
    try:
        return not typed or bool(stock_quantity(material, Quantity.of(1), unit(typed)))
    except BadValue:
        return False


def _freight(book: Book, typed: TypedReceipt, goods: DocumentLine) -> DocumentLine:
    charge = book.currency.parse(typed.freight)
    return DocumentLine(
        "freight", "freight", Quantity.of(1), "each", charge, tax_kind=goods.tax_kind
    )


def _kind(typed: TypedReceipt) -> str:
    chosen = [
        name
        for name, given in (
            ("credit", typed.credit_of), ("in_kind", typed.in_kind), ("borrowed", typed.borrowed),
        )
        if given
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


def _tax_kind(book: Book, typed: TypedReceipt, supplier: str, *, is_taxed: bool) -> str:
    """How the line stands to tax: as said, as the tax shows, or as last time with this supplier."""
    kind = typed.tax_kind.strip().casefold()
    if kind:
        if kind not in TAX_KINDS:
            raise NotFound("kind of tax", typed.tax_kind, TAX_KINDS)
        return kind
    if is_taxed:
        return "recoverable" if book.settings.tax_standing == "vat" else "paid"
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


def _usual_supplier(book: Book, typed: TypedReceipt) -> str:
    """Who is meant if nobody is named: who sold what is credited, else the last supplier."""
    if typed.credit_of and typed.lines:
        line = typed.lines[0]
        material = _material(book, line, line.to or typed.to)
        code = material.code if material else None
        lots = credited_lots(book, typed.credit_of, code, line.item)
        return sold_by(book, lots[-1])
    return last_supplier(book)


def last_supplier(book: Book) -> str:
    """The supplier of the last purchase; empty where there is none yet."""
    last = book.last(Receipt, kind="bought")
    row = book.row(Supplier, last.supplier) if last else None
    return row.name if row else ""

"""Receipts: a supplier's document becomes lots; what goes to a job is issued in the same entry."""

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book, require_open_day, shut_words
from ledger.book.questions.numbers import (
    NumberedReceipt,
    last_receipt_number,
    receipts_numbered,
    supplier_called,
)
from ledger.book.tables.materials import Material, Supplier
from ledger.book.tables.receipts import Receipt, ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Lot
from ledger.book.tables.tax import JobUseTax
from ledger.errors import BookTrouble, LedgerError, NotAllowed, NotFound
from ledger.measures.fields import made_of
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many
from ledger.stock.credits import as_bought, give_credit
from ledger.stock.documents import BEAR_TAX, OUTSIDE, ZERO, Document, DocumentLine, Share
from ledger.stock.fair import check_free_goods
from ledger.stock.landed import UseTax, beside_price_note, land, rate_note, resale_note
from ledger.stock.lots import Pool, post_issue, post_own_use
from ledger.stock.materials import set_price, supplier_named
from ledger.stock.prices import (
    PaidPrice,
    current_price,
    discount_note,
    price_jump,
    price_paid,
    purchase_tax,
    rates_paid,
)
from ledger.stock.retention import panel_note
from ledger.stock.use_tax import use_tax_faults, use_tax_rate

_PAID = {"bought": 1, "credit": -1, "in_kind": 0, "borrowed": 0}
"""The kinds of document, and the sign of the money that each moves: free goods move none."""

_MONEY = ("discount", "net", "freight", "tax_paid", "recoverable", "use_tax", "landed")


class PostedReceipt(Struct, frozen=True):
    """What a document became: its receipt, its lots, and what to look at again."""

    receipt: Receipt
    lots: tuple[Lot, ...]
    warnings: tuple[str, ...]


def receive(book: Book, document: Document) -> PostedReceipt:
    """Post a document: its lines, lots, shares, and the issues to the jobs it was bought for.

    Raises:
        NotAllowed: the document is in the book already, does not add up, or lies on a closed day.
    """
    number = document.number or next_number(book)
    with book.entry("receipt add", f"{number} {document.supplier}"):
        landed, faults = _checked(book, document)
        if faults:
            raise NotAllowed("\n".join(faults))
        supplier = supplier_named(book, document.supplier)
        paid = total(line.payable for line in landed) * _PAID[document.kind]
        receipt = book.post(
            made_of(Receipt, document, number=number, supplier=supplier, total=paid)
        )
        lots: list[Lot] = []
        is_bought = document.kind == "bought"
        warnings = (
            [rate_note(landed, rates_paid(book)), beside_price_note(book, landed)]
            if is_bought
            else []
        )
        for line in landed:
            row = book.post(_line(document, receipt.key, line))
            if document.kind == "credit":
                warnings += give_credit(book, document, line, row, number)
                continue
            material = book.last(Material, code=line.material) if line.material else None
            lot = _take_in(book, document, line, row, material)
            lots.append(lot)
            warnings += [
                *_after(book, document, line, material, number),
                *_use_tax_notes(book, line, lot),
            ]
    return PostedReceipt(receipt, tuple(lots), tuple(filter(None, warnings)))


def receive_all(book: Book, documents: Sequence[Document], name: str) -> list[PostedReceipt]:
    """Post all the documents of a file as one entry: all of them, or none."""
    received = []
    with book.entry("receipt load", f"{name}, {how_many(len(documents), 'receipt')}"):
        for document in documents:
            try:
                received.append(receive(book, document))
            except NotAllowed as refusal:
                label = document.number or f"{document.supplier} of {document.day}"
                raise NotAllowed(f"{label}: {refusal} Nothing was posted.") from refusal
    return received


def check_document(book: Book, document: Document) -> list[str]:
    """What is wrong with a document, each as a sentence; an empty list where it can be posted."""
    return _checked(book, document)[1]


def _checked(book: Book, document: Document) -> tuple[list[DocumentLine], list[str]]:
    """The document's lines landed at the shop's own rates, and what is wrong with it."""
    faults = _day_faults(book, document.day) + _number_faults(book, document)
    if not document.lines:
        return [], [*faults, "A receipt has at least one line."]
    for line in document.lines:
        faults += _line_faults(document, line)
    faults += use_tax_faults(book, document)
    faults += _job_faults(book, document)
    faults += check_free_goods(document)
    if faults:
        return [], faults
    use_tax = UseTax(use_tax_rate(book), book.currency, book.settings.tax_basis == "line")
    try:
        is_credit = document.kind == "credit"
        written = as_bought(book, document) if is_credit else document
        landed = land(written, use_tax, purchase_tax(book))
    except BookTrouble:
        raise
    except LedgerError as refusal:
        return [], [str(refusal)]
    return landed, _total_faults(book, document, landed)


def _day_faults(book: Book, day: date) -> list[str]:
    try:
        require_open_day(book, day)
    except BookTrouble:
        raise
    except LedgerError as refusal:
        return [str(refusal)]
    return []


def _job_faults(book: Book, document: Document) -> list[str]:
    """Goods for jobs that are over; a credit note only takes cost from them."""
    if document.kind == "credit":
        return []
    jobs = {s.job: None for line in document.lines for s in line.shares if s.job is not None}
    return [words for job in jobs if (words := shut_words(book, job))]


def _number_faults(book: Book, document: Document) -> list[str]:
    known = receipts_numbered(book, document.number) if document.number else []
    if known and _in_force(book, book.rows(Receipt, number=document.number)):
        return [f"There is a receipt {document.number} already; numbers are used once."]
    for used in known:
        if not _is_same_paper(used, document):
            return [
                f"{used.number} was given to {used.supplier} of {used.day}, which was taken back;"
                f" numbers are used once. The next free one is {next_number(book)}."
            ]
    if not document.document:
        return []
    supplier = supplier_called(book, document.supplier.strip())
    if supplier is None:
        return []
    rows = book.rows(Receipt, supplier=supplier, document=document.document)
    return [
        f"{document.supplier} {document.document} is in the book already,"
        f" as {receipt.number} of {receipt.day}."
        for receipt in _in_force(book, rows)
        if receipt.kind == document.kind
    ][:1]


def _is_same_paper(used: NumberedReceipt, document: Document) -> bool:
    """Whether a document was entered before under its number, and is entered again."""
    same = used.supplier.casefold() == document.supplier.strip().casefold()
    by_name = bool(document.document) and used.document == document.document
    return same and used.kind == document.kind and (by_name or used.day == str(document.day))


_BACK = "enter what came back as a credit note"
_KEPT = (
    "what the supplier keeps, for restocking or as freight, is a discount on the credit note, such"
    ' as --discount 18.68 or --discount "15 %"'
)


def _line_faults(document: Document, line: DocumentLine) -> list[str]:
    is_credit = document.kind == "credit"
    if line.net.minor < 0 or line.tax_paid.minor < 0:
        return [f"{line.words}: amounts are zero or more; {_KEPT if is_credit else _BACK}."]
    if line.quantity.millionths < 0 or not (line.quantity or is_credit):
        return [f"{line.words}: the quantity must be more than zero."]
    if is_credit and not line.quantity and not line.net:
        return [f"{line.words}: a credit note gives back goods or money; this one neither."]
    if line.tax_paid and line.tax_kind not in BEAR_TAX:
        return [f"{line.words}: it has tax, so it is neither untaxed nor bought for resale."]
    if line.category == OUTSIDE and (words := _outside_fault(document, line)):
        return [f"{line.words}: {words}"]
    if line.shares and sum((s.quantity for s in line.shares), Quantity(0)) != line.quantity:
        return [f"{line.words}: what goes to jobs and stock is not the line's quantity."]
    only_freight = all(other.category == "freight" for other in document.lines)
    if only_freight and not is_credit and any(s.place == "stock" for s in line.shares):
        return [f"{line.words}: freight alone goes to a job or to the shop, never to stock."]
    return []


def _outside_fault(document: Document, line: DocumentLine) -> str:
    """What is wrong with a bill for the work of others; nothing where it can be posted."""
    if line.material:
        return "a material of the price list is no work of others; leave the category out."
    if document.kind in ("in_kind", "borrowed"):
        return "the work of others is no goods; what was paid for it is a receipt of its own."
    if document.kind == "bought" and {share.place for share in line.shares} != {"job"}:
        return "the work of others is for a job, such as --to J-2501; work for the shop is supply."
    return ""


def _total_faults(book: Book, document: Document, lines: Sequence[DocumentLine]) -> list[str]:
    if document.total is None or document.kind in ("in_kind", "borrowed"):
        return []
    sum_ = total(line.payable for line in lines)
    if sum_ == document.total:
        return []
    show = book.currency.show
    difference = show(abs(sum_ - document.total))
    return [
        f"The lines come to {show(sum_)}, the document says {show(document.total)}:"
        f" {difference} apart. Look for a line, a discount or a tax that is missing."
    ]


def _line(document: Document, receipt: int, line: DocumentLine) -> ReceiptLine:
    sign = -1 if document.kind == "credit" else 1
    money = {name: getattr(line, name) * _PAID[document.kind] for name in _MONEY}
    return made_of(
        ReceiptLine,
        line,
        receipt=receipt,
        fair=line.net if document.kind == "in_kind" else ZERO,
        bought=(line.bought or line.quantity) * sign,
        bought_unit=line.bought_unit or line.unit,
        quantity=line.quantity * sign,
        **money,
    )


def _take_in(
    book: Book, document: Document, line: DocumentLine, row: ReceiptLine, material: Material | None
) -> Lot:
    """Post the lot of a line and what goes out of it at once; the rest is stock."""
    lot = book.post(_lot(document, line, row, material))
    left = Pool.of(lot)
    placed = line.shares or (Share("stock", lot.quantity),)
    shares = sorted(placed, key=lambda share: share.place == "stock")
    for share in shares:
        part = left if share is shares[-1] else left.part(share.quantity)
        left = left - part
        cost = part.full if document.kind == "bought" else ZERO
        book.post(
            ReceiptShare(
                line=row.key, place=share.place, job=share.job, quantity=part.quantity, landed=cost
            )
        )
        if share.place == "job" and share.job is not None:
            post_issue(book, lot.key, part, share.job, document.day, line=row.key)
        elif share.place == "shop":
            post_own_use(book, lot, part, document.day, "used up by the shop", line=row.key)
    return lot


def _lot(
    document: Document, line: DocumentLine, row: ReceiptLine, material: Material | None
) -> Lot:
    source = "receipt" if document.kind == "bought" else document.kind
    return made_of(
        Lot,
        line,
        day=document.day,
        source=source,
        full=row.fair if source == "in_kind" else row.landed,
        cash=row.landed,
        line=row.key,
        sponsor="" if source == "receipt" else document.supplier.strip(),
        agreement=document.agreement,
        declared=line.net if source == "borrowed" else ZERO,
        length=material.length if material else None,
        width=material.width if material else None,
    )


def _after(
    book: Book, document: Document, line: DocumentLine, material: Material | None, number: str
) -> list[str]:
    """Note the price that was paid, and say what a record still lacks."""
    notes = [resale_note(line)]
    if material is None:
        return [note for note in notes if note]
    if document.kind == "bought" and line.net:
        price = _stock_price(book, line, line.discount)
        paid = PaidPrice(price, line.quantity, line.net, line.own_tax)
        current = current_price(book, material.code, document.day)
        noted = price_paid(book, paid, current)
        notes.append(price_jump(book, material.unit, noted, current))
        if line.discount:
            usual = Fraction(_stock_price(book, line, ZERO)) / Fraction(price)
            notes.append(discount_note(book, material, line.quantity, noted, usual, current))
        set_price(book, material.code, noted,
                  supplier=document.supplier, day=document.day, source=number)  # fmt: skip
    notes.append(panel_note(material, line.statement, document.day))
    return [note for note in notes if note]


def _use_tax_notes(book: Book, line: DocumentLine, lot: Lot) -> list[str]:
    """What goods owe that were bought without tax for an improvement of real property."""
    jobs = {share.job for share in line.shares if share.job is not None}
    rows = (row for job in jobs for row in book.rows(JobUseTax, job=job))
    tax = total(row.amount for row in rows if row.lot == lot.key)
    if not tax:
        return []
    return [
        f"{lot.words}: bought without tax for an improvement of real property; use tax"
        f" {book.currency.show(tax)} is owed on it."
    ]


def _stock_price(book: Book, line: DocumentLine, discount: Money) -> Decimal:
    """The price of one stock unit once a discount is off, before freight and tax."""
    if line.unit_price is not None and line.bought:
        printed = Fraction(line.unit_price) * line.bought.fraction
    else:
        printed = Fraction(book.currency.decimal(line.net + line.discount))
    exact = (printed - Fraction(book.currency.decimal(discount))) / line.quantity.fraction
    price = trimmed(half_up(exact, 6))
    places = max(len(f"{price:f}".partition(".")[2]), book.currency.digits)
    return half_up(price, places)


def next_number(book: Book) -> str:
    """The next number after the last one given that was never used, taken back or not."""
    match = re.fullmatch(r"(.*?)(\d+)", last_receipt_number(book))
    head, digits = (match[1], match[2]) if match else ("R-", "100")
    count = int(digits) + 1
    while receipts_numbered(book, f"{head}{count}"):
        count += 1
    return f"{head}{count}"


def receipts(book: Book) -> list[Receipt]:
    """The receipts in force, those taken back left out, by day."""
    return sorted(_in_force(book, book.rows(Receipt)), key=lambda row: (row.day, row.key))


def find_receipt(book: Book, text: str) -> Receipt:
    """The receipt in force of that number, the book's own or the one on the supplier's document.

    Raises:
        NotFound: there is none; the nearest numbers are offered.
        NotAllowed: several documents have that number.
    """
    sought = text.strip().casefold()
    known = receipts(book)
    for receipt in known:
        if receipt.number.casefold() == sought:
            return receipt
    named = [one for one in known if one.document and one.document.casefold() == sought]
    if len(named) > 1:
        numbers = ", ".join(one.number for one in named)
        raise NotAllowed(f"Several documents are “{text.strip()}”; write one of {numbers}.")
    if named:
        return named[0]
    if any(one.number.casefold() == sought for one in book.rows(Receipt)):
        raise NotAllowed(
            f"{text.strip().upper()} was taken back; its number is kept for its paper."
        )
    raise NotFound("receipt", text, [receipt.number for receipt in known])


def _in_force(book: Book, rows: Sequence[Receipt]) -> list[Receipt]:
    if not rows:
        return []
    taken_back = {row.reverses for row in book.rows(Receipt, kind="reversal")}
    return [row for row in rows if row.kind != "reversal" and row.key not in taken_back]


def supplier_name(book: Book, receipt: Receipt) -> str:
    """The name of a receipt's supplier, even where it was noted by an entry taken back since."""
    row = book.row(Supplier, receipt.supplier)
    return row.name if row else ""

"""Which lots a credit note is about: named by lot, receipt, document or material."""

import re

from ledger.book import Book
from ledger.book.tables.ground import Supplier
from ledger.book.tables.stock import Lot, Receipt, ReceiptLine
from ledger.errors import NotAllowed
from ledger.stock.find import lot_in_force


def credited_lots(
    book: Book, named: str, material: str | None, words: str, supplier: str = ""
) -> list[Lot]:
    """The lots that are meant, oldest first, all of the goods that the credit note's line names.

    `named` is a lot's number, a receipt's (R-101), the supplier's own number of the document, or
    the material; a supplier, where one is said, must have sold them.

    Raises:
        NotAllowed: nothing answers, or two readings do.
    """
    sought = re.sub(r"\s+", " ", named).strip()
    if not sought:
        raise NotAllowed(
            f"{words}: say what the credit is for: a lot, a receipt such as R-101, the supplier's"
            " document number, or the material."
        )
    sold = [lot for lot in book.rows(Lot, source="receipt") if _is_goods(lot, material, words)]
    readings = {
        tuple(lot.key for lot in lots): lots
        for lots in (
            _by_number(sold, sought),
            _by_receipt(book, sold, sought),
            _by_document(book, sold, sought, supplier),
            _by_goods(book, sold, sought, supplier),
        )
        if lots
    }
    if not readings:
        raise _unknown(book, sought, material or words)
    if len(readings) > 1:
        first, second = list(readings.values())[:2]
        raise NotAllowed(
            f"“{sought}” may be lot {first[0].key} or a document that brought lot"
            f" {second[0].key}; write lot {first[0].key} or lot {second[0].key}."
        )
    (lots,) = readings.values()
    return sorted(lots, key=lambda lot: (lot.day, lot.key))


def sold_by(book: Book, lot: Lot) -> str:
    """The name of the supplier who sold a lot."""
    line = book.row(ReceiptLine, lot.line or 0)
    receipt = book.row(Receipt, line.receipt) if line else None
    supplier = book.row(Supplier, receipt.supplier) if receipt else None
    return supplier.name if supplier else ""


def _is_goods(lot: Lot, material: str | None, words: str) -> bool:
    if material is not None:
        return lot.material == material
    return lot.words.casefold() == words.strip().casefold()


def _by_number(sold: list[Lot], sought: str) -> list[Lot]:
    number = re.fullmatch(r"(?:lot )?(\d+)", sought, re.IGNORECASE)
    return [lot for lot in sold if number and lot.key == int(number[1])]


def _by_receipt(book: Book, sold: list[Lot], sought: str) -> list[Lot]:
    return [lot for lot in sold if _receipt_of(book, lot).number.casefold() == sought.casefold()]


def _by_document(book: Book, sold: list[Lot], sought: str, supplier: str) -> list[Lot]:
    return [
        lot
        for lot in sold
        if _receipt_of(book, lot).document.casefold() == sought.casefold()
        and _is_of(book, lot, supplier)
    ]


def _by_goods(book: Book, sold: list[Lot], sought: str, supplier: str) -> list[Lot]:
    return [
        lot
        for lot in sold
        if sought.casefold() in ((lot.material or "").casefold(), lot.words.casefold())
        and _is_of(book, lot, supplier)
    ]


def _is_of(book: Book, lot: Lot, supplier: str) -> bool:
    return not supplier or sold_by(book, lot).casefold() == supplier.strip().casefold()


def _receipt_of(book: Book, lot: Lot) -> Receipt:
    line = book.row(ReceiptLine, lot.line or 0)
    receipt = book.row(Receipt, line.receipt) if line else None
    if receipt is None:
        raise RuntimeError(f"lot {lot.key} was bought and has no receipt")
    return receipt


def _unknown(book: Book, sought: str, goods: str) -> NotAllowed:
    number = re.fullmatch(r"(?:lot )?(\d+)", sought, re.IGNORECASE)
    lot = book.row(Lot, int(number[1])) if number else None
    if lot is not None:
        lot_in_force(book, lot.key)
        if lot.source != "receipt":
            return NotAllowed(f"Lot {lot.key} was not bought; no supplier can give credit for it.")
        return NotAllowed(f"Lot {lot.key} is {lot.material or lot.words}, not {goods}.")
    return NotAllowed(
        f"No {goods} was bought under “{sought}”. Name a lot (benchledger stock list --all shows"
        " them), a receipt such as R-101, the supplier's document number, or the material."
    )

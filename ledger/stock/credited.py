"""Which lots a credit note is about: named by lot, receipt, document or material; who sold them."""

import re
from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.materials import Supplier
from ledger.book.tables.receipts import Receipt, ReceiptLine
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity
from ledger.stock.lots import lot_in_force
from ledger.stock.prices import rates_paid

_LOT = re.compile(r"(?:lot )?(\d+)", re.IGNORECASE)


def credited_lots(
    book: Book, named: str, material: str | None, words: str, supplier: str = ""
) -> list[Lot]:
    """The lots that are meant, oldest first, all of the goods that the credit note's line names.

    `named` is a lot's number, a receipt's (R-101), the supplier's own number of the document, or
    the material. Where the credit note's `supplier` is said, only what they sold is meant.

    Raises:
        NotAllowed: nothing answers, two readings do, or another supplier sold the goods.
    """
    sought = re.sub(r"\s+", " ", named).strip()
    if not sought:
        raise NotAllowed(
            f"{words}: say what the credit is for: a lot, a receipt such as R-101, the supplier's"
            " document number, or the material."
        )
    goods = words.strip().casefold()
    sold = [
        lot
        for lot in book.rows(Lot, source="receipt")
        if (lot.words.casefold() == goods if material is None else lot.material == material)
    ]
    name = sought.casefold()
    number, papers = _LOT.fullmatch(sought), {lot.key: _receipt_of(book, lot) for lot in sold}
    readings = (
        [lot for lot in sold if number and lot.key == int(number[1])],
        [lot for lot in sold if papers[lot.key].number.casefold() == name],
        [lot for lot in sold if papers[lot.key].document.casefold() == name],
        [lot for lot in sold if name in ((lot.material or "").casefold(), lot.words.casefold())],
    )
    known = {tuple(lot.key for lot in lots): lots for lots in readings if lots}
    if supplier and known:
        known = _sold_by(book, supplier, material or words, known)
    if not known:
        raise _unknown(book, sought, material or words)
    if len(known) > 1:
        first, second = list(known.values())[:2]
        raise NotAllowed(
            f"“{sought}” may be lot {first[0].key} or a document that brought lot"
            f" {second[0].key}; write lot {first[0].key} or lot {second[0].key}."
        )
    (lots,) = known.values()
    return sorted(lots, key=lambda lot: (lot.day, lot.key))


def _sold_by(
    book: Book, supplier: str, goods: str, known: Mapping[tuple[int, ...], list[Lot]]
) -> dict[tuple[int, ...], list[Lot]]:
    """What of some readings a supplier sold."""
    name = " ".join(supplier.split()).casefold()
    sellers = {lot.key: sold_by(book, lot) for lots in known.values() for lot in lots}
    sold = [[lot for lot in lots if sellers[lot.key].casefold() == name] for lots in known.values()]
    if not any(sold):
        papers = {_receipt_of(book, lot).number: sellers[lot.key]
                  for lots in known.values() for lot in lots}  # fmt: skip
        named = " and ".join(f"{seller} ({number})" for number, seller in papers.items())
        raise NotAllowed(
            f"{goods} is of {named}, not of {supplier.strip()}. A credit note is of who sold the"
            " goods: name them, or the receipt that it is for."
        )
    return {tuple(lot.key for lot in lots): lots for lots in sold if lots}


def sold_by(book: Book, lot: Lot) -> str:
    """The name of the supplier who sold a lot."""
    line = book.row(ReceiptLine, lot.line or 0)
    receipt = book.row(Receipt, line.receipt) if line else None
    supplier = book.row(Supplier, receipt.supplier) if receipt else None
    return supplier.name if supplier else ""


class PaidFor(Struct, frozen=True):
    """What was paid for goods with the tax on them, freight left out; and that tax."""

    amount: Money
    tax: Money

    def words(self, currency: Currency) -> str:
        """How it is said of goods that wait for their credit note."""
        return f"paid for the goods: {currency.show(self.amount)}{' with tax' * bool(self.tax)}"


def paid_for(book: Book, lot: Lot, quantity: Quantity) -> PaidFor:
    """What was paid for so much of a bought lot; what of it comes back is the supplier's to say."""
    line = book.row(ReceiptLine, lot.line or 0)
    if line is None or not line.quantity:
        return PaidFor(Money(0), Money(0))
    part = quantity.fraction / line.quantity.fraction
    tax = _tax_on_goods(book, line).times(part)
    return PaidFor(line.net.times(part) + tax, tax)


def _tax_on_goods(book: Book, line: ReceiptLine) -> Money:
    """The tax on a line without the part on its freight, where the usual rate says it has one."""
    both, tax = line.net + line.freight, line.tax_paid
    off = [
        min((abs(tax - base.times(rate)) for rate in rates_paid(book)), default=tax)
        for base in (line.net, both)
    ]
    is_on_both = off[1] < off[0] and both
    return tax.times(Fraction(line.net.minor, both.minor)) if is_on_both else tax


def _receipt_of(book: Book, lot: Lot) -> Receipt:
    line = book.row(ReceiptLine, lot.line or 0)
    receipt = book.row(Receipt, line.receipt) if line else None
    if receipt is None:
        raise RuntimeError(f"lot {lot.key} was bought and has no receipt")
    return receipt


def _unknown(book: Book, sought: str, goods: str) -> NotAllowed:
    number = _LOT.fullmatch(sought)
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

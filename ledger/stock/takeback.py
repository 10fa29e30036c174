"""Taking back one receipt, be it one of four hundred that came in by one file."""

from datetime import date
from typing import Any

from msgspec import Struct

from ledger.book import Book, is_closed
from ledger.book.questions.reversals import receipts_of
from ledger.book.questions.stock import still_out
from ledger.book.tables.base import Posted
from ledger.book.tables.materials import Price
from ledger.book.tables.receipts import CreditedGoods, Receipt, ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import NotAllowed
from ledger.measures.day import Month
from ledger.stock.lots import Pool, lot_on, movement, post_issue
from ledger.stock.prices import in_order
from ledger.stock.stock_rules import REVERSAL_RULES
from ledger.stock.use_tax import follow_return

RECEIPT_REVERSED = "receipt reverse"
"""The verb of an entry that took a receipt back."""


class _Taken(Struct, frozen=True):
    """The receipt that is taken back, and the day and reason of it."""

    receipt: Receipt
    day: date
    why: str


def reverse_receipt(book: Book, receipt: Receipt, why: str) -> date:
    """Take a receipt back with all it brought; give back the day it was taken back on.

    A receipt that is an entry of its own is reversed as that entry. One of several of a file is
    answered by a receipt with the opposite signs, on its own day where that month is still open;
    the price that it told gives way to the one before.

    Raises:
        NotAllowed: no reason, or goods of it have been used since.
    """
    if not why.strip():
        raise NotAllowed(f"Say why {receipt.number} is taken back: --why TEXT")
    if receipts_of(book, receipt.entry) == 1:
        book.reverse(receipt.entry, why.strip(), REVERSAL_RULES, verb=RECEIPT_REVERSED)
        return receipt.day
    closed = is_closed(book, Month.of(receipt.day))
    taken = _Taken(receipt, book.today if closed else receipt.day, why.strip())
    with book.entry(RECEIPT_REVERSED, f"{receipt.number} {why.strip()}"):
        _post_opposite(book, taken)
    return taken.day


def _post_opposite(book: Book, taken: _Taken) -> None:
    old = taken.receipt
    receipt = book.post(
        _copy(old, kind="reversal", reverses=old.key, total=-old.total, day=taken.day)
    )
    for line in book.rows(ReceiptLine, receipt=old.key):
        row = book.post(_opposite_line(line, receipt.key))
        for share in book.rows(ReceiptShare, line=line.key):
            turned = {"quantity": -share.quantity, "landed": -share.landed}
            book.post(_copy(share, line=row.key, **turned))
        for lot in book.rows(Lot, line=line.key):
            _empty(book, taken, lot, line.key)
        if old.kind == "credit":
            _bring_in_again(book, taken, line, row.key)
        elif line.material:
            _tell_price_before(book, taken, line.material)


def _bring_in_again(book: Book, taken: _Taken, line: ReceiptLine, again: int) -> None:
    """Bring what a credit note's line took out in again, as lots, and to the job it came from.

    What was sent back before it waits for its credit again.
    """
    for gone in book.rows(Movement, line=line.key, kind="to_supplier"):
        if book.rows(CreditedGoods, movement=gone.key):
            raise NotAllowed(
                f"Goods of {taken.receipt.number} were noted as sent back since; undo that first."
            )
        lot = book.row(Lot, gone.lot)
        if lot is None or not gone.quantity:
            raise NotAllowed(
                f"{taken.receipt.number} gave back money alone. Enter that once more as a receipt:"
                " benchledger receipt add"
            )
        whole = -Pool.of(gone)
        held = {"quantity": whole.quantity, "full": whole.full, "cash": whole.cash}
        new = book.post(_copy(lot, line=again, day=taken.day, **held))
        back = book.row(Movement, gone.of_movement) if gone.of_movement else None
        if back is not None and back.job is not None:
            post_issue(book, new.key, whole, back.job, taken.day, reason=taken.why, line=again)


def _tell_price_before(book: Book, taken: _Taken, material: str) -> None:
    """Note the price again that stood before the receipt, if it is the receipt's that stands."""
    there = in_order(row for row in book.rows(Price, material=material) if row.day <= taken.day)
    old = taken.receipt
    others = [row for row in there if (row.source, row.entry) != (old.number, old.entry)]
    if there and others and there[-1] is not others[-1]:
        book.post(_copy(others[-1], day=taken.day))


def _opposite_line(line: ReceiptLine, receipt: int) -> ReceiptLine:
    turned = {
        name: -getattr(line, name)
        for name in ("bought", "quantity", "discount", "net", "freight", "tax_paid", "recoverable",
                     "use_tax", "landed", "fair")
    }  # fmt: skip
    return _copy(line, receipt=receipt, **turned)


def _copy[R: Posted](row: R, **changes: Any) -> R:
    """A new row like a posted one but for some columns."""
    kept = {name: getattr(row, name) for name in type(row).model_fields}
    return type(row)(**kept | changes | {"id": None, "entry": 0})


def _empty(book: Book, taken: _Taken, lot: Lot, line: int) -> None:
    """Bring back what the receipt itself sent out of a lot, then take the whole lot out."""
    for sent in book.rows(Movement, lot=lot.key, line=line):
        if sent.job is None:  # used up by the shop
            _bring_back(book, taken, sent, "own_use", -Pool.of(sent))
            continue
        for out in still_out(book, sent.job, taken.day):
            if out.movement == sent.key:
                _bring_back(book, taken, sent, "return", Pool.of(out))
    whole = Pool.of(lot)
    if lot_on(book, lot, taken.day) != whole:
        raise NotAllowed(
            f"Goods of {taken.receipt.number} have been used since (lot {lot.key}, {lot.words})."
            " Undo that first, or enter what is wrong as a credit note."
        )
    book.post(movement("reversed", lot.key, -whole, taken.day, reason=taken.why))


def _bring_back(book: Book, taken: _Taken, sent: Movement, kind: str, pool: Pool) -> None:
    row = movement(kind, sent.lot, pool, taken.day, reason=taken.why)
    row.job, row.of_movement, row.use_tax = sent.job, sent.key, -sent.use_tax
    book.post(row)
    if kind == "return":
        follow_return(book, row)

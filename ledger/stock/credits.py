"""Credit notes: goods that go back to the supplier, and money that comes back without goods."""

from datetime import date

from ledger.book import Book
from ledger.book.questions.stock import Issued, still_out
from ledger.book.tables.stock import Lot, ReceiptLine, ReceiptShare
from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.units import show_count
from ledger.stock.documents import Document, Share
from ledger.stock.find import lot_in_force, lot_on
from ledger.stock.landed import Landed
from ledger.stock.lots import EMPTY, Pool
from ledger.stock.moves import movement


def give_credit(book: Book, document: Document, line: Landed, row: ReceiptLine) -> None:
    """Take out of stock, or back from the job, what a line of a credit note is about.

    From a job, goods come back at what the supplier credits for them: a restocking fee stays a
    cost of the job. From stock they leave at their own cost.

    Raises:
        NotAllowed: the lot is not the supplier's to credit, or holds less.
    """
    said = line.line
    if said.of_lot is None:
        raise NotAllowed(f"{said.words}: say which lot the credit is for (lot N).")
    lot = lot_in_force(book, said.of_lot)
    if lot.source != "receipt":
        raise NotAllowed(f"Lot {lot.key} was not bought; no supplier can give credit for it.")
    share = said.shares[0] if said.shares else Share("stock", said.quantity)
    if len(said.shares) > 1:
        raise NotAllowed(f"{said.words}: a line of a credit note concerns one place; split it.")
    if share.place == "job" and share.job is not None:
        _back_from_job(book, lot, said.quantity, line.landed, share.job, document.day, row.key)
    elif share.place == "stock":
        _out_of_stock(book, lot, said.quantity, line.landed, document.day, row.key)
    book.post(
        ReceiptShare(
            line=row.key, place=share.place, job=share.job, quantity=-said.quantity,
            landed=-line.landed,
        )
    )  # fmt: skip


def _out_of_stock(
    book: Book, lot: Lot, quantity: Quantity, value: Money, day: date, line: int
) -> None:
    there = lot_on(book, lot, day)
    if quantity > there.quantity or (not quantity and value > there.full):
        raise NotAllowed(
            f"Lot {lot.key} holds {show_count(there.quantity, lot.unit)} worth"
            f" {book.currency.show(there.full)}; the credit is for more. If it went into a job,"
            " say which job the credit is for."
        )
    part = there.part(quantity) if quantity else Pool(quantity, value, value)
    row = movement("to_supplier", lot.key, -part, day, reason="credit note")
    row.line = line
    book.post(row)


def _back_from_job(
    book: Book, lot: Lot, quantity: Quantity, value: Money, job: int, day: date, line: int
) -> None:
    """Post the return from the job, and the way of the same goods back to the supplier."""
    left, worth = quantity, value
    outs = [out for out in still_out(book, job, day) if out.lot == lot.key]
    for at, out in enumerate(outs):
        part = _credited(out, left, worth, is_last=at == len(outs) - 1)
        if part == EMPTY:
            continue
        back = movement("return", lot.key, part, day, reason="credit note")
        back.job, back.of_movement, back.line = job, out.movement, line
        book.post(back)
        gone = movement("to_supplier", lot.key, -part, day, reason="credit note")
        gone.line = line
        book.post(gone)
        left, worth = left - part.quantity, worth - part.full
    if left or worth:
        raise NotAllowed(
            f"The job did not take that much of lot {lot.key}: {show_count(left, lot.unit)}"
            f" and {book.currency.show(worth)} of the credit are too much."
        )


def _credited(out: Issued, left: Quantity, worth: Money, *, is_last: bool) -> Pool:
    quantity = min(left, out.quantity)
    value = min(worth, out.full)
    if left and not is_last:
        value = min(value, worth.times(quantity.fraction / left.fraction))
    return Pool(quantity, value, value)

"""Sending goods back to whom they came from: from stock, or from the job that has them."""

from dataclasses import dataclass
from datetime import date

from ledger.book import Book, require_open_day
from ledger.book.questions.returns import GoneBack, credited_not_sent, jobs_holding
from ledger.book.tables.ground import Job
from ledger.book.tables.stock import CreditedGoods, Lot, Movement, Receipt, ReceiptLine
from ledger.errors import NotAllowed
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import show_count
from ledger.stock.lots import Pool
from ledger.stock.movements import put_back, withdraw
from ledger.stock.moves import movement


@dataclass(frozen=True, slots=True)
class SentBack:
    """What sending back did: what left stock, and what a credit note had taken out already."""

    moved: tuple[Movement, ...]
    credited: Quantity
    credits: tuple[str, ...]


def send_back(
    book: Book,
    material: str | None,
    quantity: Quantity,
    *,
    lot: int | None = None,
    day: date | None = None,
    reason: str = "",
    job: int | None = None,
    others: bool = False,
) -> SentBack:
    """Send goods back; what a credit note took out of stock already leaves it no second time.

    With `job` they come from that job, whose cost falls by what they were issued at. `others` are
    goods beside those that were credited.

    Raises:
        NotAllowed: neither stock nor the job has that much.
    """
    name = f"lot {lot}" if lot is not None else str(material)
    with book.entry("stock to_supplier", f"{name} {show_quantity(quantity)}"):
        when = require_open_day(book, day or book.today)
        known = [] if others else _credited(book, material, lot, job, when)
        left, numbers = quantity, list[str]()
        for gone in known:
            part = min(left, gone.open)
            if part and gone.line is not None:
                book.post(CreditedGoods(movement=gone.movement, line=gone.line, quantity=part))
                numbers.append(_credit_number(book, gone.line))
                left = left - part
        moved = _leave(book, material, left, lot, when, reason.strip(), job) if left else []
    return SentBack(tuple(moved), quantity - left, tuple(dict.fromkeys(numbers)))


def _credited(
    book: Book, material: str | None, lot: int | None, job: int | None, day: date
) -> list[GoneBack]:
    credited = []
    for gone in credited_not_sent(book, day):
        row = book.row(Lot, gone.lot)
        same = gone.lot == lot if lot is not None else bool(row and row.material == material)
        if same and job in (None, gone.job):
            credited.append(gone)
    return credited


def _credit_number(book: Book, line: int) -> str:
    row = book.row(ReceiptLine, line)
    receipt = book.row(Receipt, row.receipt) if row else None
    return receipt.number if receipt else ""


def _leave(
    book: Book,
    material: str | None,
    quantity: Quantity,
    lot: int | None,
    day: date,
    reason: str,
    job: int | None,
) -> list[Movement]:
    if job is None:
        try:
            return withdraw(
                book, "to_supplier", material, quantity, lot=lot, day=day, reason=reason
            )
        except NotAllowed as refusal:
            holders = _holders(book, material, lot)
            raise NotAllowed(f"{refusal}{holders}") from refusal
    rows = []
    for back in put_back(book, job, material, quantity, lot=lot, day=day, reason="sent back"):
        pool = Pool(back.quantity, back.full, back.cash)
        row = movement("to_supplier", back.lot, -pool, day, reason=reason)
        row.of_movement = back.key
        rows.append(book.post(row))
    return rows


def _holders(book: Book, material: str | None, lot: int | None) -> str:
    """Which jobs have the goods, for a refusal."""
    lots = [lot] if lot is not None else [row.key for row in book.rows(Lot, material=material)]
    holders = []
    for number, held in jobs_holding(book, lots).items():
        job, first = book.row(Job, number), book.row(Lot, lots[0])
        if job and first:
            holders.append(
                f" {job.number} has {show_count(held, first.unit)} of it: --job {job.number}"
            )
    return "".join(f"{words}." for words in holders)

"""Credit notes: goods that go back to the supplier, and money that comes back without goods.

The goods are often sent first and credited later. What was sent has left stock, and its job,
already: its credit note takes nothing out again, it only settles what was sent.

Which lots a credit note is about: named by lot, receipt, document or material.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from ledger.book import Book
from ledger.book.questions.returns import GoneBack, jobs_holding, sent_not_credited
from ledger.book.questions.stock import IssueToJob, still_out
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Supplier
from ledger.book.tables.receipts import CreditedGoods, Receipt, ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.measures.money import Money, split, total
from ledger.measures.quantity import Quantity
from ledger.measures.units import show_count
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.lots import EMPTY, Pool, lot_in_force, lot_on, movement, post_issue
from ledger.stock.use_tax import follow_return

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


NONE = Quantity(0)


@dataclass(frozen=True, slots=True)
class _Credit:
    """A line of a credit note that is being posted: what it is about, and its row."""

    book: Book
    day: date
    words: str
    number: str
    row: ReceiptLine
    lots: Sequence[Lot]


def give_credit(
    book: Book, document: Document, line: DocumentLine, row: ReceiptLine, number: str
) -> list[str]:
    """Settle what a line of a credit note is about; give back what the owner should know.

    Goods that were sent back are settled first. The rest comes from the job that is named, else
    from stock, else from the one job that has it. From a job, goods come back at what the supplier
    credits for them: a restocking fee stays a cost of the job. From stock they leave at their own
    cost.

    Raises:
        NotAllowed: the lot is not the supplier's to credit, another one sold it, or it holds less.
    """
    if len(line.shares) > 1:
        raise NotAllowed(f"{line.words}: a line of a credit note concerns one place; split it.")
    lots = credited_lots(book, line.credit_of, line.material, line.words, document.supplier)
    credit = _Credit(book, document.day, line.words, number, row, lots)
    place = line.shares[0] if line.shares else None
    sent = _sent(credit, place, line.quantity)
    left = line.quantity - sum((part for _, part in sent), NONE)
    weights = [part.millionths for _, part in sent] + ([left.millionths] if left else [])
    values = split(line.landed, weights) if weights else []
    notes = []
    for (gone, part), value in zip(sent, values, strict=False):
        notes += _settle(credit, gone, part, value, gone.job or (place.job if place else None))
    if left or not line.quantity:
        worth = values[-1] if left else line.landed
        taken = replace(place or _usual_place(credit, left, worth), quantity=left)
        notes += _take(credit, taken, worth)
    return notes


def as_bought(book: Book, document: Document) -> Document:
    """A document; a credit note with use tax given back on goods that use tax was owed on."""
    if document.kind != "credit":
        return document
    lines = (_as_bought(book, line, document.supplier) for line in document.lines)
    return replace(document, lines=tuple(lines))


def _as_bought(book: Book, line: DocumentLine, supplier: str) -> DocumentLine:
    if line.tax_kind != "none" or line.tax_paid or not line.credit_of:
        return line
    lots = credited_lots(book, line.credit_of, line.material, line.words, supplier)
    return replace(line, tax_kind="use") if all(lot.tax_kind == "use" for lot in lots) else line


def _sent(
    credit: _Credit, place: Share | None, quantity: Quantity
) -> list[tuple[GoneBack, Quantity]]:
    """What was sent back of these lots and this line settles, oldest first."""
    lots = {lot.key for lot in credit.lots}
    sent: list[tuple[GoneBack, Quantity]] = []
    for gone in sent_not_credited(credit.book, credit.day):
        job = gone.job or _bought_for(credit.book, gone.lot)
        if gone.lot in lots and (place is None or place.place != "job" or place.job == job):
            part = min(gone.open, quantity)
            if part:
                sent.append((gone, part))
                quantity = quantity - part
    return sent


def _bought_for(book: Book, lot: int) -> int | None:
    """The one job that all of a lot was bought for, if there is one."""
    row = book.row(Lot, lot)
    shares = book.rows(ReceiptShare, line=row.line) if row and row.line else []
    jobs = {share.job for share in shares}
    return jobs.pop() if len(jobs) == 1 else None


def _settle(
    credit: _Credit, gone: GoneBack, part: Quantity, value: Money, charged: int | None
) -> list[str]:
    """Post that goods sent back were credited; what the supplier kept, the job `charged` bears."""
    book = credit.book
    cost = gone.cost_of(part)
    book.post(CreditedGoods(movement=gone.movement, line=credit.row.key, quantity=part))
    job = charged or _bought_for(book, gone.lot)
    _share(credit, Share("job", part, job) if job else Share("stock", part), value)
    kept = cost - value
    if kept.minor <= 0 or charged is None:
        return _beside_cost(credit, cost, value)
    _charge_fee(credit, gone, kept, charged)
    shown = book.currency.show(kept)
    return [f"{credit.words}: {shown} was not credited and stays a cost of the job."]


def _beside_cost(credit: _Credit, cost: Money, value: Money) -> list[str]:
    """What was credited beside what goods of the stock stood at, where it is another sum."""
    kept, show = cost - value, credit.book.currency.show
    if not kept:
        return []
    if kept.minor < 0:
        return [f"{credit.words}: {show(-kept)} more than the goods stood at was credited."]
    return [
        f"{credit.words}: the goods stood at {show(cost)}, {show(value)} was credited; the"
        f" other {show(kept)} is lost."
    ]


def _charge_fee(credit: _Credit, gone: GoneBack, fee: Money, job: int) -> None:
    """Charge the job what the supplier kept of goods the job sent back."""
    book, one = credit.book, Quantity.of(1)
    row = next(lot for lot in credit.lots if lot.key == gone.lot)
    lot = book.post(
        Lot(
            words=f"not credited: {row.words} ({credit.number})",
            category=row.category, unit="each", day=credit.day, source="receipt", quantity=one,
            full=fee, cash=fee, line=credit.row.key,
        )
    )  # fmt: skip
    whole = Pool(one, fee, fee)
    post_issue(book, lot.key, whole, job, credit.day, line=credit.row.key, reason="not credited")


def _usual_place(credit: _Credit, quantity: Quantity, value: Money) -> Share:
    """Where the goods are, if nothing is said: stock, else the one job that has them."""
    pools = [lot_on(credit.book, lot, credit.day) for lot in credit.lots]
    there = sum((pool.quantity for pool in pools), NONE)
    if there >= quantity and there and value <= total(pool.full for pool in pools):
        return Share("stock", quantity)
    holding = jobs_holding(credit.book, [lot.key for lot in credit.lots])
    jobs = [job for job, held in holding.items() if held >= quantity]
    if len(jobs) == 1:
        return Share("job", quantity, jobs[0])
    if len(jobs) > 1:
        numbers = [row.number for job in jobs if (row := credit.book.row(Job, job))]
        raise NotAllowed(
            f"{credit.words}: {' and '.join(numbers)} have it. Say which one, such as"
            f" --to {numbers[0]}."
        )
    return Share("stock", quantity)


def _take(credit: _Credit, place: Share, value: Money) -> list[str]:
    notes: list[str] = []
    if place.place == "job" and place.job is not None:
        _back_from_job(credit, place.quantity, value, place.job)
    elif place.place == "stock":
        notes = _beside_cost(credit, _out_of_stock(credit, place.quantity, value), value)
    _share(credit, place, value)
    return notes


def _share(credit: _Credit, place: Share, value: Money) -> None:
    credit.book.post(
        ReceiptShare(
            line=credit.row.key, place=place.place, job=place.job, quantity=-place.quantity,
            landed=-value,
        )
    )  # fmt: skip


def _out_of_stock(credit: _Credit, quantity: Quantity, value: Money) -> Money:
    """Take goods out at their own cost, which is given back; without goods, the value alone."""
    book, cost = credit.book, Money(0)
    pools = [(lot, lot_on(book, lot, credit.day)) for lot in credit.lots]
    there = sum((pool for _, pool in pools), EMPTY)
    if quantity > there.quantity or (not quantity and value > there.full):
        raise NotAllowed(_too_little(credit, there))
    if not quantity:
        holding = [(lot, pool) for lot, pool in pools if pool.full]
        amounts = split(value, [pool.full.minor for _, pool in holding]) if holding else []
        for (lot, _), amount in zip(holding, amounts, strict=True):
            _leave(credit, lot, Pool(quantity, amount, amount))
        return value
    for lot, pool in pools:
        part = min(quantity, pool.quantity)
        if part:
            _leave(credit, lot, pool.part(part))
            quantity, cost = quantity - part, cost + pool.part(part).full
    return cost


def _too_little(credit: _Credit, there: Pool) -> str:
    first, book = credit.lots[0], credit.book
    where = f"Lot {first.key} holds" if len(credit.lots) == 1 else "These lots hold"
    return (
        f"{where} {show_count(there.quantity, first.unit)} worth {book.currency.show(there.full)};"
        " the credit is for more. If it went into a job, name the job too (--to JOB)."
    )


def _leave(credit: _Credit, lot: Lot, part: Pool) -> None:
    row = movement("to_supplier", lot.key, -part, credit.day, reason="credit note")
    row.line = credit.row.key
    credit.book.post(row)


def _back_from_job(credit: _Credit, quantity: Quantity, value: Money, job: int) -> None:
    """Post the return from the job, and the way of the same goods back to the supplier."""
    book, lots = credit.book, {lot.key: lot for lot in credit.lots}
    left, worth = quantity, value
    outs = [out for out in still_out(book, job, credit.day) if out.lot in lots]
    for at, out in enumerate(outs):
        part = _credited(out, left, worth, is_last=at == len(outs) - 1)
        if part == EMPTY:
            continue
        back = movement("return", out.lot, part, credit.day, reason="credit note")
        back.job, back.of_movement, back.line = job, out.movement, credit.row.key
        book.post(back)
        follow_return(book, back)
        gone = movement("to_supplier", out.lot, -part, credit.day, reason="credit note")
        gone.line, gone.of_movement = credit.row.key, back.key
        book.post(gone)
        left, worth = left - part.quantity, worth - part.full
    if left or worth:
        first = credit.lots[0]
        raise NotAllowed(
            f"The job did not take that much of lot {first.key}: {show_count(left, first.unit)}"
            f" and {book.currency.show(worth)} of the credit are too much."
        )


def _credited(out: IssueToJob, left: Quantity, worth: Money, *, is_last: bool) -> Pool:
    quantity = min(left, out.quantity)
    value = min(worth, out.full)
    if left and not is_last:
        value = min(value, worth.times(quantity.fraction / left.fraction))
    return Pool(quantity, value, value)

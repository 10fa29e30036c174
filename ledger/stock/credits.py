"""Credit notes: goods that go back to the supplier, and money that comes back without goods.

The goods are often sent first and credited later. What was sent has left stock, and its job,
already: its credit note takes nothing out again, it only settles what was sent.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.joint import shares_sheets
from ledger.book.questions.returns import GoneBack, jobs_holding, sent_not_credited
from ledger.book.questions.stock import IssueToJob, still_out
from ledger.book.tables.ground import Job
from ledger.book.tables.joint import JointShare
from ledger.book.tables.receipts import CreditedGoods, ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.measures.money import Money, split, total
from ledger.measures.quantity import Quantity
from ledger.measures.units import show_count
from ledger.measures.values import replace
from ledger.stock.credited import credited_lots
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.lots import EMPTY, Pool, lot_on, movement, post_issue
from ledger.stock.shared import shared_out, weights_of
from ledger.stock.use_tax import follow_return

NONE = Quantity(0)


class _Credit(Struct, frozen=True):
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
    from stock, else from the one job that has it, or from all that share it by what each has. From
    a job, goods come back at what the supplier credits for them: a restocking fee stays a cost of
    the job. From stock they leave at their own cost.

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
        if place is not None:
            notes += _of_one_job(credit, place)
            notes += _take(credit, replace(place, quantity=left), worth)
        else:
            for taken, value in _usual_places(credit, left, worth):
                notes += _take(credit, taken, value)
    return notes


def as_bought(book: Book, document: Document) -> Document:
    """A credit note with use tax given back on goods that use tax was owed on."""
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
    return [_kept_words(credit, kept)]


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


def _usual_places(
    credit: _Credit, quantity: Quantity, value: Money
) -> Iterable[tuple[Share, Money]]:
    """Where the goods are, if nothing is said, and the part of their credit for each place.

    It is stock, else the one job that has them; of sheets that jobs share, all of these.
    """
    pools = [lot_on(credit.book, lot, credit.day) for lot in credit.lots]
    there = sum((pool.quantity for pool in pools), NONE)
    if there >= quantity and there and value <= total(pool.full for pool in pools):
        return [(Share("stock", quantity), value)]
    holding = jobs_holding(credit.book, [lot.key for lot in credit.lots])
    shared = _shared_by(credit, holding)
    has = {job: pool.quantity for job, pool in shared.items()}
    if has and has == holding and quantity <= sum(has.values(), NONE):
        shares = [size.millionths for size in has.values()]
        sizes, values = split(Money(quantity.millionths), shares), split(value, shares)
        stands = [pool.full for pool in shared.values()]
        if any(part > full for part, full in zip(values, stands, strict=True)):
            values = split(value, [full.minor for full in stands])  # offcuts took some off others
        return [
            (Share("job", Quantity(size.minor), job), part)
            for job, size, part in zip(shared, sizes, values, strict=True)
        ]
    return [(_of_one(credit, quantity, holding), value)]


def _of_one(credit: _Credit, quantity: Quantity, holding: Mapping[int, Quantity]) -> Share:
    """The one job that holds as much, else stock."""
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


def _shared_by(credit: _Credit, holding: Iterable[int]) -> dict[int, Pool]:
    """What of these lots each of several jobs has as its part of sheets that they share."""
    book, lots = credit.book, {lot.key for lot in credit.lots}
    if not shares_sheets(book):
        return {}
    shares = (share for job in holding for share in book.rows(JointShare, job=job))
    for plan in dict.fromkeys(share.joint_plan for share in shares):
        pools = {
            job: sum(
                (Pool.of(out) for out in shared_out(book, plan, job, credit.day)
                 if out.lot in lots), EMPTY,
            )
            for job in weights_of(book, plan)
        }  # fmt: skip
        if all(pool.quantity for pool in pools.values()):
            return pools
    return {}


def _of_one_job(credit: _Credit, place: Share) -> list[str]:
    """That a credit goes to one job alone, of sheets that others share with it."""
    shared = _shared_by(credit, [place.job] if place.job else [])
    rows = (credit.book.row(Job, job) for job in shared if job != place.job)
    others = [row.number for row in rows if row is not None]
    if not others:
        return []
    return [
        f"{credit.words}: shared with {' and '.join(others)}, and credited to one job alone. Of all"
        " by their shares: take it back, benchledger undo, and name no job."
    ]


def _take(credit: _Credit, place: Share, value: Money) -> list[str]:
    notes: list[str] = []
    if place.place == "job" and place.job is not None:
        notes = _back_from_job(credit, place.quantity, value, place.job)
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


def _back_from_job(credit: _Credit, quantity: Quantity, value: Money, job: int) -> list[str]:
    """Post the return from the job, and the way of the same goods back to the supplier.

    What they cost beyond their credit stays with the job, and is said.
    """
    book, lots = credit.book, {lot.key: lot for lot in credit.lots}
    left, worth, stood = quantity, value, Money(0)
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
        if part.quantity:  # goods credited before may have left a cost and nothing to bring back
            stood += out.full.times(part.quantity.fraction / out.quantity.fraction)
    if left or worth:
        first = credit.lots[0]
        raise NotAllowed(
            f"The job did not take that much of lot {first.key}: {show_count(left, first.unit)}"
            f" and {book.currency.show(worth)} of the credit are too much."
        )
    return [_kept_words(credit, stood - value)] if stood > value else []


def _kept_words(credit: _Credit, kept: Money) -> str:
    shown = credit.book.currency.show(kept)
    return f"{credit.words}: {shown} was not credited and stays a cost of the job."


def _credited(out: IssueToJob, left: Quantity, worth: Money, *, is_last: bool) -> Pool:
    quantity = min(left, out.quantity)
    value = min(worth, out.full)
    if left and not is_last:
        value = min(value, worth.times(quantity.fraction / left.fraction))
    return Pool(quantity, value, value)

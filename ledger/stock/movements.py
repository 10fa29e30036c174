"""What happens to stock at the bench: issues, returns, scrap, own use, counts.

A verb draws from the oldest lots first, or from the one lot that is named; each lot it touches
gets one movement at that lot's own cost. All in one entry.

Sending goods back to whom they came from: from stock, or from the job that has them.
"""

from collections.abc import Container, Iterable
from datetime import date

from msgspec import Struct

from ledger.book import Book, require_open_day, require_open_job
from ledger.book.questions.joint import shared_issues_to
from ledger.book.questions.returns import credited_not_sent, jobs_holding
from ledger.book.questions.stock import newest_lot, quantity_on, rack_lots, still_out
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Material
from ledger.book.tables.receipts import CreditedGoods, Receipt, ReceiptLine
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import NotAllowed
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import show_count
from ledger.stock.lots import (
    Drawn,
    Pool,
    draw,
    lot_on,
    lots_on,
    movement,
    named_lot,
    post_issue,
    post_own_use,
)
from ledger.stock.use_tax import accrue, follow_return


def issue(
    book: Book,
    job: int,
    material: str | None,
    quantity: Quantity,
    *,
    lot: int | None = None,
    day: date | None = None,
    reason: str = "",
    on_camera: bool | None = None,
) -> list[Movement]:
    """Issue a material to a job, oldest lot first or from the lot that is named.

    Raises:
        NotAllowed: more than is on hand on that day, a lot of another material, a borrowed lot,
            a day in the future or in a closed month.
    """
    with book.entry("stock issue", f"{goods_name(material, lot)} {show_quantity(quantity)}"):
        when = require_open_day(book, day or book.today)
        return [
            post_issue(book, d.lot, d.pool, job, when, reason=reason, on_camera=on_camera)
            for d in drawn_from(book, material, quantity, lot, when)
        ]


def put_back(
    book: Book,
    job: int,
    material: str | None,
    quantity: Quantity,
    *,
    lot: int | None = None,
    day: date | None = None,
    reason: str = "",
    of: Container[int] | None = None,
) -> list[Movement]:
    """Take back into its lot what a job did not use, the last issue first, at what it was issued.

    It comes back from the issues `of` that are named, else from those that no other job shares.

    Raises:
        NotAllowed: the job did not take that much of it by that day.
    """
    name = goods_name(material, lot)
    with book.entry("stock return", f"{name} {show_quantity(quantity)}"):
        when = require_open_day(book, day or book.today)
        all_outs = [
            out
            for out in still_out(book, job, when)
            if out.quantity
            and (out.lot == lot if lot is not None else material and out.material == material)
        ]
        shared = shared_issues_to(book, job)
        outs = [
            out
            for out in all_outs
            if (out.movement in of if of is not None else out.movement not in shared)
        ]
        if all_outs and not outs:
            raise NotAllowed(
                f"{name} of this job is shared with another job; it comes back to stock from both:"
                f" benchledger stock return JOB {material or 'CODE'} QTY --together"
            )
        by_key = {out.movement: out for out in outs}
        pools = [(out.movement, Pool.of(out)) for out in outs]
        rows = []
        for back in draw(pools, quantity, f"{name} with this job"):
            row = movement("return", by_key[back.lot].lot, back.pool, when, reason=reason)
            row.job, row.of_movement = job, back.lot
            rows.append(book.post(row))
            follow_return(book, row)
        return rows


def withdraw(
    book: Book,
    kind: str,
    material: str | None,
    quantity: Quantity,
    *,
    lot: int | None = None,
    day: date | None = None,
    reason: str = "",
    job: int | None = None,
) -> list[Movement]:
    """Take goods out of stock as scrap, damage, back to the supplier, own use or a giveaway.

    Scrap charged to a job is a cost of that job. Own use and giveaways carry use tax where the
    goods came untaxed. What is borrowed may only be damaged or sent back.

    Raises:
        NotAllowed: more than is on hand, or no reason for scrap or damage.
    """
    if kind in ("scrap", "damage") and not reason.strip():
        raise NotAllowed(f"Say why it is {'scrap' if kind == 'scrap' else 'damaged'}: --why TEXT")
    borrowed = kind in ("damage", "to_supplier")
    with book.entry(f"stock {kind}", f"{goods_name(material, lot)} {show_quantity(quantity)}"):
        when = require_open_day(book, day or book.today)
        drawn = drawn_from(book, material, quantity, lot, when, borrowed=borrowed)
        return [_post_withdrawal(book, kind, d, when, reason.strip(), job) for d in drawn]


def _post_withdrawal(
    book: Book, kind: str, drawn: Drawn, day: date, reason: str, job: int | None
) -> Movement:
    if kind in ("own_use", "giveaway"):
        lot = book.row(Lot, drawn.lot)
        if lot is None:
            raise RuntimeError(f"lot {drawn.lot} was drawn from and is not there")
        return post_own_use(book, lot, drawn.pool, day, reason, kind=kind)
    if job is not None:
        require_open_job(book, job)
    row = movement(kind, drawn.lot, -drawn.pool, day, reason=reason)
    row.job = job
    posted = book.post(row)
    accrue(book, posted)
    return posted


def count(
    book: Book, material: str, counted: Quantity, *, day: date | None = None, reason: str = ""
) -> list[Movement]:
    """Set stock to what was counted; the difference leaves the oldest lots or joins the newest.

    Raises:
        NotAllowed: the count differs and no reason is given, or the material was never in stock.
    """
    with book.entry("stock count", f"{material} {show_quantity(counted)}"):
        when = require_open_day(book, day or book.today)
        difference = counted - quantity_on(book, material, when)
        if difference and not reason.strip():
            says = show_quantity(counted - difference)
            raise NotAllowed(
                f"{material}: the book says {says}, you counted {show_quantity(counted)}. Say"
                " what you think happened: --why TEXT"
            )
        if difference.millionths > 0:
            drawn = [_surplus(book, material, difference, when)]
        elif difference:
            lost = drawn_from(book, material, -difference, None, when)
            drawn = [Drawn(d.lot, -d.pool) for d in lost]
        else:
            drawn = []
        return [
            book.post(movement("count", d.lot, d.pool, when, reason=reason.strip())) for d in drawn
        ]


def _surplus(book: Book, material: str, quantity: Quantity, day: date) -> Drawn:
    """More was counted than the book says: it joins the newest lot at that lot's unit cost."""
    number = newest_lot(book, material, day)
    lot = None if number is None else book.row(Lot, number)
    if lot is None:
        raise NotAllowed(
            f"{material} was never in stock by {day}, so its cost is not known."
            " Enter it as opening stock: benchledger stock open FILE"
        )
    share = quantity.fraction / lot.quantity.fraction
    return Drawn(lot.key, Pool(quantity, lot.full.times(share), lot.cash.times(share)))


def drawn_from(
    book: Book,
    material: str | None,
    quantity: Quantity,
    lot: int | None,
    day: date,
    *,
    borrowed: bool = False,
) -> list[Drawn]:
    """What is drawn of a material, oldest lot first, or of the lot that is named.

    Raises:
        NotAllowed: more than is on hand on that day, or nothing is named.
    """
    lots: Iterable[tuple[int, Pool]]
    if lot is not None:
        chosen = named_lot(book, lot, material, borrowed=borrowed)
        what, unit = f"{chosen.material or chosen.words} in lot {lot}", chosen.unit
        lots = [(lot, lot_on(book, chosen, day))]
    elif material is not None:
        known = book.last(Material, code=material)
        what, unit = material, known.unit if known else ""
        lots = lots_on(book, material, day)
    else:
        raise NotAllowed("Say what to take: a material, or a lot by its number.")
    try:
        return draw(lots, quantity, what if day == book.today else f"{what} on {day}", unit)
    except NotAllowed as short:
        pieces = rack_lots(book, material) if lot is None else []
        if not pieces:
            raise
        named = ", ".join(map(str, pieces))
        raise NotAllowed(
            f"{short} Pieces of it on the rack are lots of their own, {named}; name one, counted"
            f" by the piece: --lot {pieces[0]}"
        ) from None


def goods_name(material: str | None, lot: int | None) -> str:
    """How goods are named: by their lot where one is meant, else by the material."""
    return f"lot {lot}" if lot is not None else str(material)


class SentBack(Struct, frozen=True):
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
    with book.entry("stock to_supplier", f"{goods_name(material, lot)} {show_quantity(quantity)}"):
        when, why = require_open_day(book, day or book.today), reason.strip()
        left, numbers, moved = quantity, list[str](), list[Movement]()
        for gone in [] if others else credited_not_sent(book, when):
            row = book.row(Lot, gone.lot)
            is_meant = gone.lot == lot if lot is not None else row and row.material == material
            part = min(left, gone.open)
            if part and gone.line is not None and is_meant and job in (None, gone.job):
                book.post(CreditedGoods(movement=gone.movement, line=gone.line, quantity=part))
                numbers.append(_credit_number(book, gone.line))
                left = left - part
        if left and job is not None:
            for back in put_back(book, job, material, left, lot=lot, day=when, reason="sent back"):
                sent = movement("to_supplier", back.lot, -Pool.of(back), when, reason=why)
                sent.of_movement = back.key
                moved.append(book.post(sent))
        elif left:
            try:
                moved = withdraw(book, "to_supplier", material, left, lot=lot, day=when, reason=why)
            except NotAllowed as refusal:
                raise NotAllowed(f"{refusal}{_holders(book, material, lot)}") from refusal
    return SentBack(tuple(moved), quantity - left, tuple(dict.fromkeys(numbers)))


def _credit_number(book: Book, line: int) -> str:
    row = book.row(ReceiptLine, line)
    receipt = book.row(Receipt, row.receipt) if row else None
    return receipt.number if receipt else ""


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

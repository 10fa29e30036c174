"""Sheets that jobs share, as they leave stock and come back: split by what each job pays alone.

One draw is split over the jobs in millionths and cents, so that lots, quantities and values close.
An offcut of such a sheet is one piece on the rack. Its lot stands with one job, and the parts of
its credit that belong to the others are passed on to them without goods.
"""

from collections.abc import Sequence
from datetime import date

from ledger.book import Book, require_open_day
from ledger.book.tables.joint import JointIssue, JointOffcut
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.rounding import apportion
from ledger.stock.lots import EMPTY, Drawn, Pool, movement, post_issue
from ledger.stock.movements import drawn_from, goods_name, put_back
from ledger.stock.shared import shared_out, weights_of
from ledger.stock.use_tax import follow_return

CREDIT = "credit of a shared offcut"


def split_draws(drawn: Sequence[Drawn], weights: Sequence[int]) -> list[list[Drawn]]:
    """Allocate draws to jobs by weight, so that rows (draws) and columns (jobs) both add up.

    Quantities are split in millionths, full value and cash in minor units.
    """
    columns = [
        _split_table([one.pool.quantity.millionths for one in drawn], weights),
        _split_table([one.pool.cash.minor for one in drawn], weights),
        _split_table([(one.pool.full - one.pool.cash).minor for one in drawn], weights),
    ]
    parts: list[list[Drawn]] = [[] for _ in weights]
    for row, one in enumerate(drawn):
        for at, mine in enumerate(parts):
            quantity, cash, more = (column[row][at] for column in columns)
            if quantity or cash or more:
                mine.append(
                    Drawn(one.lot, Pool(Quantity(quantity), Money(cash + more), Money(cash)))
                )
    return parts


def _split_table(amounts: Sequence[int], weights: Sequence[int]) -> list[list[int]]:
    """Split each amount so that the parts of every weight come to its part of them all.

    Each is split in proportion to what the weights still lack, which none then exceeds.
    """
    lacking = apportion(sum(amounts), weights)
    rows = []
    for amount in amounts:
        parts = apportion(amount, lacking) if amount else [0] * len(lacking)
        lacking = [left - part for left, part in zip(lacking, parts, strict=True)]
        rows.append(parts)
    return rows


def issue_shared(
    book: Book,
    plan: int,
    material: str | None,
    quantity: Quantity,
    *,
    lot: int | None = None,
    day: date | None = None,
    reason: str = "",
) -> list[Movement]:
    """Issue sheets of a joint plan once, each of its jobs its share, all in one entry.

    Raises:
        NotAllowed: as an issue to one job, or the sheets are not all of one owner.
    """
    weights = weights_of(book, plan)
    with book.entry("stock issue", f"{goods_name(material, lot)} {show_quantity(quantity)} shared"):
        when = require_open_day(book, day or book.today)
        drawn = drawn_from(book, material, quantity, lot, when)
        _require_one_owner(book, drawn)
        rows = []
        for job, parts in zip(weights, split_draws(drawn, [*weights.values()]), strict=True):
            for one in parts:
                row = post_issue(book, one.lot, one.pool, job, when, reason=reason)
                book.post(JointIssue(joint_plan=plan, movement=row.key))
                rows.append(row)
        return rows


def put_back_shared(
    book: Book,
    plan: int,
    material: str | None,
    quantity: Quantity,
    *,
    lot: int | None = None,
    day: date | None = None,
    reason: str = "",
) -> list[Movement]:
    """Take back sheets of a joint plan, from each of its jobs in proportion to what it has.

    Raises:
        NotAllowed: the jobs do not have that many of them.
    """
    with book.entry(
        "stock return", f"{goods_name(material, lot)} {show_quantity(quantity)} shared"
    ):
        when = require_open_day(book, day or book.today)
        outs = {
            job: [
                out for out in shared_out(book, plan, job, when)
                if (out.lot == lot if lot is not None else out.material == material)
            ]
            for job in weights_of(book, plan)
        }  # fmt: skip
        there = {job: sum(one.quantity.millionths for one in mine) for job, mine in outs.items()}
        if quantity.millionths > sum(there.values()):
            left = show_quantity(Quantity(sum(there.values())))
            raise NotAllowed(
                f"The jobs that share {goods_name(material, lot)} have {left} of it;"
                f" {show_quantity(quantity)} cannot come back."
            )
        parts = apportion(quantity.millionths, there.values())
        rows = []
        for (job, mine), part in zip(outs.items(), parts, strict=True):
            if part:
                rows += put_back(
                    book, job, material, Quantity(part), lot=lot, day=when, reason=reason,
                    of={one.movement for one in mine},
                )  # fmt: skip
        return rows


def _require_one_owner(book: Book, drawn: Sequence[Drawn]) -> None:
    owners = {lot.sponsor for one in drawn if (lot := book.row(Lot, one.lot)) is not None}
    if len(owners) > 1:
        named = " and ".join(f"{owner}’s" if owner else "your own" for owner in sorted(owners))
        raise NotAllowed(
            f"These sheets would be of {named} stock; sheets that jobs share are of one owner."
            " Name the lot to draw from: --lot N"
        )


def credit_within(credit: Pool, full: Money, cash: Money) -> Pool:
    """What an issue of so much bears of a credit: its cash of cash, what came in kind of the rest.

    >>> credit_within(Pool(Quantity(0), Money(404), Money(276)), Money(3603), Money(0)).full
    Money(minor=128)
    """
    of_cash = min(credit.cash, cash)
    in_kind = min(credit.full - credit.cash, full - cash)
    return Pool(Quantity(0), of_cash + in_kind, of_cash)


def pass_credit_on(
    book: Book, plan: int, pieces: Sequence[Lot], full: Money, cash: Money, day: date
) -> None:
    """Give the other jobs of a plan their parts of the credit for pieces that stand with one job.

    Each part comes back from an issue of that job and goes to the job of the pieces, without goods.
    """
    first, weights = pieces[0], weights_of(book, plan)
    owner = first.job or 0
    for piece in pieces:
        book.post(JointOffcut(joint_plan=plan, lot=piece.key))
    parts = split_draws([Drawn(first.key, Pool(Quantity(0), full, cash))], [*weights.values()])
    for job, mine in zip(weights, parts, strict=True):
        left = mine[0].pool if mine and job != owner else EMPTY
        for out in shared_out(book, plan, job, day):
            part = credit_within(left, out.full, out.cash)
            if not part.full:
                continue
            back = movement("return", out.lot, part, day, reason=CREDIT)
            back.job, back.of_movement = job, out.movement
            over = post_issue(book, out.lot, part, owner, day, reason=CREDIT, is_credit=True)
            for row in (book.post(back), over):
                book.post(JointOffcut(joint_plan=plan, lot=first.key, movement=row.key))
            follow_return(book, back)
            left = left - part

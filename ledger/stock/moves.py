"""Posting movements: every way goods leave a lot or come back to it, one row each."""

from datetime import date

from ledger.book import Book, require_open_job
from ledger.book.tables.stock import Lot, Movement
from ledger.measures.money import Money, sales_tax
from ledger.stock.lots import Pool
from ledger.stock.use_tax import UNTAXED, accrue, use_tax_rate


def post_issue(
    book: Book,
    lot: int,
    part: Pool,
    job: int,
    day: date,
    *,
    reason: str = "",
    on_camera: bool | None = None,
    line: int | None = None,
) -> Movement:
    """Post what a job takes of a lot, with the use tax that an improvement owes on it.

    Raises:
        NotAllowed: the job is over, see `require_open_job`.
    """
    require_open_job(book, job)
    row = movement("issue", lot, -part, day, reason=reason)
    row.job, row.on_camera, row.line = job, on_camera, line
    issued = book.post(row)
    accrue(book, issued)
    return issued


def post_own_use(
    book: Book,
    lot: Lot,
    part: Pool,
    day: date,
    reason: str,
    *,
    kind: str = "own_use",
    line: int | None = None,
) -> Movement:
    """Post what the shop keeps or gives away, with the use tax that falls due on it."""
    row = movement(kind, lot.key, -part, day, reason=reason)
    row.line = line
    row.use_tax = tax_on_own_use(book, lot, part.cash)
    return book.post(row)


def tax_on_own_use(book: Book, lot: Lot, cash: Money) -> Money:
    """The use tax on goods kept or given away that no tax was paid on for good.

    It falls on the purchase cost of what came under a resale certificate, or whose tax was
    recovered; whether and how it is due in a place, the local rules say.
    """
    if lot.tax_kind not in UNTAXED:
        return Money(0)
    return sales_tax(cash, use_tax_rate(book), book.currency)


def movement(kind: str, lot: int, pool: Pool, day: date, *, reason: str = "") -> Movement:
    """Make the row of a movement; a pool that leaves is negative."""
    return Movement(
        lot=lot, kind=kind, day=day, quantity=pool.quantity, full=pool.full, cash=pool.cash,
        reason=reason,
    )  # fmt: skip

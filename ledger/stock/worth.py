"""What stock is worth: on a day, and to a job."""

from datetime import date
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.returns import NotCredited, not_credited
from ledger.book.questions.stock import JobUse, OnHand, credit_passed, on_hand_on, taken_by_job
from ledger.book.tables.stock import Lot
from ledger.measures.money import Money, total


def value_on(book: Book, day: date | None = None, *, with_empty: bool = False) -> list[OnHand]:
    """What stood in each lot at the end of a day, what is borrowed included at value 0.

    Lots that are used up are left out, unless they are asked for `with_empty`.
    """
    return on_hand_on(book, day or book.today, with_empty=with_empty)


def job_material(book: Book, job: int) -> list[JobUse]:
    """What a job took of each lot less what it gave back, at full value and cash."""
    kept = not_credited(book, job)
    return [_told_apart(use, kept.get(use.lot)) for use in taken_by_job(book, job)]


def _told_apart(use: JobUse, kept: NotCredited | None) -> JobUse:
    """The use with freight and fee of what went back; what the job has bears its own share."""
    if kept is None or not use.full:
        return use
    if not kept.freight:
        return use._replace(fee=kept.goods)
    share = Fraction((use.full - kept.full).minor, use.full.minor)
    return use._replace(
        freight=use.freight.times(share) + kept.freight,
        freight_lost=kept.freight,
        tax=use.tax.times(share),
        fee=kept.goods,
    )


def offcut_credit(book: Book, job: int) -> tuple[Money, Money]:
    """What the pieces a job put on the rack took off its cost: full value and cash.

    Of what several jobs left over together each has its part.
    """
    pieces, (full, cash) = book.rows(Lot, job=job, source="offcut"), credit_passed(book, job)
    return total((full, *(p.full for p in pieces))), total((cash, *(p.cash for p in pieces)))

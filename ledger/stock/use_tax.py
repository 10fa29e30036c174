"""Use tax on material bought for resale and issued to a job that improves real property.

Where a piece becomes part of a building, many places take its maker for the consumer of the
material: no sales tax is charged to the client, and what was bought without tax owes use tax once
it is issued. What comes back, as a return or as an offcut, takes its part of the tax back.
Whether a piece is such an improvement, local law decides; the owner answers it for each job.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.stock import Lot, Movement
from ledger.book.tables.tax import JobTax, JobUseTax
from ledger.measures.grouped import grouped
from ledger.measures.money import Money, sales_tax, split, total
from ledger.stock.prices import has_use_tax

if TYPE_CHECKING:
    from ledger.stock.documents import Document

TAXABLE, IMPROVEMENT = "taxable", "improvement"
UNTAXED = ("resale", "recoverable")
"""Kinds of tax of goods on which no tax was paid for good."""

_TAKES = ("issue", "scrap")
NOTHING = Money(0)


class Accrued(Struct, frozen=True):
    """An issue to a job and the use tax that is owed on it now."""

    issue: Movement
    tax: Money


def use_tax_rate(book: Book) -> Fraction:
    """The rate of use tax: its own, else that of sales tax; zero where there is no use tax."""
    rate: Fraction | None = book.settings.use_tax_rate
    if rate is None:
        rate = book.settings.tax_rate if has_use_tax(book) else Fraction(0)
    return rate


def use_tax_faults(book: Book, document: "Document") -> list[str]:
    """Lines said to owe use tax in a shop that has none."""
    if document.kind == "credit" or has_use_tax(book):
        return []
    kind = "recoverable" if book.settings.tax_standing == "vat" else "paid"
    return [
        f"{line.words}: use tax is owed only by a shop that charges sales tax; here a taxed line"
        f" is of tax kind {kind}, one without tax of kind none. If you owe use tax all the same:"
        " benchledger shop set use_tax_rate=RATE"
        for line in document.lines
        if line.tax_kind == "use"
    ]


def withdrawal_note(book: Book) -> str:
    """What a shop that gets VAT back is told where goods leave it without a sale; else nothing."""
    if has_use_tax(book) or book.settings.tax_standing != "vat":
        return ""
    return (
        "Used in the business, no VAT falls due on it; taken for yourself or given away, it may:"
        " ask your tax adviser."
    )


def answer_of(book: Book, job: int) -> JobTax | None:
    """The answer of a job in a shop that charges sales tax; None where nobody answered."""
    if book.settings.tax_standing != "sales_tax":
        return None
    return book.last(JobTax, job=job)


def improvement_of(book: Book, job: int) -> JobTax | None:
    """The answer by which a job improves real property, or None."""
    answer = answer_of(book, job)
    return answer if answer is not None and answer.standing == IMPROVEMENT else None


def use_tax_of(book: Book, job: int) -> Money:
    """The use tax accrued on what a job has now."""
    return total(row.amount for row in book.rows(JobUseTax, job=job))


def use_tax_by_job(book: Book, first: date, last: date) -> dict[int, Money]:
    """The use tax accrued by jobs from the first day to the last, less what came back, by job."""
    rows = [row for row in book.rows(JobUseTax) if first <= row.day <= last]
    return {job: total(row.amount for row in of_job)
            for job, of_job in grouped(rows, lambda row: row.job).items()}  # fmt: skip


def accrue(book: Book, taken: Movement) -> Money:
    """Post the use tax on what a job took of a lot; nothing where none is owed.

    The amount is rounded for each issue. It is posted in the entry of the issue.
    """
    if taken.job is None or taken.kind not in _TAKES:
        return NOTHING
    answer = improvement_of(book, taken.job)
    return NOTHING if answer is None else _accrue(book, answer, taken, -taken.cash, taken.day)


def follow_return(book: Book, back: Movement) -> None:
    """Post the part of the use tax that comes back with a return, by quantity.

    A return of all that is still out takes all the tax that is left.
    """
    issue = book.row(Movement, back.of_movement or 0)
    if issue is None or issue.job is None:
        return
    owed = book.rows(JobUseTax, movement=issue.key)
    returned = book.rows(Movement, of_movement=issue.key, kind="return")
    if back.quantity:
        out = -issue.quantity.millionths - sum(row.quantity.millionths for row in returned)
        share = Fraction(back.quantity.millionths, out + back.quantity.millionths)
    else:
        worth = -issue.cash.minor - sum(row.cash.minor for row in returned) + back.cash.minor
        share = Fraction(back.cash.minor, worth) if worth else Fraction(0)
    _give_back(book, owed, total(row.amount for row in owed).times(share), back.day)


def follow_offcuts(book: Book, job: int, pieces: Sequence[Lot]) -> None:
    """Post the use tax that leaves a job with offcuts of one material: that on what they are worth.

    Only pieces that stand to tax as bought for resale take it along: who uses one owes it again.
    """
    first = pieces[0]
    accruals = accrued_on(book, job, first.material)
    if first.tax_kind not in UNTAXED or not accruals:
        return
    worth = sales_tax(total(piece.cash for piece in pieces), use_tax_rate(book), book.currency)
    amount = min(worth, total(one.tax for one in accruals))
    parts = split(amount, [one.tax.minor for one in accruals])
    for one, part in zip(accruals, parts, strict=True):
        owed = book.rows(JobUseTax, movement=one.issue.key)
        _give_back(book, owed, part, first.day, offcut=first.key)


def accrued_on(book: Book, job: int, material: str | None = None) -> list[Accrued]:
    """The issues of a job, of one material or of all, on which use tax is owed now."""
    sums: dict[int, Money] = {}
    for row in book.rows(JobUseTax, job=job):
        sums[row.movement] = sums.get(row.movement, NOTHING) + row.amount
    accruals = []
    for number, tax in sums.items():
        issue = book.row(Movement, number)
        lot = book.row(Lot, issue.lot) if issue else None
        if issue and lot and tax and (material is None or lot.material == material):
            accruals.append(Accrued(issue, tax))
    return accruals


def catch_up(book: Book, answer: JobTax) -> Money:
    """Post the use tax on what a job has, once it was answered to be an improvement.

    Nothing is owed on it before: under another answer no tax accrues, and `release` took it back.
    """
    for taken in book.rows(Movement, job=answer.job):
        if taken.kind in _TAKES:
            back = book.rows(Movement, of_movement=taken.key, kind="return")
            cash = -taken.cash - total(row.cash for row in back)
            _accrue(book, answer, taken, cash, answer.day)
    pieces = book.rows(Lot, job=answer.job, source="offcut")
    for kept in grouped(pieces, lambda piece: piece.material).values():
        follow_offcuts(book, answer.job, kept)
    return use_tax_of(book, answer.job)


def release(book: Book, answer: JobTax) -> Money:
    """Post that no use tax is owed any more on what a job took; give back what was owed."""
    summed = NOTHING
    for accrual in accrued_on(book, answer.job):
        book.post(_row(answer, accrual.issue, -accrual.tax, answer.day))
        summed = summed + accrual.tax
    return summed


def _accrue(book: Book, answer: JobTax, taken: Movement, cash: Money, day: date) -> Money:
    lot = book.row(Lot, taken.lot)
    if lot is None or lot.tax_kind not in UNTAXED:
        return NOTHING
    tax = sales_tax(cash, use_tax_rate(book), book.currency)
    if tax:
        book.post(_row(answer, taken, tax, day))
    return tax


def _give_back(
    book: Book, owed: Sequence[JobUseTax], amount: Money, day: date, offcut: int | None = None
) -> None:
    if not amount or not owed:
        return
    last = owed[-1]
    row = JobUseTax(
        job=last.job, standing=last.standing, day=day, lot=last.lot, movement=last.movement,
        offcut=offcut, amount=-amount,
    )  # fmt: skip
    book.post(row)


def _row(answer: JobTax, taken: Movement, amount: Money, day: date) -> JobUseTax:
    return JobUseTax(
        job=answer.job, standing=answer.key, day=day, lot=taken.lot, movement=taken.key,
        amount=amount,
    )  # fmt: skip


def offcut_tax_kind(lots: Sequence[Lot]) -> str:
    """How pieces cut from some lots stand to tax: as the lots, where all stand alike."""
    kinds = {lot.tax_kind for lot in lots}
    return kinds.pop() if len(kinds) == 1 and kinds <= set(UNTAXED) else "none"

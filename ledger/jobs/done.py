"""What happened on a job as the book stands: its money and minutes added up."""

from collections.abc import Sequence

from ledger.book import Book
from ledger.book.questions.labor import WorkSum, work_of_job
from ledger.book.questions.progress import ON_THE_JOB
from ledger.book.questions.stock import JobUse
from ledger.book.tables.answers import JobCost
from ledger.book.tables.ground import Job
from ledger.costing.afterwards import Done
from ledger.jobs.answers import bills_of_others, costs_of
from ledger.jobs.income import incomes, spoiled
from ledger.labor.people import helper_cost
from ledger.measures.money import Money, total
from ledger.stock.use_tax import use_tax_of
from ledger.stock.worth import job_material, offcut_credit


def earned_on(book: Book, job: Job, price: Money) -> Money:
    """What the owner earned on a job, its price with all change orders in it."""
    return done_on(book, job, price, Money(0)).earned


def done_on(book: Book, job: Job, price: Money, changes: Money) -> Done:
    """What happened on a job as the book stands, for its price and its change orders."""
    work, used = work_of_job(book, job.key), job_material(book, job.key)
    return done_with(book, job, work, used, costs_of(book, job, "actual"), price, changes)


def done_with(
    book: Book,
    job: Job,
    work: Sequence[WorkSum],
    used: Sequence[JobUse],
    noted: Sequence[JobCost],
    price: Money,
    changes: Money,
) -> Done:
    """What happened on a job whose hours, material and other costs are read already."""
    credit, credit_cash = offcut_credit(book, job.key)
    on_job = [row for row in work if row.kind in ON_THE_JOB]
    is_helped = any(row.person != "owner" for row in work)
    bills = total(bills_of_others(used))
    return Done(
        price=price,
        changes=changes,
        material=total(use.full for use in used) - bills,
        material_cash=total(use.cash for use in used) - bills,  # they are paid, never given
        credit=credit,
        credit_cash=credit_cash,
        helper=helper_cost(book, job) if is_helped else Money(0),
        other=total(row.amount for row in noted) + bills,
        owner_minutes=sum(row.minutes for row in on_job if row.person == "owner"),
        helper_minutes=sum(row.minutes for row in on_job if row.person != "owner"),
        rework_minutes=sum(row.minutes for row in work if row.kind == "rework"),
        rework_material=total(row.amount for row in spoiled(book, job)),
        content_minutes=sum(row.minutes for row in work if row.kind == "content"),
        content=total(row.gross - row.fee for row in incomes(book, job)),
        use_tax=use_tax_of(book, job.key),
    )

"""Canceling with the papers: what was invoiced beyond what is kept is credited in the same entry.

Under VAT a sum that is kept as pay for work done has its tax in it, one that is kept as
compensation has none; which it is, the contract and the law of the place say, so it is asked.
"""

from datetime import date

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import agreement_of, cancellation_of
from ledger.jobs.cancel import (
    COMPENSATION,
    FINISHED,
    WORK,
    CancelBasis,
    Kept,
    Terms,
    cancel_job,
    kept_after_cancellation,
    settle_again,
)
from ledger.measures.money import Money
from ledger.measures.values import replace
from ledger.quotes.contract import ZERO, contract_on
from ledger.quotes.credits import credit_excess
from ledger.quotes.invoice import Invoice
from ledger.quotes.issuing import is_under_vat

KEPT_AS = (WORK, COMPENSATION)


def account_of(book: Book, job: Job, record: CancelBasis, terms: Terms, kept_as: str = "") -> Kept:
    """What is kept, its tax worked out where it is pay for work and the tax is not said.

    Raises:
        BadValue: it is kept as something else, or tax is said to be in a compensation.
    """
    _require_known(kept_as, terms.tax)
    account = kept_after_cancellation(record, terms)
    if kept_as == COMPENSATION and record.stage == FINISHED:
        raise BadValue("The piece was finished: what is kept is its price, and so pay for work.")
    if kept_as == WORK and not account.tax:
        tax = _tax_of_work(book, job, account.kept, book.today, is_inside=terms.kept is not None)
        account = kept_after_cancellation(
            record, replace(terms, tax=tax, tax_words="as pay for work")
        )
    return replace(account, kept_as=kept_as or (WORK if account.tax else ""))


def accounts_to_choose(
    book: Book, job: Job, record: CancelBasis, terms: Terms, kept_as: str = ""
) -> dict[str, Kept]:
    """Both accounts, as pay for work and as compensation, where under VAT it must be said."""
    if kept_as or terms.tax or not _is_asked(book, job, account_of(book, job, record, terms)):
        return {}
    return {answer: account_of(book, job, record, terms, answer) for answer in KEPT_AS}


def cancel_with_papers(
    book: Book, job: Job, account: Kept, why: str, *, day: date | None = None
) -> list[Invoice]:
    """Cancel a job, and credit what was invoiced beyond what is kept of it.

    Raises:
        NotAllowed: under VAT it is not said as what a sum is kept; or as `cancel_job`.
    """
    _require_answer(book, job, account)
    with book.entry("job cancel", f"{job.number} {why.strip()}"):
        cancel_job(book, job, account, why, day=day)
        return _credit(book, job, why)


def settle_with_papers(
    book: Book,
    job: Job,
    kept: Money,
    why: str,
    *,
    tax: Money = ZERO,
    kept_as: str = "",
    day: date | None = None,
) -> tuple[Kept, list[Invoice]]:
    """Settle another sum of a canceled job, and credit what was invoiced beyond it.

    Raises:
        BadValue: it is kept as something unknown; or as `settle_again`.
    """
    _require_known(kept_as, tax)
    before = cancellation_of(book, job)
    chosen = kept_as or (before.kept_as if before else "")
    if chosen == WORK and not tax:
        tax = _tax_of_work(book, job, kept, before.day, is_inside=True) if before else ZERO
    with book.entry("job cancel", f"{job.number} settled again"):
        account = settle_again(book, job, kept, why, tax=tax, kept_as=chosen, day=day)
        _require_answer(book, job, account)
        return account, _credit(book, job, why)


def _require_known(kept_as: str, tax: Money) -> None:
    if kept_as and kept_as not in KEPT_AS:
        raise BadValue(f"A sum is kept as {' or '.join(KEPT_AS)}; not as “{kept_as}”.")
    if kept_as == COMPENSATION and tax:
        raise BadValue("Compensation has no tax in it; say --kept-as work, or leave --tax out.")


def _require_answer(book: Book, job: Job, account: Kept) -> None:
    if _is_asked(book, job, account):
        kept = book.currency.show(account.kept)
        raise NotAllowed(
            f"Say as what {kept} is kept of {job.number}: --kept-as work (pay for what was done,"
            " VAT in it) or --kept-as compensation (no VAT). Contract and law decide; ask your"
            " adviser where it is not plain."
        )


def _is_asked(book: Book, job: Job, account: Kept) -> bool:
    """Whether it must be said as what a sum is kept: under VAT, of a job whose price has it."""
    agreed = agreement_of(book, job)
    has_vat = is_under_vat(book) and agreed is not None and bool(agreed.tax)
    return has_vat and bool(account.kept) and not account.kept_as


def _credit(book: Book, job: Job, why: str) -> list[Invoice]:
    """The credit notes are of today, for that is the day on which they are sent."""
    return credit_excess(book, job, why) if agreement_of(book, job) is not None else []


def _tax_of_work(book: Book, job: Job, kept: Money, day: date, *, is_inside: bool) -> Money:
    """The tax that falls on a sum kept as pay for work, or is inside it, at the rate agreed."""
    if agreement_of(book, job) is None:
        return ZERO
    contract = contract_on(book, job, day)
    return contract.tax_within(kept) if is_inside else contract.tax_on(kept)

"""What was invoiced beyond what a job comes to by now: a credit note takes it off."""

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.jobs.agreement import agreement_of
from ledger.quotes.contract import ZERO, Contract, contract_on


def credit_needed(book: Book, job: Job) -> str:
    """That more was invoiced than a job comes to, and the command for it; else nothing.

    What is kept of a canceled job has an account of its own.
    """
    if agreement_of(book, job) is None:
        return ""
    contract = contract_on(book, job, book.today)
    return excess_words(contract) if contract.canceled is None else ""


def excess_words(contract: Contract) -> str:
    """That more was invoiced than a contract comes to, and the command for it; else nothing."""
    excess = contract.invoiced.asked - contract.whole.asked
    if excess <= ZERO or not contract.standing:
        return ""
    last, amount = contract.standing[-1].row.number, contract.currency.show(excess)
    return (
        f"{amount} more was invoiced than {contract.job.number} comes to; a credit note takes it"
        f" off: benchledger quote credit {last} {amount} --why TEXT"
    )

"""What was invoiced beyond what a job comes to by now: a credit note takes it off."""

from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.jobs.agreement import agreement_of
from ledger.measures.money import Currency, Money
from ledger.quotes.contract import ZERO, Contract, contract_on


class Excess(Struct, frozen=True):
    """What was invoiced beyond a contract, and the last invoice that stands, to be credited."""

    job: Job
    invoice: str
    amount: Money

    def words(self, currency: Currency, *, with_command: bool = True) -> str:
        """How much it is, and the command that takes it off, else the invoice."""
        amount = currency.show(self.amount)
        command = f"benchledger quote credit {self.invoice} {amount} --why TEXT"
        how = f"takes it off: {command}" if with_command else f"on {self.invoice} takes it off."
        return f"{amount} more was invoiced than {self.job.number} comes to; a credit note {how}"


def excess_on(book: Book, job: Job, day: date) -> Excess | None:
    """What was invoiced beyond what a job came to at the end of a day; None where nothing was.

    A credit note counts whatever its day: what is credited by now needs no other.
    """
    agreed = agreement_of(book, job)
    return excess_of(contract_on(book, job, day)) if agreed and agreed.day <= day else None


def excess_of(contract: Contract) -> Excess | None:
    """What was invoiced beyond a contract; None where nothing was."""
    excess = contract.invoiced.asked - contract.whole.asked
    if excess <= ZERO or not contract.standing:
        return None
    return Excess(contract.job, contract.standing[-1].row.number, excess)


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
    excess = excess_of(contract)
    return excess.words(contract.currency) if excess else ""

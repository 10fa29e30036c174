"""The work of others on jobs at hand: how long it takes, and whether its price is in."""

from collections.abc import Iterable

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.jobs.answers import to_give_out
from ledger.measures.money import Money


class OthersWork(Struct, frozen=True):
    """What others do for a job: at what price, in how many days; `is_quoted` once they said it."""

    job: str
    name: str
    amount: Money
    lead_days: int
    is_quoted: bool

    @property
    def words(self) -> str:
        """What is to be seen to: ask its price, and give it out in time."""
        days = f" takes {self.lead_days} days" if self.lead_days else ""
        price = "" if self.is_quoted else " has no price of theirs yet"
        return f"{self.job}: {self.name}{' and'.join(filter(None, (days, price)))}."


def others_work(book: Book, under_way: Iterable[Job]) -> tuple[OthersWork, ...]:
    """The work of others that takes days or has no price yet and is still to come, by job."""
    return tuple(
        OthersWork(job.number, line.name, line.amount, line.lead_days, line.is_quoted)
        for job in under_way
        for line in to_give_out(book, job)
        if line.lead_days or not line.is_quoted
    )

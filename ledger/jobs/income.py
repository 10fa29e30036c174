"""Income of a build beside its commission: dated, of a stream, and welcome after the job closed."""

from datetime import date

from ledger.book import Book, require_open_day, require_open_job
from ledger.book.tables.ground import Job
from ledger.book.tables.income import Income, Spoiled
from ledger.errors import BadValue
from ledger.measures.money import Money

STREAMS = ("sponsor fee", "plans", "affiliate", "ads", "tips", "teaching", "other")


def add_income(
    book: Book,
    job: Job,
    stream: str,
    gross: Money,
    *,
    fee: Money | None = None,
    words: str = "",
    day: date | None = None,
) -> Income:
    """Post what a build brought; `fee` is what a store or network kept of it.

    Raises:
        BadValue: no such stream, or a fee larger than what came in.
        NotAllowed: the day lies in the future or in a closed month.
    """
    chosen = find_stream(stream)
    kept = fee or Money(0)
    if kept < Money(0) or kept > abs(gross):
        raise BadValue("The fee is 0 or more, and not more than what came in.")
    when = require_open_day(book, day or book.today)
    with book.entry("job income", f"{job.number} {chosen} {book.currency.show(gross)}"):
        return book.post(
            Income(job=job.key, day=when, stream=chosen, words=words, gross=gross, fee=kept)
        )


def find_stream(text: str) -> str:
    """The stream of that name or beginning.

    Raises:
        BadValue: there is none.
    """
    word = text.strip().casefold()
    near = [stream for stream in STREAMS if word and stream.startswith(word)]
    if len(near) != 1:
        raise BadValue(f"“{text}” is not a stream of income; there is: {', '.join(STREAMS)}.")
    return near[0]


def incomes(book: Book, job: Job) -> list[Income]:
    """The income of a job beside its commission, in the order it was posted."""
    return book.rows(Income, job=job.key)


def add_spoiled(
    book: Book, job: Job, amount: Money, words: str, *, part: str = "", day: date | None = None
) -> Spoiled:
    """Note material lost in rework: it is in the material's cost already, and told apart.

    Raises:
        BadValue: a negative amount.
        NotAllowed: the day lies in the future or in a closed month, or the job is over.
    """
    if amount < Money(0):
        raise BadValue("Material lost in rework costs 0 or more.")
    require_open_job(book, job.key)
    when = require_open_day(book, day or book.today)
    with book.entry("job spoiled", f"{job.number} {words} {book.currency.show(amount)}"):
        return book.post(Spoiled(job=job.key, day=when, part=part, words=words, amount=amount))


def spoiled(book: Book, job: Job) -> list[Spoiled]:
    """The material lost in rework on a job."""
    return book.rows(Spoiled, job=job.key)

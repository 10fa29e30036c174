"""How a job stands to sales tax: a piece that is sold, or an improvement of real property.

A piece fixed to a building may be an improvement: its maker pays tax on the material and charges
none to the client. Which it is, local law decides; the owner's answer is kept as a dated row. A job
without an answer stands as its shop does. Quotes that were sent keep what they said.
"""

from datetime import date
from fractions import Fraction

from ledger.book import Book, require_open_day, require_open_job
from ledger.book.tables.ground import Job
from ledger.book.tables.jobs import Agreement
from ledger.book.tables.tax import JobTax
from ledger.errors import BadValue, NotAllowed
from ledger.measures.money import Money
from ledger.stock.use_tax import (
    IMPROVEMENT,
    TAXABLE,
    answer_of,
    catch_up,
    improvement_of,
    release,
    use_tax_of,
)

ANSWERS = (TAXABLE, IMPROVEMENT)
_UNTAXED = frozenset({"exempt", IMPROVEMENT})


def standing_of(book: Book, job: Job) -> str:
    """How a job's quotes stand to tax: as the shop does, or as an improvement."""
    if improvement_of(book, job.key) is not None:
        return IMPROVEMENT
    return str(book.settings.tax_standing)


def is_untaxed(standing: str) -> bool:
    """Whether clients are asked for no tax under a standing."""
    return standing in _UNTAXED


def is_agreed_untaxed(book: Book, job: Job) -> bool:
    """Whether no tax comes on a job's price: as it was agreed, else as the job stands now."""
    agreed = book.last(Agreement, job=job.key)
    return is_untaxed(agreed.tax_standing if agreed else standing_of(book, job))


def before_tax(book: Book, job: Job) -> str:
    """What stands behind a price of a job on which tax comes; nothing where none does."""
    return "" if is_agreed_untaxed(book, job) else " before tax"


def tax_rate_of(book: Book, job: Job) -> Fraction:
    """The rate of the tax that a job's client is asked for; 0 where none is."""
    return Fraction(0 if is_untaxed(standing_of(book, job)) else book.settings.tax_rate)


def is_answered(book: Book, job: Job) -> bool:
    """Whether there is nothing to answer: it was answered, or the shop charges no sales tax."""
    return book.settings.tax_standing != "sales_tax" or answer_of(book, job.key) is not None


def set_standing(
    book: Book, job: Job, text: str, words: str = "", *, day: date | None = None
) -> Money:
    """Post how a job stands to sales tax from now on; give back the use tax that it owes.

    What it took before is caught up with: as an improvement it owes use tax on material bought for
    resale, as a taxable piece it owes none any more.

    Raises:
        BadValue: neither taxable nor improvement.
        NotAllowed: the shop charges no sales tax, the job is a past one or over, it stands so
            already, or the day lies ahead or in a closed month.
    """
    standing = text.strip().casefold()
    if standing not in ANSWERS:
        raise BadValue(
            f"“{text}” is not an answer; a job is {' or '.join(ANSWERS)}. A buyer who pays no tax"
            " is asked for none part by part, each by its name on the quote:"
            f' benchledger quote draft {job.number} --taxed "NAME=no"'
        )
    shop = book.settings.tax_standing
    if shop != "sales_tax":
        raise NotAllowed(
            f"The shop stands to tax as “{shop}”, so its jobs do; a job of its own standing is"
            " for shops that charge sales tax."
        )
    if job.kind == "past":
        raise NotAllowed(f"{job.number} is a past job; no tax is reckoned on it.")
    require_open_job(book, job.key)
    when = require_open_day(book, day or book.today)
    before = answer_of(book, job.key)
    if before is not None and before.standing == standing:
        raise NotAllowed(f"{job.number} is {standing} since {before.day} already.")
    with book.entry("job tax", f"{job.number} {standing} {words.strip()}".strip()):
        answer = book.post(JobTax(job=job.key, day=when, standing=standing, words=words.strip()))
        if standing == IMPROVEMENT:
            catch_up(book, answer)
        else:
            release(book, answer)
    return use_tax_of(book, job.key)

"""Income of a build beside its commission: dated, of a stream, and welcome after the job closed."""

from collections.abc import Mapping, Sequence
from datetime import date

from msgspec import Struct, field

from ledger.book import Book, require_open_day, require_open_job
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job
from ledger.book.tables.income import Income, PlanSale, Spoiled
from ledger.designs.build import build
from ledger.designs.store import design_of
from ledger.errors import BadValue
from ledger.measures.money import Money

PLANS = "plans"
STREAMS = ("sponsor fee", PLANS, "affiliate", "ads", "tips", "teaching", "other")


class PlansSold(Struct, frozen=True):
    """To which orders plans were sold, of which version, and for which sizes if they are known."""

    version: DesignVersion
    orders: Sequence[str]
    sizes: Mapping[str, str] = field(default_factory=dict)


def add_income(
    book: Book,
    job: Job,
    stream: str,
    gross: Money,
    *,
    fee: Money | None = None,
    words: str = "",
    day: date | None = None,
    sold: PlansSold | None = None,
) -> Income:
    """Post what a build brought; `fee` is what a store or network kept of it.

    Raises:
        BadValue: no such stream, a fee larger than what came in, or orders that cannot be noted.
        NotAllowed: the day lies in the future or in a closed month.
    """
    chosen = find_stream(stream)
    kept = fee or Money(0)
    if kept < Money(0) or kept > abs(gross):
        raise BadValue("The fee is 0 or more, and not more than what came in.")
    when = require_open_day(book, day or book.today)
    if sold is not None:
        _require_noted_once(book, chosen, sold)
    with book.entry("job income", f"{job.number} {chosen} {book.currency.show(gross)}"):
        row = book.post(
            Income(job=job.key, day=when, stream=chosen, words=words, gross=gross, fee=kept)
        )
        if sold is not None:
            _note_orders(book, row, sold)
        return row


def _note_orders(book: Book, income: Income, sold: PlansSold) -> None:
    sizes = "; ".join(f"{name}={value}" for name, value in sorted(sold.sizes.items()))
    for order in sold.orders:
        book.post(
            PlanSale(
                income=income.key,
                design_version=sold.version.key,
                reference=order.strip(),
                sizes=sizes,
            )
        )


def _require_noted_once(book: Book, stream: str, sold: PlansSold) -> None:
    """Refuse orders of other streams, noted before, or with sizes that the design does not have."""
    if stream != PLANS:
        raise BadValue(f"Orders are noted with plans that were sold, not with {stream}.")
    noted = {row.reference.casefold() for row in book.rows(PlanSale)}
    for order in sold.orders:
        if not order.strip():
            raise BadValue("An order has a reference; write it as the store does.")
        if order.strip().casefold() in noted:
            raise BadValue(f"The order {order.strip()} is noted already.")
        noted.add(order.strip().casefold())
    build(design_of(sold.version), sold.sizes)


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

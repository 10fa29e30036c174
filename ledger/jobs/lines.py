"""The typed lines of a job: work, material used, the work of others; and a price in one sum.

A job that has lines or an agreed total and no design is a work order: a repair, a refinishing, a
service call, a day on site. Its lines feed the same hours and costs as a design does, so price,
quote, close-out and invoice know no difference. A line is taken back by a later one that names it.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.progress import fewer_minutes
from ledger.book.tables.counts import JobCount, JobLine, JobTotal
from ledger.book.tables.ground import Job, JobBasis
from ledger.book.tables.operations import Operation
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.jobs import SHUT, state_of
from ledger.labor.standards import like, staffed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock import documents

WORK, USE, OUTSIDE = "work", "use", documents.OUTSIDE
"""Kinds of lines: the shop's own work, material, what others do; their bills are called alike."""

KIND_WORDS = {WORK: "work", USE: "material", OUTSIDE: "others"}
"""How a list of lines calls each kind."""

HOURLY = frozenset({"hour", "person-hr"})
"""Units of operations that are counted in hours: a duration typed for one is its count."""

ADMIN, OFFICE = "service_jobs", "jobs"
"""Drivers of the admin of a work order, and of a piece that is built."""


class NumberedLine(Struct, frozen=True):
    """A line under the number by which it is taken back, and whether that was done."""

    number: int
    row: JobLine
    is_taken_back: bool


def numbered_lines(book: Book, job: Job) -> list[NumberedLine]:
    """All lines of a job as they were typed, those taken back too."""
    rows = book.rows(JobLine, job=job.key)
    gone = {row.reverses for row in rows}
    typed = [row for row in rows if row.reverses is None]
    return [NumberedLine(at, row, row.key in gone) for at, row in enumerate(typed, 1)]


def lines_of(book: Book, job: Job, kind: str = "") -> list[JobLine]:
    """The lines of a job that stand, of one kind or of all."""
    standing = [line.row for line in numbered_lines(book, job) if not line.is_taken_back]
    return [row for row in standing if kind in ("", row.kind)]


def line_notes(book: Book, job: Job) -> tuple[str, ...]:
    """What the lines of a job are about, for those that say it."""
    return tuple(f"{line.name}: {line.words}" for line in lines_of(book, job) if line.words)


def has_design(book: Book, job: Job) -> bool:
    """Whether a job is made of a design or a parts list."""
    return book.last(JobBasis, job=job.key) is not None


def is_work_order(book: Book, job: Job) -> bool:
    """Whether a job has typed lines or an agreed total instead of a design."""
    if has_design(book, job):
        return False
    return bool(lines_of(book, job)) or total_of(book, job) is not None


def is_known(book: Book, job: Job) -> bool:
    """Whether it is known what a job is made of, so that its needs and hours can be counted."""
    return has_design(book, job) or is_work_order(book, job)


def add_work(
    book: Book, job: Job, operation: Operation, *, count: Quantity | None = None,
    minutes: int = 0, words: str = "",
) -> JobLine:  # fmt: skip
    """Post work: how many of the operation's unit, or how long.

    A duration of an operation that is counted in hours is its count.

    Raises:
        BadValue: neither or nothing of it; or the operation has a count where minutes are said.
        NotAllowed: the job is over, or has a design, whose operations are counted instead.
    """
    code, number = operation.code, job.number
    if has_design(book, job):
        raise NotAllowed(
            f"{number} has a design, which counts its work; count one operation by hand:"
            f" benchledger job count {number} {code} NUMBER"
        )
    if minutes and operation.unit in HOURLY:
        count, minutes = Quantity.of(Fraction(minutes, 60)), 0
    quantity = count or Quantity(0)
    if not quantity and not minutes:
        raise BadValue(
            f"Say how much of {code} {operation.name}: a number of {operation.unit}, or a duration"
            " such as 2h30."
        )
    for line in lines_of(book, job, WORK):
        if line.name == code and bool(line.minutes) != bool(minutes):
            has, other = ("hours", "a count") if line.minutes else ("a count", "hours")
            raise BadValue(
                f"{code} {operation.name} has {has} on {number} already, and {other} beside would"
                f" count it twice. See: benchledger job lines {number}"
            )
    return _post(book, job, WORK, code, quantity=quantity, minutes=minutes, words=words)


def add_use(book: Book, job: Job, material: str, quantity: Quantity, words: str = "") -> JobLine:
    """Post material used, in its stock unit; it is charged as typed, without an allowance.

    Raises:
        BadValue: nothing of it.
        NotAllowed: the job is over.
    """
    if not quantity:
        raise BadValue(f"Say how much of {material} is used, for example {material} 2.")
    return _post(book, job, USE, material, quantity=quantity, words=words)


def add_outside(
    book: Book, job: Job, name: str, amount: Money, *, markup: Fraction | None = None,
    lead_days: int = 0, is_quoted: bool = False, words: str = "",
) -> tuple[JobLine, JobLine | None]:  # fmt: skip
    """Post the work of others; a line of the same name gives way, and is given back beside.

    Markup and days that are not said stay those of the line before.

    Raises:
        BadValue: it has no name, or costs nothing.
        NotAllowed: the job is over.
    """
    if not name.strip() or amount <= Money(0):
        raise BadValue("Work of others has a price and a name: job line JOB outside 120 caning")
    sought = name.strip().casefold()
    alike = [row for row in lines_of(book, job, OUTSIDE) if row.name.casefold() == sought]
    before = alike[-1] if alike else None
    with book.entry("job line", f"{job.number} outside {name.strip()}"):
        if before is not None:
            markup = before.markup if markup is None else markup
            lead_days = lead_days or before.lead_days
            _take_back(book, job, before)
        row = _post(
            book, job, OUTSIDE, name.strip(), amount=amount, markup=markup, lead_days=lead_days,
            is_quoted=is_quoted, words=words,
        )  # fmt: skip
    return row, before


def copy_lines(book: Book, job: Job, copy: Job) -> None:
    """Post the lines of a job that stand for another one; prices of others are to be asked anew."""
    for row in lines_of(book, job):
        _post(
            book, copy, row.kind, row.name, quantity=row.quantity, minutes=row.minutes,
            amount=row.amount, markup=row.markup, lead_days=row.lead_days, words=row.words,
        )  # fmt: skip


def take_back(book: Book, job: Job, number: int) -> JobLine:
    """Take a line back by its number; both rows stay, and neither counts.

    Raises:
        BadValue: there is no such line, or it was taken back already.
        NotAllowed: the job is over.
    """
    for line in numbered_lines(book, job):
        if line.number == number and not line.is_taken_back:
            return _take_back(book, job, line.row)
    raise BadValue(
        f"{job.number} has no line {number} that stands; see: benchledger job lines {job.number}"
    )


def _take_back(book: Book, job: Job, line: JobLine) -> JobLine:
    _post(book, job, line.kind, line.name, reverses=line.key)
    return line


def _post(book: Book, job: Job, kind: str, name: str, **columns: Any) -> JobLine:
    state = state_of(book, job)
    if state in SHUT:
        raise NotAllowed(
            f"{job.number} is {state}; its lines stay as they are. Open it again first:"
            f" benchledger job reopen {job.number} --why TEXT"
        )
    with book.entry("job line", f"{job.number} {kind} {name}"):
        return book.post(JobLine(job=job.key, kind=kind, name=name, **columns))


def set_total(
    book: Book, job: Job, price: Money, minutes: int = 0, *, with_tax: bool = False
) -> JobTotal:
    """Post a price agreed in one sum, before tax or with it, and the minutes guessed for the job.

    Raises:
        BadValue: the price is not more than 0.
        NotAllowed: the job is over, or what it is sold for was agreed already.
    """
    from ledger.jobs.agreement import agreement_of

    if price <= Money(0):
        raise BadValue("An agreed price is more than 0.")
    state, agreed = state_of(book, job), agreement_of(book, job)
    if state in SHUT or agreed is not None:
        stands = state if agreed is None else f"agreed at {book.currency.show(agreed.price)}"
        raise NotAllowed(
            f"{job.number} is {stands}. What changes now is a change order:"
            f" benchledger job change {job.number} WORDS --price AMOUNT"
        )
    words = f"{job.number} price {book.currency.show(price)}{' with tax' if with_tax else ''}"
    with book.entry("job set", words):
        return book.post(JobTotal(job=job.key, price=price, minutes=minutes, with_tax=with_tax))


class AgreedTotal(Struct, frozen=True):
    """A price agreed in one sum: what of it is price and what tax, and the minutes guessed.

    `tax` is None where the sum was said before tax, which comes on top of it.
    """

    price: Money
    tax: Money | None
    minutes: int

    @property
    def whole(self) -> Money:
        """The sum as it was said."""
        return self.price + (self.tax or Money(0))


def total_of(book: Book, job: Job) -> AgreedTotal | None:
    """The price agreed for a job in one sum, or None.

    What was said with tax is divided at the rate in force: the price is rounded once, and the tax
    is the rest, so that both together are the sum that was said. Once it is agreed it is divided as
    the agreement says, whose quote may have a part without tax. Its minutes are those still agreed:
    without what approved changes took off.
    """
    row = book.last(JobTotal, job=job.key)
    if row is None:
        return None
    from ledger.jobs.agreement import agreement_of  # few jobs are sold in one sum

    agreed = agreement_of(book, job) if row.with_tax else None
    minutes = row.minutes and max(row.minutes - fewer_minutes(book, job.key), 0)
    if agreed is not None and agreed.price + agreed.tax == row.price:
        return AgreedTotal(agreed.price, agreed.tax, minutes)
    return divided_sum(book, job, row.price, minutes, with_tax=row.with_tax)


def divided_sum(
    book: Book, job: Job, amount: Money, minutes: int = 0, *, with_tax: bool
) -> AgreedTotal:
    """A sum as it was said, before tax or with it, divided into price and tax."""
    if not with_tax:
        return AgreedTotal(amount, None, minutes)
    from ledger.jobs.tax import tax_rate_of  # few sums are said with tax

    price = amount.times(1 / (1 + tax_rate_of(book, job)))
    return AgreedTotal(price, amount - price, minutes)


def guessed_minutes(book: Book, job: Job) -> int:
    """The minutes guessed with a price in one sum, before changes; zero where none are."""
    row = book.last(JobTotal, job=job.key)
    return row.minutes if row else 0


def line_counts(book: Book, job: Job) -> dict[str, JobCount]:
    """The work of a job's lines by operation, as counts made by hand; hours where no count is."""
    counts: dict[str, JobCount] = {}
    for line in lines_of(book, job, WORK):
        more = Quantity.of(Fraction(line.minutes, 60)) if line.minutes else line.quantity
        before = counts.get(line.name)
        words = ", ".join(filter(None, (before.words if before else "", line.words)))
        quantity = more + before.driver if before else more
        counts[line.name] = JobCount(
            job=job.key, operation=line.name, driver=quantity, occasion="planned", words=words
        )
    return counts


def timed_operations(book: Book, job: Job) -> frozenset[str]:
    """The operations of a job that have hours typed and no count: they teach nothing."""
    return frozenset(line.name for line in lines_of(book, job, WORK) if line.minutes)


def operations_of(book: Book, job: Job) -> Mapping[str, Operation]:
    """The standards as a job is estimated by: an operation of typed hours takes just those."""
    timed = timed_operations(book, job)
    return {
        code: like(row, unit="hour", minutes=Decimal(60), setup=Decimal(0))
        if code in timed
        else row
        for code, row in staffed(book).items()
    }


def lead_days_of(lines: Iterable[JobLine]) -> int:
    """The days until the last of the work of others is back; they work side by side."""
    return max((line.lead_days for line in lines), default=0)

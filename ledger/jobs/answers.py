"""Answers to the list of forgotten costs, planned and actual costs, and counts made by hand."""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book, require_open_day, require_open_job
from ledger.book.questions.stock import JobUse
from ledger.book.tables.answers import JobAnswer, JobCost
from ledger.book.tables.counts import JobCount, JobLine
from ledger.book.tables.ground import Job
from ledger.book.tables.operations import Operation
from ledger.errors import BadValue, NotAllowed, NotFound
from ledger.jobs.lines import OUTSIDE, lines_of
from ledger.labor.standards import find_operation, standards
from ledger.measures.driving import driving, is_distance
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.stock.worth import job_material

DRIVEN = "miles"
"""The kind of a distance driven as it is kept, counted in miles or kilometers as the book is."""

FREIGHT = "freight"
"""The kind of a planned cost, and the line of the list, that is planned with the purchases."""

COUNTED_ONCE = frozenset({DRIVEN, FREIGHT})
"""Kinds of planned cost that are lines of the list too: an answer or a cost says them, not both."""

FEW = 20
"""Below so many units of money a whole answer on a line of hours may have been meant as a count."""

FEE = "fee"
"""The kind of what a bank or a card company kept of a payment."""

COST_KINDS = (DRIVEN, OUTSIDE, FEE, FREIGHT, "other")

NO_GOODS = frozenset({FREIGHT, OUTSIDE})
"""Categories of a receipt that are no goods: what brought them, and the work of others."""

OUTSIDE_WORK, FEES = "outside work", "fees"
"""How the work of others and what was kept of payments are called in an account."""


def kind_names(units: str) -> dict[str, str]:
    """How an account calls the kinds of cost that it tells apart, of a book of these units.

    >>> kind_names("mm")
    {'miles': 'km', 'outside': 'outside work', 'fee': 'fees'}
    """
    return {DRIVEN: driving(units).many, OUTSIDE: OUTSIDE_WORK, FEE: FEES}


def answer(book: Book, job: Job, item: str, amount: Money, words: str = "") -> str:
    """Answer one line of the list, 0 allowed; give back the line's own name.

    Raises:
        NotFound: no line of the list is called so.
        BadValue: a negative amount.
        NotAllowed: it is freight or driving, which is planned as a cost already, or sales tax that
            the prices of the job's material have in them, or a card fee that its price has.
    """
    from ledger.costing.forgotten import find_item  # it brings all of a cost sheet along

    line = find_item(item, book.units)
    if amount < Money(0):
        raise BadValue(f"“{line.item}” may cost 0 or more; a cost below zero is none.")
    if amount:
        _require_not_in_prices(book, job, line.item)
    kind = DRIVEN if line.item == driving(book.units).many else line.item
    planned = total(_planned(book, job, kind)) if kind in COUNTED_ONCE else Money(0)
    if amount and planned:
        raise NotAllowed(
            f"{line.item.capitalize()} of {job.number}: {book.currency.show(planned)} is planned"
            " already, by job add-cost; it counts once. Answer it with 0 and add to it there, or"
            " undo that entry first."
        )
    with book.entry("job answer", f"{job.number} {line.item} {book.currency.show(amount)}"):
        book.post(JobAnswer(job=job.key, item=line.item, amount=amount, words=words))
    return line.item


def _require_not_in_prices(book: Book, job: Job, item: str) -> None:
    from ledger.costing.buildup import CARD_FEE  # these bring all of a cost sheet along
    from ledger.jobs.other_costs import SALES_TAX
    from ledger.jobs.price_rules import rules_of
    from ledger.jobs.pricing import is_tax_priced

    what, more = "", ""
    if item == SALES_TAX and is_tax_priced(book, job):
        what, more = "tax on its material", "Tax"
    elif item == CARD_FEE and rules_of(book, Fraction(0)).has_card_fee:
        what, more = "shop's card fee", "A fee"
    if what:
        raise NotAllowed(
            f"The price of {job.number} has the {what} in it already; it counts once."
            f" {more} beyond that is planned as a cost: benchledger job add-cost"
            f' {job.number} "{item}" 1 AMOUNT'
        )


def count_doubt(book: Book, job: Job, typed: Iterable[tuple[str, Money]]) -> str:
    """What to say of small whole amounts on lines of hours, which may have been meant as a number.

    Nothing where there is none.
    """
    from ledger.costing.forgotten import find_item

    codes = {row.driver: code for code, row in standards(book).items() if row.driver}
    amounts, counts = [], []
    for item, amount in typed:
        line, number = find_item(item, book.units), book.currency.decimal(amount)
        code = next((codes[driver] for driver in line.drivers if driver in codes), "")
        if amount and code and number < FEW and number == int(number):
            amounts.append(f"{book.currency.show(amount)} for {line.item}")
            counts.append(f"{code}={int(number)}")
    if not counts:
        return ""
    return (
        f"An answer is money, and books no hours: {', '.join(amounts)}. If so many were meant,"
        f" answer 0, then: benchledger job count {job.number} {' '.join(counts)}"
    )


def answers_of(book: Book, job: Job) -> dict[str, tuple[Money, str]]:
    """The answers of a job by line, the last one counting."""
    return {row.item: (row.amount, row.words) for row in book.rows(JobAnswer, job=job.key)}


def find_cost_kind(book: Book, text: str) -> tuple[str, str]:
    """The kind of cost that a word means and how it is called, distances in the unit of the book.

    A line of the list of forgotten costs is another cost, called as the list calls it.

    Raises:
        BadValue: there is no such kind, or it is the other unit.
    """
    from ledger.costing.forgotten import forgettable  # it brings all of a cost sheet along

    word = text.strip().casefold()
    if is_distance(word, book.units):
        return DRIVEN, driving(book.units).many
    if word in COST_KINDS:
        return word, word
    if any(line.item == word for line in forgettable(book.units)):
        return "other", word
    names = ", ".join((driving(book.units).many, *COST_KINDS[1:]))
    raise BadValue(
        f"“{text}” is not a kind of cost; there is: {names}, and each line of job answer."
    )


def rate_driven(book: Book) -> Decimal:
    """What a mile or kilometer costs the shop.

    Raises:
        NotAllowed: the owner has not said it yet.
    """
    unit = driving(book.units)
    rate: Decimal | None = book.setting(unit.rate)
    if rate is None:
        raise NotAllowed(
            f"What a {unit.one} costs the shop is not set: benchledger shop set"
            f" {unit.rate}=AMOUNT. Or write the cost of one behind the {unit.many}."
        )
    return rate


def add_cost(
    book: Book,
    job: Job,
    kind: str,
    words: str,
    quantity: Quantity,
    unit_amount: Decimal,
    *,
    actual: bool = False,
    is_fee_of_payment: bool = False,
    day: date | None = None,
) -> JobCost:
    """Post miles, work bought outside, a fee or another cost of a job: planned, or as it came.

    Raises:
        BadValue: there is no such kind of cost.
        NotAllowed: the day lies in the future or in a closed month, or the job is over (the fee of
            a payment belongs to it all the same); freight as it came, which is in the cost of the
            goods that it brought; freight or driving planned that is answered already.
    """
    if kind not in COST_KINDS:
        raise BadValue(f"“{kind}” is not a kind of cost; there is: {', '.join(COST_KINDS)}.")
    if kind == FREIGHT and actual:
        raise NotAllowed(
            "Freight is entered with the goods it brought, and is in their cost:"
            " benchledger receipt add CODE QTY PRICE --freight AMOUNT"
        )
    if not actual:
        _require_not_answered(book, job, kind)
    if actual and not is_fee_of_payment:
        require_open_job(book, job.key)
    amount = book.currency.money(unit_amount * quantity.decimal)
    when = require_open_day(book, day or book.today)
    named = driving(book.units).many if kind == DRIVEN else kind
    with book.entry("job add-cost", " ".join(dict.fromkeys((job.number, named, words)))):
        row = JobCost(
            job=job.key,
            occasion="actual" if actual else "planned",
            kind=kind,
            words=words,
            quantity=quantity,
            unit_amount=unit_amount,
            amount=amount,
            day=when,
        )
        return book.post(row)


def is_noted_twice(book: Book, row: JobCost) -> bool:
    """Whether the same cost of that day stands on its job already, planned or as it came."""
    alike = book.rows(JobCost, job=row.job, occasion=row.occasion, kind=row.kind, words=row.words)
    return sum((one.day, one.amount) == (row.day, row.amount) for one in alike) > 1


def cost_words(cost: JobCost, units: str) -> tuple[str, str]:
    """The name of a cost, a distance driven by the unit of the book, and what it says further."""
    name = driving(units).many if cost.kind == DRIVEN else cost.kind
    return name, "" if cost.words == name else cost.words


def planned_freight(book: Book, job: Job) -> Money | None:
    """The freight planned for what is bought for a job; None where only the shop's share counts.

    It was answered or planned as a cost; a book of an earlier release may have both.
    """
    rows, answers = _planned(book, job, FREIGHT), answers_of(book, job)
    answered = answers.get(FREIGHT, (Money(0), ""))[0]
    return total(rows) + answered if rows or FREIGHT in answers else None


def answered_once(book: Book, job: Job, kind: str) -> Money:
    """What the list answers for a kind of planned cost that counts once; 0 for other kinds."""
    item = driving(book.units).many if kind == DRIVEN else kind
    answered = answers_of(book, job).get(item, (Money(0), ""))[0]
    return answered if kind in COUNTED_ONCE else Money(0)


def _planned(book: Book, job: Job, kind: str) -> list[Money]:
    return [row.amount for row in costs_of(book, job, "planned") if row.kind == kind]


def _require_not_answered(book: Book, job: Job, kind: str) -> None:
    if answered := answered_once(book, job, kind):
        item = driving(book.units).many if kind == DRIVEN else kind
        raise NotAllowed(
            f"{item.capitalize()} of {job.number}: {book.currency.show(answered)} is answered"
            " already; it counts once. Answer it with 0 to plan it as a cost:"
            f" benchledger job answer {job.number} {item} 0"
        )


def costs_of(book: Book, job: Job, occasion: str) -> list[JobCost]:
    """The planned or the actual costs of a job, in the order they were posted."""
    return book.rows(JobCost, job=job.key, occasion=occasion)


def to_give_out(book: Book, job: Job) -> Sequence[JobLine]:
    """The work of others on a job, until as many of its bills are noted as it has lines.

    A line is over, too, once the job has goods of its name from a receipt; a bill of others on a
    receipt counts as noted.
    """
    lines = lines_of(book, job, OUTSIDE)
    if not lines:
        return ()
    used = job_material(book, job.key)
    bills = [use.words.casefold() for use in used if is_bill_of_others(use)]
    bought, names = goods_named(used).union(bills), {line.name.casefold() for line in lines}
    left = [line for line in lines if line.name.casefold() not in bought]
    came = sum(row.kind == OUTSIDE for row in costs_of(book, job, "actual"))
    came += sum(words not in names for words in bills)
    return left if came < len(left) else ()


def given_out(book: Book, job: Job) -> Sequence[JobLine]:
    """The work of others on a job whose bills came."""
    to_come = {line.key for line in to_give_out(book, job)}
    return [line for line in lines_of(book, job, OUTSIDE) if line.key not in to_come]


def goods_named(used: Iterable[JobUse]) -> frozenset[str]:
    """What a job took of goods without a code, by the words of their receipt.

    Goods called as a planned line of the work of others are its bill.
    """
    return frozenset(
        use.words.casefold()
        for use in used
        if use.material is None and use.full and not is_bill_of_others(use)
    )


def is_bill_of_others(use: JobUse) -> bool:
    """Whether what a job has of a receipt is the work of others, and no material."""
    return use.category == OUTSIDE and bool(use.full)


def is_bill_for(use: JobUse, amount: Money) -> bool:
    """Whether what a job has of a receipt may be the work of others that was noted at an amount.

    Who notes it may take the sum before tax, with it, or what stays a cost.
    """
    return is_bill_of_others(use) and amount in (use.full, use.net, use.paid)


def bills_of_others(used: Iterable[JobUse]) -> list[Money]:
    """What the bills of others came to that stand on receipts, freight and tax in them."""
    return [use.full for use in used if is_bill_of_others(use)]


def find_counted(book: Book, text: str) -> list[Operation]:
    """The operation of that name, or all operations that a count of that name times.

    Raises:
        NotFound: neither an operation nor a count is called so.
        Ambiguous: several operations are.
    """
    try:
        return [find_operation(book, text)]
    except NotFound:
        driver = text.strip().casefold().replace(" ", "_")
        counted = [row for row in standards(book).values() if row.driver == driver and driver]
        if not counted:
            raise
        return counted


def set_count(
    book: Book, job: Job, operation: str, driver: Quantity, words: str = "", *, built: bool = False
) -> None:
    """Post a driver counted by hand for one operation of a job.

    A planned one replaces the derived count of the estimate; a built one is what the standards
    learn from when the job is closed.
    """
    occasion = "built" if built else "planned"
    with book.entry("job count", f"{job.number} {operation} {driver.decimal} {occasion}"):
        book.post(
            JobCount(
                job=job.key, operation=operation, driver=driver, occasion=occasion, words=words
            )
        )


def counts_of(book: Book, job: Job, occasion: str = "planned") -> dict[str, JobCount]:
    """The counts made by hand for a job, by operation, the last one counting."""
    return _by_operation(book.rows(JobCount, job=job.key, occasion=occasion))


def _by_operation(rows: Iterable[JobCount]) -> dict[str, JobCount]:
    return {row.operation: row for row in rows}

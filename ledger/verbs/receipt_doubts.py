"""What may be a slip in a receipt that was just entered: said, never refused."""

from collections.abc import Iterable, Iterator

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.receipts import Receipt
from ledger.book.tables.stock import Movement
from ledger.jobs.answers import costs_of, is_bill_for
from ledger.jobs.lines import OUTSIDE
from ledger.measures.grouped import grouped
from ledger.measures.money import Money
from ledger.measures.spoken import as_typed, by_mark, two_readings
from ledger.stock.receipts import PostedReceipt, supplier_name
from ledger.stock.worth import job_material
from ledger.verbs.stock import moved_of, over_estimate


def doubts(book: Book, received: PostedReceipt, quantities: Iterable[str]) -> tuple[str, ...]:
    """Sentences on a paper or bill entered twice, a number by the thousand, more than is needed.

    `quantities` are those of its lines, as they were typed.
    """
    return (
        *_twice(book, received.receipt),
        *(words for typed in quantities for words in _by_thousands(book, typed.strip())),
        *_more_than_needed(book, received.receipt),
        *_noted_already(book, received),
    )


def _twice(book: Book, receipt: Receipt) -> Iterator[str]:
    """Another receipt of that day, supplier, kind and sum that no document number tells apart."""
    rows = book.rows(Receipt, supplier=receipt.supplier, kind=receipt.kind)
    for other in rows:
        is_alike = (other.day, other.total) == (receipt.day, receipt.total) and receipt.total
        if other.key != receipt.key and is_alike and not (other.document and receipt.document):
            total = book.currency.show(Money(abs(receipt.total.minor)))
            yield (
                f"{other.number} is of {supplier_name(book, other)}, {other.day} and {total} too."
                " If it is the same paper, take this one back: benchledger undo"
            )


def _by_thousands(book: Book, typed: str) -> Iterator[str]:
    """Where the screen writes decimals with a point, a point that was read as one of thousands."""
    mark, readings = book.currency.decimal_mark, two_readings(typed)
    if readings is None or mark == book.currency.written or by_mark(typed, mark) != readings[0]:
        return
    yield (
        f"{typed} was read as {readings[0]}. Where {readings[1]} is meant, take it back,"
        f" benchledger undo, and type {as_typed(readings[1], mark)}"
    )


def _more_than_needed(book: Book, receipt: Receipt) -> Iterator[str]:
    """What jobs have by now beyond their estimates of the goods that went straight to them."""
    issues = book.rows(Movement, entry=receipt.entry, kind="issue")
    for key, rows in grouped((row for row in issues if row.job), lambda row: row.job).items():
        job = book.row(Job, key) if key else None
        if job is not None:
            for words in over_estimate(book, job, moved_of(book, rows)):
                yield f"{job.number}, {words}"


def _noted_already(book: Book, received: PostedReceipt) -> Iterator[str]:
    """The work of others that stands on a job as a cost already, and may be this bill."""
    bills = {lot.key for lot in received.lots if lot.category == OUTSIDE}
    issues = book.rows(Movement, entry=received.receipt.entry, kind="issue") if bills else []
    for key in dict.fromkeys(row.job for row in issues if row.job and row.lot in bills):
        job = book.row(Job, key)
        noted = costs_of(book, job, "actual") if job is not None else []
        mine = [use for use in job_material(book, key) if use.lot in bills]
        for row in noted:
            if row.kind == OUTSIDE and any(is_bill_for(use, row.amount) for use in mine):
                yield (
                    f"{book.currency.show(row.amount)} of outside work was noted as a cost of the"
                    f" job on {row.day} already. If that is the same bill, it counts twice; take"
                    f" that cost back: benchledger undo {row.entry}"
                )

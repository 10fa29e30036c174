"""What may be a slip in a receipt that was just entered: said, never refused."""

from collections.abc import Iterable, Iterator

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.receipts import Receipt
from ledger.book.tables.stock import Movement
from ledger.measures.grouped import grouped
from ledger.measures.money import Money
from ledger.measures.spoken import as_typed, by_mark, two_readings
from ledger.stock.receipts import PostedReceipt, supplier_name
from ledger.verbs.stock import moved_of, over_estimate


def doubts(book: Book, received: PostedReceipt, quantities: Iterable[str]) -> tuple[str, ...]:
    """Sentences on a paper entered twice, a number read by the thousand, more than a job needs.

    `quantities` are those of its lines, as they were typed.
    """
    return (
        *_twice(book, received.receipt),
        *(words for typed in quantities for words in _by_thousands(book, typed.strip())),
        *_more_than_needed(book, received.receipt),
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

"""Which numbers were ever given: to receipts, jobs and quotes, in force or taken back."""

from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE


class NumberedJob(NamedTuple):
    """A job that has or had a number."""

    number: str
    title: str
    in_force: bool


class NumberedReceipt(NamedTuple):
    """A receipt that has or had a number."""

    number: str
    day: str
    supplier: str
    document: str
    kind: str


def last_receipt_number(book: Book) -> str:
    """The number that was given last; empty where there never was a receipt."""
    rows = book.query("SELECT number FROM receipt WHERE id = (SELECT max(id) FROM receipt)")
    return rows[0].number if rows else ""


_RECEIPTS_NUMBERED = """SELECT r.number, r.day, s.name, r.document, r.kind FROM receipt r
JOIN supplier s ON s.id = r.supplier WHERE r.number = :number AND r.kind <> 'reversal'
ORDER BY r.id"""


def receipts_numbered(book: Book, number: str) -> list[NumberedReceipt]:
    """Every document that was ever entered under a number, reversals left out."""
    return book.query_as(NumberedReceipt, _RECEIPTS_NUMBERED, number=number)


def jobs_numbered(book: Book, number: str) -> list[NumberedJob]:
    """Every job that ever had a number, whatever its case."""
    rows = book.query(f"SELECT number, title, {IN_FORCE} FROM job ORDER BY id")
    sought = number.casefold()
    return [
        NumberedJob(row[0], row[1], bool(row[2])) for row in rows if row[0].casefold() == sought
    ]


def supplier_called(book: Book, name: str) -> int | None:
    """The number of the supplier of that name, whatever its case, in force or taken back."""
    if exact := book.column("SELECT id FROM supplier WHERE name = :name", name=name):
        return int(exact[0])
    sought = name.casefold()
    rows = book.query("SELECT id, name FROM supplier")
    return next((number for number, known in rows if known.casefold() == sought), None)

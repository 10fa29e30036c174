"""Papers that were printed when they were sent: what is kept of them, and whether they come again.

The words stand frozen in the book; of the file its digest is kept. Made again by the same version
it has the same bytes; by another one the words alone can be compared.
"""

from collections.abc import Callable

from msgspec import Struct

from ledger.book import Book
from ledger.book.clients import addressee_of
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import SentInvoice
from ledger.book.tables.jobs import ChangeOrder
from ledger.book.tables.printed import PrintedRecord
from ledger.book.tables.quotes import Quote
from ledger.errors import LedgerError
from ledger.jobs.jobs import client_of
from ledger.measures.fields import made_of
from ledger.papers.change import change_name, change_paper
from ledger.papers.engine import (
    Paper,
    PrintedPaper,
    engine,
    print_paper,
    template_digest,
    words_digest,
)
from ledger.papers.invoice import invoice_paper
from ledger.papers.quote import quote_paper
from ledger.quotes.change_page import read_change
from ledger.quotes.invoice import read_invoice
from ledger.quotes.revisions import offer_of
from ledger.quotes.text import Reader

SAME_BYTES = "same bytes"
OTHER_WORDS = "other words: the client's details were changed or taken out since, or the program"


class PrintCheck(Struct, frozen=True):
    """A paper made again: its name, the digest that was kept, and how the new one compares.

    `quote` is the key of the quote that it is, where it is one.
    """

    name: str
    sha256: str
    quote: int | None
    outcome: str


def keep_print(
    book: Book,
    printed: PrintedPaper,
    *,
    quote: int | None = None,
    invoice: int | None = None,
    change_order: int | None = None,
) -> PrintedRecord:
    """Post what is kept of a paper, inside the entry that sends it; one of the three is its key."""
    return book.post(
        made_of(PrintedRecord, printed, quote=quote, invoice=invoice, change_order=change_order)
    )


def reader_of(book: Book, job: Job, **paper: int) -> Reader:
    """Whom a paper of a job was sent to; of an earlier release, the client as they are now.

    `paper` is the key of the quote, invoice or change_order, by that name.
    """
    return addressee_of(book, **paper) or client_of(book, job)


def prints_again(book: Book) -> list[PrintCheck]:
    """Every paper that was printed when it was sent, made again and compared."""
    return [_checked(book, record) for record in book.rows(PrintedRecord)]


def compare(record: PrintedRecord, paper: Paper, make: Callable[[Paper], PrintedPaper]) -> str:
    """How a paper made again compares with what was kept of it.

    Raises:
        LedgerError: it cannot be laid out on this computer.
    """
    if words_digest(paper) != record.words:
        return OTHER_WORDS
    if make(paper).sha256 == record.sha256:
        return SAME_BYTES
    if record.fallback:
        return "same words, in a font of the computer that wrote it"
    if engine() != record.engine:
        return f"same words, written by another version ({record.engine} then)"
    if template_digest(paper.template) != record.template:
        return "same words, in another layout"
    return "same words, written on another kind of computer"


def _checked(book: Book, record: PrintedRecord) -> PrintCheck:
    name, paper = _paper(book, record)
    try:
        outcome = compare(record, paper, print_paper)
    except LedgerError as refusal:
        outcome = str(refusal)
    return PrintCheck(name, record.sha256, record.quote, outcome)


def _paper(book: Book, record: PrintedRecord) -> tuple[str, Paper]:
    if record.quote is not None:
        quote = _row(book.row(Quote, record.quote))
        reader = reader_of(book, _row(book.row(Job, quote.job)), quote=quote.key)
        return quote.name, quote_paper(offer_of(book, quote), reader, record.size)
    if record.change_order is not None:
        order = _row(book.row(ChangeOrder, record.change_order))
        change, job = read_change(book, order), _row(book.row(Job, order.job))
        reader = reader_of(book, job, change_order=order.key)
        return change_name(change), change_paper(change, reader, record.size)
    invoice = _row(book.row(SentInvoice, record.invoice or 0))
    page = read_invoice(invoice)
    reader = reader_of(book, _row(book.row(Job, invoice.job)), invoice=invoice.key)
    name = page.number or f"Payment request of {page.day}"
    return name, invoice_paper(page, reader, record.size)


def _row[R](row: R | None) -> R:
    """A row that another one refers to: while that stands, so does it."""
    assert row is not None
    return row

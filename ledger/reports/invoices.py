"""The invoices and credit notes of a time, as the accountant reads them: net, taxed part, tax."""

from datetime import date
from typing import NamedTuple

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.measures.money import Money, total


class PaperRow(NamedTuple):
    """One invoice or credit note; `taxed` is the part of its price that tax falls on."""

    number: str
    day: date
    job: str
    kind: str
    corrects: str
    price: Money
    taxed: Money
    tax: Money
    asked: Money


def invoice_journal(
    book: Book, first: date = date.min, last: date = date.max, job: Job | None = None
) -> list[PaperRow]:
    """The invoices and credit notes in force by their days; a payment request is neither.

    One of the first schema does not say on which part its tax falls: there it is the whole price.
    """
    if book.last(InvoiceRow) is None:
        return []
    from ledger.quotes.invoice import REQUEST, papers, read_invoice

    rows = []
    for row in book.rows(InvoiceRow) if job is None else papers(book, job):
        if row.kind == REQUEST or not first <= row.day <= last:
            continue
        page, of = read_invoice(row), book.row(Job, row.job)
        taxed = total(part.base for part in page.taxes if part.rate)
        if page.changes is None and page.tax:
            taxed = page.price
        rows.append(
            PaperRow(
                row.number, row.day, of.number if of else "", page.kind, page.corrects, page.price,
                taxed, page.tax, page.asked,
            )
        )  # fmt: skip
    return sorted(rows, key=lambda paper: paper.day)

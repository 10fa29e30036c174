"""Approved changes that a paper does not ask for: what they come to, and how they are asked for."""

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.quotes.contract import ZERO, contract_on
from ledger.quotes.invoice import REQUEST, Invoice, papers, read_invoice
from ledger.quotes.issuing import is_under_vat


def asked_later(book: Book, job: Job, paper: Invoice) -> str:
    """The changes that stand neither on a paper just written nor on one before; else nothing.

    Payments are asked for in their order, and those of changes come last.
    """
    contract = contract_on(book, job, paper.day)
    if contract.canceled is not None:
        return ""
    is_money_invoiced = is_under_vat(book) or paper.paper == REQUEST  # there no payment is
    asked_for = contract.dues if is_money_invoiced else contract.uninvoiced
    dues = [due for due in asked_for if contract.open_of([due]) > ZERO]
    requests = [read_invoice(row) for row in papers(book, job) if row.kind == REQUEST]
    asked = {line.name for page in (*requests, paper) for line in page.lines}
    orders = {change.name for change in contract.changes}
    left = [d for d in dues if d.source in orders and d.asked > ZERO and d.name not in asked]
    if not left:
        return ""
    show = contract.currency.show
    named = "; ".join(f"{d.name}, {show(d.asked)}{' with tax' if d.tax else ''}" for d in left)
    return (
        f"Not on this paper: {named}. To ask for it now: benchledger quote invoice {job.number}"
        f" --for {left[0].source}. Else it comes in its turn, in the last invoice at the latest."
    )

"""Credit notes: an invoice that was sent is answered, in whole or in part, never taken back.

A credit note names the invoice it corrects and takes price and tax off in the shares in which the
invoice asked for them. What was credited in full can be invoiced anew. A part that is credited
once everything was invoiced lowers the price: nothing is left to ask for it again.
"""

from datetime import date
from fractions import Fraction

from ledger.book import Book, require_open_day
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import InvoicedDue
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import Ask, dues_of
from ledger.jobs.changes import CREDITED, change_price
from ledger.jobs.jobs import state_of
from ledger.jobs.payments import balance
from ledger.measures.money import Money
from ledger.quotes.contract import ZERO, Billed, Contract, Portion, contract_on
from ledger.quotes.invoice import CREDIT, INVOICE, Invoice, InvoiceLine, find_paper
from ledger.quotes.issuing import Bill, post_paper


def write_credit(
    book: Book,
    row: InvoiceRow,
    reason: str,
    *,
    amount: Money | None = None,
    day: date | None = None,
) -> Invoice:
    """Post a credit note on an invoice: over an amount with its tax, else over all that stands.

    Raises:
        BadValue: no reason is given, or no amount.
        NotAllowed: it is no invoice, nothing of it stands, or less than that; or the day lies
            before the invoice, in the future or in a closed month.
    """
    if not reason.strip():
        raise BadValue("A credit note says why: --why TEXT")
    when = require_open_day(book, day or book.today)
    job = book.row(Job, row.job)
    if row.kind != INVOICE or job is None:
        raise NotAllowed(f"{row.number or 'A payment request'} is no invoice; nothing to credit.")
    if when < row.day:
        raise NotAllowed(f"{row.number} is of {row.day}; it cannot be credited on {when}.")
    contract = contract_on(book, job, when)
    billed = next(one for one in contract.billed if one.row.key == row.key)
    part = _portion(contract, billed, amount)
    with book.entry("quote credit", f"{row.number} {reason.strip()}"):
        note = _credit(book, contract, billed, part, reason)
        if contract.has_final and contract.canceled is None and part.asked < billed.stands.asked:
            _lower(book, contract, note, part)
    return note


def credit_excess(book: Book, job: Job, reason: str, *, day: date | None = None) -> list[Invoice]:
    """Credit what was invoiced beyond what a job comes to now, the last invoice first.

    It is asked for where a job is canceled, inside the same entry; where nothing was invoiced too
    much there is no credit note.
    """
    when = require_open_day(book, day or book.today)
    contract = contract_on(book, job, when)
    excess, written = contract.invoiced - contract.whole, []
    for billed in reversed(contract.standing):
        if excess.asked <= ZERO:
            break
        part = billed.stands if billed.stands.asked <= excess.asked else excess
        written.append(_credit(book, contract, billed, part, reason))
        excess -= part
    return written


def invoiced_anew(book: Book, job: Job) -> str:
    """What of a contract a credit note left to be invoiced once more, and what if it should not."""
    contract = contract_on(book, job, book.today)
    again = contract.whole.asked - contract.invoiced.asked
    if again <= ZERO or contract.canceled is not None:
        return ""
    is_closed = state_of(book, job) == "closed"
    reopened = f" (first: benchledger job reopen {job.number} --why TEXT)" if is_closed else ""
    return (
        f"{contract.currency.show(again)} of {job.number} is agreed and not invoiced now. Where the"
        f" price itself is less, write that down too{reopened}: benchledger job change"
        f" {job.number} WORDS --price -AMOUNT"
    )


def lowered_price(book: Book, job: Job, note: Invoice) -> str:
    """That a credit note took something off the price, where it did, and what goes back."""
    row, show = find_paper(book, note.number, job), book.currency.show
    names = {due.key: due.source for due in dues_of(book, job)}
    by = [names[one.due] for one in book.rows(InvoicedDue, invoice=row.key) if one.due in names]
    if not by:
        return ""
    over = -balance(book, job).due
    sentence = f"{job.number} asks for {show(-note.asked)} less now ({', '.join(by)})."
    if over <= ZERO:
        return sentence
    return (
        f"{sentence} The client has paid {show(over)} too much; when you give it back:"
        f" benchledger job pay {job.number} {book.currency.decimal(over)} --refund"
    )


def _lower(book: Book, contract: Contract, note: Invoice, part: Portion) -> None:
    """Take a credited part off the price, less what the contract was lowered by before."""
    over = contract.invoiced - contract.whole
    less = part if over.asked <= ZERO else part - over
    if less.asked <= ZERO:
        return
    words = f"{CREDITED} {note.number}, {note.reason}"
    row = find_paper(book, note.number, contract.job)
    untaxed = less.price - less.taxed
    for price, tax in ((less.taxed, less.tax), (untaxed, ZERO)):
        if price:
            ask = Ask(words, -price, -tax)
            due = change_price(book, contract.job, ask, "credit note", day=note.day)
            book.post(InvoicedDue(invoice=row.key, due=due.key))


def _portion(contract: Contract, billed: Billed, amount: Money | None) -> Portion:
    """The part of an invoice that an amount is; what is over on the whole, with its own tax."""
    number, stands = billed.row.number, billed.stands
    show = contract.currency.show
    if not stands.asked:
        raise NotAllowed(f"{number} was credited in full already.")
    if amount is None or amount == stands.asked:
        return stands
    if amount <= ZERO:
        raise BadValue("A credit note takes off more than 0; say the amount with its tax.")
    if amount > stands.asked:
        raise NotAllowed(f"Of {number} no more than {show(stands.asked)} stands to be credited.")
    excess = contract.invoiced - contract.whole
    if amount == excess.asked:
        return excess
    return contract.at_rate(stands.share(Fraction(amount.minor, stands.asked.minor)))


def _credit(book: Book, contract: Contract, billed: Billed, part: Portion, reason: str) -> Invoice:
    rate = contract.agreement.tax_rate if part.tax else None
    line = InvoiceLine(f"Credit on {billed.row.number}", -part.price, -part.tax, rate)
    over = contract.invoiced - contract.whole
    credits = tuple(due for due in contract.uninvoiced if due.asked < ZERO)
    bill = Bill(
        paper=CREDIT,
        kind="Credit note",
        lines=(line,),
        portion=-part,
        to_pay=ZERO,
        covers=credits if part.asked == over.asked else (),
        corrects=f"{billed.row.number} of {billed.row.day}",
        reason=reason.strip(),
    )
    with book.entry("quote credit", f"{billed.row.number} {reason.strip()}"):
        return post_paper(book, contract, bill, corrects=billed.row.key)

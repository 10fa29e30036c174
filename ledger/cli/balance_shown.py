"""How `job pay` shows what a job asks for and what came of it."""

from typing import TYPE_CHECKING

from ledger.cli import voice
from ledger.cli.job_details import say_what_asks
from ledger.measures.money import Money
from ledger.measures.plain import plain_fields, plain_rows

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job


def show_balance(book: "Book", job: "Job", *, as_json: bool) -> None:
    """Say what a job asks for, what came, which papers wait and what is held."""
    from ledger.jobs.payments import HELD_WORDS, balance, outstanding, payments, settlement_of
    from ledger.quotes.to_be_paid import open_papers_of
    from ledger.reports.settled import SETTLED, settlement_words

    now, dues, came = balance(book, job), outstanding(book, job), payments(book, job)
    show, settled = book.currency.show, settlement_of(book, job)
    waiting = open_papers_of(book, job)
    if as_json:
        voice.print_json({
            "job": job.number,
            **plain_fields(now, "asked received due held", book.currency),
            "open": plain_rows(dues, "name=due.name open", book.currency),
            "invoices": plain_rows(waiting, "invoice kind due days_late open", book.currency),
            "canceled": settled and plain_fields(settled, SETTLED, book.currency),
        })  # fmt: skip
        return
    voice.heading(f"{job.number} {job.title}{', canceled' if settled else ''}")
    voice.table(
        ["asked for", ">with tax" if now.tax else ">amount", ">still open"],
        [[one.due.name, show(one.due.asked), show(one.open)] for one in dues],
        footer=["together", show(now.asked), show(max(now.due, Money(0)))],
    )
    voice.table(
        ["received", "by", ">amount", ""],
        [
            [str(one.day), one.how, show(one.amount), one.words]
            for one in sorted(came, key=lambda one: one.day)
        ],
        footer=["together", "", show(now.received), ""],
    )
    voice.say_all(paper.words(show) for paper in waiting)
    if settled is not None:
        voice.say(settlement_words(book.currency, settled))
    elif not dues and now.held:
        _show_unagreed(book, job)
    elif not dues:
        say_what_asks(book, job)
    elif now.due < Money(0):
        voice.warn(
            f"{show(-now.due)} more came than was asked for. If that is a slip, take it back with:"
            " benchledger undo"
        )
    elif dues and not now.due:
        voice.say("All that was asked for is paid.")
    if now.held:
        voice.say(f"Held until the work is done: {show(now.held)}, not earned yet.")
        done = f'benchledger job state {job.number} "handed over"'
        voice.note(f"When it is done and handed over: {done}")
        voice.note(HELD_WORDS)


def _show_unagreed(book: "Book", job: "Job") -> None:
    """Say of a payment that nothing is agreed yet, and what quote waits for its answer."""
    from ledger.quotes.revisions import sent_revision

    quote = sent_revision(book, job)
    if quote is None:
        voice.warn(f"Nothing is agreed for {job.number} yet.")
        return
    voice.warn(
        f"Nothing is agreed for {job.number} yet: {quote.name} is sent. If the client accepted it:"
        f" benchledger quote accept {quote.name}"
    )

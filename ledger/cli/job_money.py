"""`benchledger job change`, `pay` and `cancel`: what follows once a quote was accepted."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobName
from ledger.cli.job_details import change_json
from ledger.cli.opened import open_job
from ledger.errors import BadValue
from ledger.measures.duration import parse_hours_changed, to_hours
from ledger.measures.money import Money
from ledger.measures.plain import plain_fields
from ledger.measures.share import parse_share

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.book.tables.jobs import ChangeOrder
    from ledger.jobs.cancel import Kept
    from ledger.quotes.invoice import Invoice

On = Annotated[str, typer.Option(help="On which day.")]

LONGEST_CHANGE = 1000 * 60


def change(
    job: JobName = "",
    words: Annotated[str, typer.Argument(help="What changes.")] = "",
    price: Annotated[str, typer.Option(help="Before tax, or “120 with tax”; 0: a favor.")] = "",
    days: Annotated[int, typer.Option(help="Days it adds.")] = 0,
    hours: Annotated[str, typer.Option(help="Hours it adds, apart from the job's; or -10.")] = "",
    affects: Annotated[str, typer.Option(help="Parts or operations it touches.")] = "",
    asked_by: Annotated[str, typer.Option(help="Who asked for it.")] = "",
    untaxed: Annotated[bool, typer.Option("--untaxed", help="No tax falls on it.")] = False,
    approved: Annotated[str, typer.Option(metavar="CO-1", help="One that was approved.")] = "",
    declined: Annotated[str, typer.Option(metavar="CO-1", help="One that was declined.")] = "",
    how: Annotated[str, typer.Option("--by", help="E-mail, signature …")] = "e-mail",
    again: Annotated[str, typer.Option(metavar="CO-1", help="One to be written again.")] = "",
    pdf: Annotated[Path | None, typer.Option(help="The paper to be signed.")] = None,
    on: On = "today",
    as_json: AsJson = False,
) -> None:
    """Write a change order, record its answer, or list a job's change orders.

    Example: benchledger job change bed "one more loose shelf a tower" --price 120 --pdf co-1.pdf
    """
    from ledger.cli.job_papers import put_again, put_change
    from ledger.jobs.changes import approve, decline, find_change, propose, typed_price
    from ledger.jobs.one_sum import agree_unless_quoted

    said = {"--approved": approved, "--declined": declined, "WORDS": words, "--again": again}
    if len(given := [name for name, value in said.items() if value]) > 1:
        raise BadValue(
            f"Say one thing at a time, not {' and '.join(given)}. What changes otherwise than an"
            " order says is a new order; decline the old one."
        )
    with open_job(job, or_last=True) as (book, job_row):
        day, order = book.dates.read(on), None
        if approved:
            approve(book, job_row, find_change(book, job_row, approved), how, day=day)
        elif declined:
            decline(book, job_row, find_change(book, job_row, declined), how, day=day)
        elif words:
            if not price:
                raise typer.BadParameter("say its price, 0 for a favor: --price AMOUNT")
            with book.entry("job change", f"{job_row.number} {words.strip()}"):
                agree_unless_quoted(book, job_row)
                order = propose(
                    book, job_row, words, typed_price(book, job_row, price, taxed=not untaxed),
                    days=days, minutes=parse_hours_changed(hours, LONGEST_CHANGE) if hours else 0,
                    affects=affects, asked_by=asked_by, taxed=not untaxed, day=day,
                )  # fmt: skip
                put_change(book, job_row, order, pdf)  # no file, no change order
        elif again or pdf:
            put_again(book, job_row, again, pdf)
        _show_changes(book, job_row, order, price, has_hours=bool(hours), as_json=as_json)
    if pdf:
        voice.note(f"To be signed: {pdf}")


def pay(
    job: JobName = "",
    amount: Annotated[str, typer.Argument(help="What was paid; without it nothing is noted.")] = "",
    by: Annotated[str, typer.Option(help="transfer, or card, check, cash, other.")] = "",
    on: On = "",
    fee: Annotated[str, typer.Option(help="What was kept of it, if not the settings' fee.")] = "",
    refund: Annotated[bool, typer.Option("--refund", help="It went back to the client.")] = False,
    note: Annotated[str, typer.Option(help="Anything to remember of it.")] = "",
    as_json: AsJson = False,
) -> None:
    """Note a payment, and say what was asked for, what came and what is due.

    Without an amount it only says so. With --refund and no amount, what has to go back goes back.

    Example: benchledger job pay bed 3672.40 --by transfer --on 2025-04-28
    """
    from ledger.cli.balance_shown import show_balance
    from ledger.jobs.payments import came_already, refunded_beyond
    from ledger.quotes.billing import next_paper
    from ledger.quotes.surcharges import receive_with_surcharge, surcharge_in
    from ledger.quotes.to_be_paid import amount_missing

    with open_job(job, or_last=True) as (book, job_row):
        if amount or refund:
            value, by = _paid(book, job_row, amount, refund=refund), by or "transfer"
            day = book.dates.read(on or "today")
            twice = came_already(book, job_row, value, by, day)
            beyond = refunded_beyond(book, job_row, value)
            asked = surcharge_in(book, job_row, value, by)
            _ask_of_slips(
                book, job_row, value, twice=twice, surcharge=asked.amount if asked else Money(0)
            )
            receive_with_surcharge(
                book, job_row, value, by, day=day,
                words=note, fee=book.currency.parse(fee) if fee else None,
            )  # fmt: skip
            if asked:
                voice.note(asked.said(book.currency.show))
            if twice:
                again = _TWICE.format(amount=book.currency.show(value), job=job_row.number)
                voice.warn(f"{again} If it came only once: benchledger undo")
            if beyond:
                voice.warn(_BEYOND.format(
                    amount=book.currency.show(beyond), job=job_row.number,
                    typed=book.currency.decimal(beyond),
                ))  # fmt: skip
        show_balance(book, job_row, as_json=as_json)
        if (by or on or fee or note) and not (amount or refund):
            voice.warn(amount_missing(book, job_row, by))
        if paper := next_paper(book, job_row):
            voice.note(paper)


_BEYOND = (
    "{amount} more went back than had to, and is asked for again. If that is a slip, take it back"
    " with: benchledger undo. If the price came down by it: benchledger job change {job} WORDS"
    " --price -{typed}, or where all is invoiced: benchledger quote credit INVOICE {typed} --why"
    " TEXT"
)

_TWICE = "{amount} of {job} is noted for that day already, paid the same way."


def _paid(book: "Book", job: "Job", amount: str, *, refund: bool) -> Money:
    """The payment that was typed, below zero where it went back to the client."""
    from ledger.jobs.payments import refundable

    if not amount:
        return -refundable(book, job)
    value = book.currency.parse(amount)
    if value < Money(0):
        raise BadValue(
            f"What went back to the client is said so: benchledger job pay {job.number}"
            f" {book.currency.show(-value)} --refund"
        )
    return -value if refund else value


def _ask_of_slips(
    book: "Book", job: "Job", amount: Money, *, twice: bool, surcharge: Money
) -> None:
    """Ask at a terminal about a payment of more than is due, or noted already; else it is noted."""
    from ledger.cli import answers
    from ledger.jobs.payments import balance, is_beyond_due

    show = book.currency.show
    if twice and answers.can_ask():
        answers.confirm(_TWICE.format(amount=show(amount), job=job.number))
    if is_beyond_due(book, job, amount - surcharge) and answers.can_ask():
        due = show(max(balance(book, job).due, Money(0)))
        answers.confirm(
            f"{show(amount)} is more than the {due} that {job.number} still has to pay."
        )


def cancel(
    job: JobName,
    why: Annotated[str, typer.Option(help="The reason; without it only the calculation.")] = "",
    returnable: Annotated[str, typer.Option(help="Material that goes back to its seller.")] = "0",
    restocking: Annotated[str, typer.Option(help="What going back costs of it.")] = "0 %",
    stage: Annotated[str, typer.Option(help='How far it came: "before cutting" …')] = "",
    kept: Annotated[str, typer.Option(help="The sum you agreed to keep, tax in it.")] = "",
    tax: Annotated[str, typer.Option(help="Tax in what is kept, if your law asks it.")] = "0",
    kept_as: Annotated[
        str, typer.Option(help="Under VAT: work (VAT in it) or compensation (none).")
    ] = "",
    on: On = "today",
    as_json: AsJson = False,
) -> None:
    """Work out what is kept if a job is canceled now; with a reason, cancel it.

    Of a canceled job, --kept with a reason settles another sum that you agreed on since.

    Example: benchledger job cancel bed --returnable 340 --restocking "15 %"
    """
    from ledger.cli.shared import say_if_apart
    from ledger.jobs.cancel import Terms, find_stage, record_of
    from ledger.jobs.jobs import state_of
    from ledger.quotes.billing import next_paper
    from ledger.quotes.canceling import (
        account_of,
        accounts_to_choose,
        cancel_with_papers,
        settle_with_papers,
    )

    with open_job(job) as (book, job_row):
        read = book.currency.parse
        day, sum_ = book.dates.read(on), read(kept) if kept else None
        if sum_ is not None and state_of(book, job_row) == "canceled":
            again, credits = settle_with_papers(
                book, job_row, sum_, why, tax=read(tax), kept_as=kept_as, day=day
            )
            _show_kept(book, job_row, again, credits, is_done=True, as_json=as_json)
            if paper := next_paper(book, job_row):
                voice.note(paper)
            return
        record = record_of(book, job_row, find_stage(stage) if stage else "")
        terms = Terms(read(returnable), parse_share(restocking), read(tax), sum_)
        account = account_of(book, job_row, record, terms, kept_as)
        credits = cancel_with_papers(book, job_row, account, why, day=day) if why else []
        choice = {} if why else accounts_to_choose(book, job_row, record, terms, kept_as)
        _show_kept(
            book, job_row, account, credits, choice=choice, is_done=bool(why), as_json=as_json
        )
        if why and (paper := next_paper(book, job_row)):
            voice.note(paper)
        if why:
            say_if_apart(book, job_row)


def _show_changes(
    book: "Book", job: "Job", new: "ChangeOrder | None", price: str, *, has_hours: bool,
    as_json: bool,
) -> None:  # fmt: skip
    """Say the changes of a job, and of one just proposed which hours stay, which cent differs."""
    from ledger.jobs.changes import (
        changed_minutes,
        changes,
        hours_that_stay,
        rounded_words,
        worked_ahead,
    )
    from ledger.quotes.excess import credit_needed

    rows, show = changes(book, job), book.currency.show
    stay = hours_that_stay(book, job, new) if new and not has_hours else ""
    rounded = rounded_words(book, job, price, new) if new else ""
    estimated, logged = changed_minutes(book, job)
    if as_json:
        voice.print_json([change_json(book, row) for row in rows])
        return
    voice.table(
        ["order", "what changes", "state", ">price", ">days", ">hours"],
        [
            [row.order.name, row.order.words, f"{row.state} {row.since}", show(row.order.price),
             str(row.order.days), str(to_hours(row.order.minutes_changed))]
            for row in rows
        ],
    )  # fmt: skip
    proposed = sum(row.order.minutes_changed for row in rows if row.state == "proposed")
    open_words = f", {to_hours(proposed)} more proposed" if proposed else ""
    voice.say(
        f"Hours of changes: {to_hours(estimated)} estimated{' and approved' if proposed else ''}"
        f"{open_words}, {to_hours(logged)} logged."
    )
    if worked_ahead(book, job):
        voice.warn("Hours were logged on changes of which none is approved; get it in writing.")
    voice.warn(*filter(None, [credit_needed(book, job), stay, rounded]))


_CHOICE = "kept tax back owed"
"""The sums of an account that hang on as what a sum is kept."""


def _show_kept(
    book: "Book",
    job: "Job",
    kept: "Kept",
    credits: "Sequence[Invoice]",
    *,
    choice: "Mapping[str, Kept] | None" = None,
    is_done: bool,
    as_json: bool,
) -> None:
    from ledger.jobs.going_back import goods_to_return
    from ledger.jobs.tax import is_untaxed
    from ledger.reports.settled import return_words

    if as_json:
        voice.print_json(_kept_json(book, job, kept, credits, choice or {}, is_done=is_done))
        return
    show = book.currency.show
    voice.heading(f"{job.number} {job.title}, canceled {kept.stage}")
    voice.table(
        ["kept for", "", ">amount"],
        [[line.name, line.calculation, show(line.amount)] for line in kept.lines],
        footer=["kept", "", show(kept.kept)],
    )
    if choice:  # what is kept under VAT, by the answer that is still to be given
        voice.table(
            ["kept as", ">VAT in it", ">kept", ">goes back", ">still owed"],
            [[answer, show(one.tax), show(one.kept), show(one.back), show(one.owed)]
             for answer, one in choice.items()],
        )  # fmt: skip
        voice.say(f"Received: {show(kept.received)}.")
    else:
        sums = {"received": kept.received, "goes back": kept.back, "still owed": kept.owed}
        voice.pairs({name: show(amount) for name, amount in sums.items()})
    voice.warn(
        *(f"{doubt}: was nothing cut? Say how far it came, --stage." for doubt in kept.doubts),
        "A calculation from the record; your contract and local law decide what is owed.",
    )
    if choice:
        first, other = choice
        voice.note(
            "Contract and law decide whether it is pay for work or compensation.",
            f"Cancel it: benchledger job cancel {job.number} --why TEXT --kept-as {first},"
            f" or --kept-as {other}",
        )
        return
    for one in credits:
        voice.say(f"Credit note {one.number} on {one.corrects}: {show(-one.asked)}.")
    if credits:
        voice.note(
            "For the client: benchledger quote invoice"
            f" {job.number} --again {credits[0].number} --pdf FILE"
        )
    untaxed = is_untaxed(str(book.settings.tax_standing))
    if kept.kept and not kept.tax and not kept.kept_as and not untaxed:
        voice.note("No tax is reckoned in what is kept; if your law asks it: --tax AMOUNT")
    if goods := goods_to_return(book, job):
        voice.say(return_words(book.currency, goods))
    if not is_done:
        voice.note(f"Cancel it: benchledger job cancel {job.number} --why TEXT")


def _kept_json(
    book: "Book",
    job: "Job",
    kept: "Kept",
    credits: "Sequence[Invoice]",
    choice: "Mapping[str, Kept]",
    *,
    is_done: bool,
) -> dict[str, Any]:
    currency = book.currency
    return {
        "job": job.number,
        **plain_fields(kept, f"stage {_CHOICE} doubts kept_as", currency),
        "credit_notes": {one.number: str(currency.decimal(one.asked)) for one in credits},
        "canceled": is_done,
        "choice": {a: plain_fields(one, _CHOICE, currency) for a, one in choice.items()},
    }

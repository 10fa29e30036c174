"""`benchledger job close`, `reopen`, `income` and `spoiled`: what a job really brought."""

from collections.abc import Callable
from contextlib import nullcontext
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AfterClose, AsJson, JobName
from ledger.cli.job_answers import answers_to
from ledger.cli.opened import open_job
from ledger.measures.duration import show_minutes, to_hours
from ledger.measures.money import Currency, Money, total
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.jobs.closeout import CloseOut
    from ledger.jobs.income import PlansSold


def close(
    job: JobName,
    price: Annotated[
        str, typer.Option(help="A price in one sum where no quote was accepted, as of “job new”.")
    ] = "",
    preview: Annotated[
        bool, typer.Option("--preview", help="Show the account; the job stays open.")
    ] = False,
    pdf: Annotated[Path | None, typer.Option(help="Write the close-out as a PDF.")] = None,
    xlsx: Annotated[Path | None, typer.Option(help="Write the close-out workbook.")] = None,
    unlogged: Annotated[
        list[str] | None,
        typer.Option(
            metavar="LINE=ANSWER",
            help="A line without hours: the operation that has them, “not done” or “forgotten”.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Close a job: what it cost, what you earned an hour, what the next estimate learns.

    Example: benchledger job close bed --pdf bed-close-out.pdf
    """
    from ledger.jobs.agreed_total import typed_price
    from ledger.jobs.closeout import close_job
    from ledger.jobs.jobs import SHUT, state_of
    from ledger.jobs.unlogged import post_answers
    from ledger.quotes.billing import next_paper
    from ledger.reports.closeout import account_of, close_out_json

    with open_job(job) as (book, job_row):
        typed = typed_price(book, job_row, price) if price else None
        agreed = (typed.price, typed.tax) if typed else ()
        with voice.wait("Taking account …"):
            account = account_of(book, job_row, *agreed)
        is_closed = (state := state_of(book, job_row)) in SHUT
        closes = not preview and not is_closed
        answers = answers_to(book, account, unlogged or [], is_asking=closes and not as_json)
        posts = closes or (bool(answers) and not preview)
        with book.entry("job close", job_row.number) if posts else nullcontext():
            if answers and not preview:
                post_answers(book, job_row, answers)
            if closes:
                close_job(book, account)
            if posts:
                account = account_of(book, job_row, *agreed)
            _put_files(book, account, pdf, xlsx)  # inside the entry: no file, nothing closed
        paper = next_paper(book, job_row)
    if is_closed and not preview:
        voice.note(f"{job_row.number} is {state} already; this is its account as it stands now.")
    for path in filter(None, (pdf, xlsx)):
        voice.note(f"Close-out: {path}")
    if as_json:
        voice.print_json(close_out_json(account))
    else:
        _show(account)
        voice.warn(*filter(None, [paper]))


def brought_pairs(book: "Book", job: "Job") -> dict[str, str]:
    """What a closed job brought, for the screen that shows it; nothing of one that is open."""
    from ledger.book.questions.income import closed_jobs
    from ledger.jobs.done import done_on
    from ledger.jobs.payments import received_on
    from ledger.jobs.tax import before_tax
    from ledger.quotes.revisions import accepted

    closed = next(iter(closed_jobs(book, job.key)), None)
    if closed is None:
        return {}
    show, quote = book.currency.show, accepted(book, job)
    done = done_on(book, job, closed.price, Money(0))
    earned, hours = show(done.earned), to_hours(done.owner_minutes)
    if done.owner_minutes:
        earned += f", {show(done.earned.times(Fraction(60, done.owner_minutes)))} an hour"
    return {
        "quote": quote.name if quote else "none accepted",
        "price": f"{show(closed.price)}{before_tax(book, job)}, change orders in it",
        "paid": show(received_on(book, job)),
        "hours": f"{hours} h of yours" if done.owner_minutes else "not logged",
        "earned": f"{earned}, material at full value",
    }


def _put_files(book: "Book", account: "CloseOut", pdf: Path | None, xlsx: Path | None) -> None:
    from ledger.cli.printed import on_letter, put_paper, shop_and_size

    if xlsx:
        from ledger.workbooks.writers.close_out import write_close_out

        write_close_out(account, xlsx, shop=book.settings.shop, letter=on_letter(book))
    if pdf:
        from ledger.papers.close_out import close_out_paper

        put_paper(close_out_paper(account, *shop_and_size(book)), pdf)


def reopen(
    job: JobName,
    why: Annotated[str, typer.Option(help="The reason.")] = "",
) -> None:
    """Open a closed or canceled job again; its hours teach nothing until it is closed.

    Example: benchledger job reopen bed --why "the go-back was still to come"
    """
    from ledger.jobs.closeout import reopen_job

    with open_job(job) as (book, job_row):
        reopen_job(book, job_row, why)
    voice.say(f"{job_row.number} {job_row.title} is open again.")


def income(
    job: JobName,
    stream: Annotated[
        str, typer.Argument(help="sponsor fee, plans, affiliate, ads, tips, teaching, other.")
    ] = "",
    amount: Annotated[str, typer.Argument(help="What came in, before fees.")] = "",
    fee: Annotated[str, typer.Option(help="What a store or network kept.")] = "0",
    words: Annotated[str, typer.Option("--note", help="What for.")] = "",
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    order: Annotated[
        list[str] | None, typer.Option(help="An order that a plan was sold to; once for each.")
    ] = None,
    design: Annotated[str, typer.Option(help="Of which design; left out: the job's.")] = "",
    version: Annotated[int | None, typer.Option(help="Of which version.", min=1)] = None,
    sizes: Annotated[
        list[str] | None, typer.Option("--set", metavar="NAME=VALUE", help="The buyer's sizes.")
    ] = None,
) -> None:
    """Add what a build brought beside its commission, or list it; closed jobs take it too.

    With the orders that plans were sold to, a later correction finds who has a plan at fault.

    Example: benchledger job income bed plans 738.00 --fee 59.04 --note "41 plans"
    """
    from ledger.jobs.income import add_income, incomes

    with open_job(job) as (book, job_row):
        if stream:
            if not amount:
                raise typer.BadParameter("say how much came in: job income JOB STREAM AMOUNT")
            row = add_income(
                book, job_row, stream, book.currency.parse(amount),
                fee=book.currency.parse(fee), words=words, day=book.dates.read(on),
                sold=_sold(book, job_row, order or [], design, version, sizes),
            )  # fmt: skip
            net = book.currency.show(row.gross - row.fee)
            voice.say(f"{job_row.number}: {row.stream} {net} after fees.")
            if order:
                voice.say(f"Noted with {how_many(len(order), 'order')}.")
            return
        _list_income(job_row, [
            [str(row.day), row.stream, row.words, book.currency.show(row.gross),
             book.currency.show(row.fee)]
            for row in incomes(book, job_row)
        ])  # fmt: skip


def _sold(
    book: "Book",
    job: "Job",
    orders: list[str],
    design: str,
    version: int | None,
    sizes: list[str] | None,
) -> "PlansSold | None":
    """What was sold to these orders: a version of the named design, else of the job's own."""
    from ledger.cli.arguments import read_pairs
    from ledger.designs.store import find_version, load_version
    from ledger.jobs.income import PlansSold
    from ledger.jobs.jobs import basis_of

    if not orders:
        if design or version or sizes:
            raise typer.BadParameter("say which order it was sold to: --order REFERENCE")
        return None
    name = design or load_version(book, basis_of(book, job).design)[0].name
    return PlansSold(find_version(book, name, version), orders, dict(read_pairs(sizes)))


def _list_income(job: "Job", rows: list[list[str]]) -> None:
    voice.heading(f"{job.number} {job.title}: income beside the commission")
    voice.table(["day", "stream", "", ">gross", ">fee"], rows)


def spoiled(
    job: JobName,
    amount: Annotated[str, typer.Argument(help="What the spoiled material was worth.")],
    words: Annotated[str, typer.Option("--note", help="What was spoiled.")] = "material",
    part: Annotated[str, typer.Option(help="Which part.")] = "",
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    after_close: AfterClose = False,
) -> None:
    """Note what rework spoiled; its cost is in the material already, here it is told apart.

    Example: benchledger job spoiled bed 16.66 --part C1 --note "offcut and tape"
    """
    from ledger.jobs.income import add_spoiled

    with open_job(job, after_close=after_close) as (book, job_row):
        row = add_spoiled(
            book, job_row, book.currency.parse(amount), words, part=part,
            day=book.dates.read(on),
        )  # fmt: skip
        shown = book.currency.show(row.amount)
    voice.say(f"{job_row.number}: {row.words} {shown}, spoiled.")


def _show(close_out: "CloseOut") -> None:
    from ledger.jobs.differences import not_believed_words
    from ledger.reports.closeout import account_lines, not_noted_advice
    from ledger.reports.settled import late_words

    currency, after = close_out.sheet.currency, close_out.afterwards
    show = currency.show
    voice.heading(f"{close_out.job.number} {close_out.job.title}: what it really brought")
    voice.table(
        ["", ">full value", ">cash"],
        [
            [line.name, *("" if money is None else show(money) for money in (line.full, line.cash))]
            for line in account_lines(close_out)
        ],
        footer=["you earned", show(after.full.amount), show(after.cash.amount)],
    )
    voice.say()
    _show_hourly(close_out, currency)
    _show_differences(close_out)
    _show_content(close_out)
    _show_rework(close_out)
    voice.say()
    for lesson in close_out.lessons:
        voice.say(lesson.words)
    for sentence in close_out.record.words_of(close_out.job.number):
        voice.say(sentence)
    _show_money(close_out, show)
    if close_out.late is not None:
        voice.warn(f"{late_words(currency, close_out.late)} It is in the figures above.")
    for line in close_out.not_believed:
        voice.warn(
            f"{not_believed_words(line)} The job's hours: hours list {close_out.job.number}."
        )
    if close_out.unanswered:
        names = "; ".join(line.name for line in close_out.unanswered)
        voice.warn(
            f"Estimated and nothing logged: {names}. Say which operation has the hours, or not"
            f" done, or forgotten: benchledger job close {close_out.job.number}"
            f" --unlogged {close_out.unanswered[0].operation}=ANSWER"
        )
    for without in close_out.not_logged:
        if without.answer:
            where = f", {without.onto_name}" if without.onto else ""
            voice.say(f"{without.name}, {without.estimate} h estimated: {without.answer}{where}.")
    if close_out.not_noted:
        voice.warn(not_noted_advice(close_out))
    for end in close_out.open_ends:
        voice.warn(f"perhaps forgotten: {end}.")


def _show_money(close_out: "CloseOut", show: Callable[[Money], str]) -> None:
    """Say what was agreed at closing, and what is still to be paid or to go back."""
    from ledger.reports.closeout import unpaid_words

    if close_out.closing is not None:
        closing = close_out.closing
        tax = f"{show(closing.tax)} tax" if closing.tax else "no tax"
        standing = closing.tax_standing
        words = "" if closing.tax or standing == "sales_tax" else f" ({standing})"
        voice.say(
            f"Agreed: {show(closing.price)} + {tax}{words} = {show(closing.asked)} to be paid."
        )
    if unpaid := unpaid_words(close_out, show):
        voice.warn(unpaid)


def _show_hourly(close_out: "CloseOut", currency: Currency) -> None:
    from ledger.reports.closeout import not_certain

    after, rates = close_out.afterwards, close_out.sheet.rates
    overhead, target = currency.show(rates.overhead), currency.show(rates.pay)
    hours = to_hours(after.done.owner_minutes)
    if after.full.hour is None or after.full.after_overhead is None or after.cash.hour is None:
        voice.say("No hours of yours are logged on this job: not logged is not zero.")
        return
    voice.say(
        f"That is {currency.show(after.full.hour)} an hour of your {hours} h,"
        f" {currency.show(after.full.after_overhead)} after overhead of {overhead} (target"
        f" {target}); {currency.show(after.cash.hour)} in cash."
    )
    uncertain = not_certain(close_out)
    if uncertain:
        voice.warn(uncertain)


def _show_differences(close_out: "CloseOut") -> None:
    from ledger.reports.closeout import above_plan_words, hours_over, other_words, price_rise_words

    show = close_out.sheet.currency.show
    planned, actual = close_out.planned_hours, close_out.actual_hours
    compared, how = (planned, "planned") if planned else (close_out.guess, "guessed")
    if compared and actual:
        voice.say(f"Hours: {actual} worked, {compared} {how} (× {half_up(actual / compared, 2)}).")
    elif compared:
        voice.say(f"Hours: none logged, {compared} {how}.")
    if (agreed := close_out.agreed_hours) is not None:
        times = f" (× {half_up(actual / agreed, 2)})" if actual and agreed else ""
        voice.say(f"As the job was changed since, {agreed} h are planned{times}.")
    if planned:
        spread = close_out.sheet.range
        with_rework = " with rework" if spread.basis else ""
        voice.say(f"Estimated{with_rework}: typical {spread.p50} h, safe {spread.p80} h.")
    over = [f"{name} +{hours} h" for name, hours in hours_over(close_out)[:3]]
    if over and planned:
        voice.say(f"Longest over: {'; '.join(over)}.")
    higher = total(line.told_apart.price for line in close_out.materials)
    not_taken = total(cost for _, cost in close_out.differences.not_taken)
    shared = total(amount for _, amount in close_out.together)
    more = total(line.told_apart.usage for line in close_out.materials) + not_taken - shared
    price = _beside(show, higher, "higher than planned", "lower than planned", "as planned")
    price += price_rise_words(close_out)
    used = [f"prices {price}", f"{_beside(show, more, 'more', 'less', 'as much')} used"]
    words = used if any(line.used or line.cost for line in close_out.materials) else []
    words += [
        f"{_beside(show, amount, 'more', 'less', 'as much')} for being cut together with {others}"
        for others, amount in close_out.together
    ]
    fee, back = total(m.fee for m in close_out.materials), close_out.afterwards.done.credit
    words += [f"{show(fee)} kept by suppliers of goods sent back"] if fee else []
    words += [f"{show(back)} back on the rack"] if back else []
    words += [f"nothing taken of what was planned at {show(not_taken)}"] if not_taken else []
    voice.say(f"Material: {'; '.join(words) or 'none planned, none taken'}.")
    freight = close_out.freight
    if freight.planned or freight.actual:
        lost = f", {show(freight.lost)} of it on goods that went back" if freight.lost else ""
        voice.say(f"Freight: {show(freight.actual)} paid{lost}, {show(freight.planned)} planned.")
    if (tax := close_out.tax).planned:
        voice.say(
            f"Tax on material: {show(tax.actual)} paid or owed as use tax, {show(tax.planned)}"
            " planned."
        )
    voice.say_all(other_words(close_out))
    if above_plan_words(close_out):
        voice.say(above_plan_words(close_out))


def _beside(show: Callable[[Money], str], amount: Money, above: str, below: str, same: str) -> str:
    if not amount:
        return same
    return f"{show(abs(amount))} {above if amount > Money(0) else below}"


def _show_content(close_out: "CloseOut") -> None:
    after, show = close_out.afterwards, close_out.sheet.currency.show
    done = after.done
    if not (done.content or done.content_minutes):
        return
    hourly = f", {show(after.content_hour)} an hour" if after.content_hour is not None else ""
    voice.say(
        f"Content: {show(done.content)} for {show_minutes(done.content_minutes)}{hourly};"
        f" furniture and content together {show(after.together)} in cash"
        f" (in kind used: {show(after.in_kind)})."
    )


def _show_rework(close_out: "CloseOut") -> None:
    if not close_out.rework:
        return
    show = close_out.sheet.currency.show
    causes = ", ".join(
        f"{line.cause or 'cause not said'} {to_hours(line.minutes)} h" for line in close_out.rework
    )
    voice.say(f"Rework cost {show(close_out.afterwards.rework)} at break-even: {causes}.")

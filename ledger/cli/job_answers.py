"""`benchledger job answer`, `count` and `add-cost`, and what `job close` asks about hours."""

from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, JobName, read_pairs
from ledger.cli.opened import open_job
from ledger.errors import LedgerError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ledger.book import Book
    from ledger.book.tables.answers import JobCost
    from ledger.book.tables.ground import Job
    from ledger.jobs.closeout import CloseOut
    from ledger.jobs.unlogged import LineWithoutHours
    from ledger.measures.money import Money

_ENDS = ("end", "stop")
"""Words that stop the questions."""


def answer(
    job: JobName,
    items: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[ITEM AMOUNT [WHY] | ITEM=AMOUNT …]",
            help="Open items or lines of the list of forgotten costs, and what each costs; 0 is an"
            " answer.",
        ),
    ] = None,
    words: Annotated[str, typer.Option("--note", help="Why so.")] = "",
) -> None:
    """Answer lines of the list of costs that get forgotten; without any, go through the open ones.

    Example: benchledger job answer bed samples=0 parking=12 "card fee=0"
    """
    from ledger.jobs.answers import answer as post_answer
    from ledger.jobs.answers import count_doubt
    from ledger.measures.driving import driving

    with open_job(job) as (book, job_row):
        read = book.currency.parse
        if items and len(items) == 3 and not any("=" in item for item in items):
            *items, words = items
        typed = [(item, read(amount)) for item, amount in _pairs_of(items or [])]
        if not items:
            typed = _ask_open(book, job_row)
        answered = []
        with book.entry("job answer", f"{job_row.number} {', '.join(name for name, _ in typed)}"):
            for item, amount in typed:
                name = post_answer(book, job_row, item, amount, words)
                answered.append(f"{name} {book.currency.show(amount)}")
        driven = driving(book.units).many
        doubt = count_doubt(book, job_row, typed)
    voice.say(f"{job_row.number}: {', '.join(answered) or 'nothing answered'}.")
    if any(name == driven and amount for name, amount in typed):
        voice.note(
            f"{driven} is answered with what it costs. For a distance answer it with 0, and then:"
            f" benchledger job add-cost {job_row.number} {driven} NUMBER"
        )
    if doubt:
        voice.note(f"Note: {doubt}")


def _pairs_of(items: list[str]) -> list[tuple[str, str]]:
    """One line and its amount in two words, or any number of NAME=VALUE."""
    if len(items) == 2 and not any("=" in item for item in items):
        return [(items[0], items[1])]
    return read_pairs(items)


def _ask_open(book: "Book", job: "Job") -> list[tuple[str, "Money"]]:
    """Ask for each open line of a job; an empty answer leaves it open, the word end stops."""
    from ledger.cli.answers import answered
    from ledger.jobs.pricing import price_job

    with voice.wait("Pricing …"):
        sheet = price_job(book, job)
    questions = [(gap.what, gap.basis) for gap in sheet.gaps if gap.is_answerable]
    questions += [(one.item, one.words) for one in sheet.forgotten if one.is_open]
    voice.note(
        f"{len(questions)} open; what does each cost? 0 is an answer, enter leaves it open, and the"
        " word end stops here."
    )
    answers: list[tuple[str, Money]] = []
    for item, words in questions:
        amount = answered(
            f"{item} ({words})", "", lambda text: text and book.currency.parse(text), ends=_ENDS
        )
        if amount is None:
            break
        if not isinstance(amount, str):
            answers.append((item, amount))
    return answers


def count(
    job: JobName,
    items: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="OPERATION NUMBER | OPERATION=NUMBER …",
            help="Operations, in words or code, or what they count, and how many.",
            autocompletion=complete.operation,
        ),
    ] = None,
    words: Annotated[str, typer.Option("--note", help="How it was counted.")] = "",
    built: Annotated[bool, typer.Option("--built", help="As it was built.")] = False,
) -> None:
    """Count operations of a job by hand, in place of what was derived; without any, ask for each.

    Example: benchledger job count bed rip=33 mill=5.5 --note "from the plan on the wall"
    """
    from ledger.jobs.answers import find_counted, set_count
    from ledger.measures.quantity import parse_quantity

    with open_job(job, or_last=True) as (book, job_row):
        counted = []
        typed = _pairs_of(items) if items else _ask_counts(book, job_row)
        shown = " ".join(f"{name} {text}" for name, text in typed)
        with book.entry("job count", f"{job_row.number} {shown}"):
            for name, text in typed:
                number = parse_quantity(text, book.currency.decimal_mark)
                for known in find_counted(book, name):
                    set_count(book, job_row, known.code, number, words, built=built)
                    counted.append(
                        f"{known.code} {known.name}, counted by the {known.unit}: {text}"
                    )
    voice.say(f"{job_row.number}: {'; '.join(counted) or 'nothing counted'}.")


def _ask_counts(book: "Book", job: "Job") -> list[tuple[str, str]]:
    """Ask for each count that is open or estimated, until the word end; enter leaves it as is."""
    from ledger.cli.answers import answered
    from ledger.jobs.pricing import price_job
    from ledger.labor.standards import standards
    from ledger.measures.quantity import parse_quantity
    from ledger.measures.units import count_shown

    with voice.wait("Pricing …"):
        sheet = price_job(book, job)

    def read(text: str) -> str:
        if text:
            parse_quantity(text, book.currency.decimal_mark)
        return text

    operations = standards(book)
    typed = {code: gap.basis for gap in sheet.gaps if (code := gap.counted) in operations}
    lines = {
        line.operation: f"{count_shown(line.driver, line.unit):f} now, {line.basis}"
        for line in sheet.hours
    }
    voice.note("How many of each? Enter leaves it as it is, and the word end stops here.")
    counts: list[tuple[str, str]] = []
    for code, words in (typed | {c: w for c, w in lines.items() if c not in typed}).items():
        one = operations[code]
        text = answered(f"{code} {one.name}, {one.unit} ({words})", "", read, ends=_ENDS)
        if text is None:
            break
        if text:
            counts.append((code, text))
    return counts


def add_cost(
    job: JobName,
    kind: Annotated[
        str, typer.Argument(help="miles (km), outside, fee, freight, other; or parking …")
    ],
    quantity: Annotated[str, typer.Argument(help="How much: miles or kilometers, or 1.")],
    amount: Annotated[
        str, typer.Argument(help="Cost of one; left out for a distance: the shop's rate.")
    ] = "",
    words: Annotated[str, typer.Option("--note", help="What for.")] = "",
    actual: Annotated[bool, typer.Option(help="As it came, not as planned.")] = False,
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    after_close: AfterClose = False,
) -> None:
    """Add a distance driven, outside work, a fee, planned freight or another cost of a job.

    Example: benchledger job add-cost bed miles 44 --note "delivery and pick-up"
    """
    from ledger.jobs.answers import DRIVEN, find_cost_kind, rate_driven
    from ledger.jobs.answers import add_cost as post_cost
    from ledger.jobs.lines import OUTSIDE
    from ledger.measures.quantity import parse_quantity
    from ledger.quotes.issuing import is_under_vat

    with open_job(job, after_close=after_close) as (book, job_row):
        sort, usual = find_cost_kind(book, kind)
        if not amount and sort != DRIVEN:
            raise typer.BadParameter(f"say what one {kind} costs: job add-cost JOB {kind} 1 AMOUNT")
        unit = book.currency.parse_price(amount) if amount else rate_driven(book)
        is_of_list = sort == "other" != usual
        row = post_cost(
            book, job_row, sort, f"{usual}, {words}" if is_of_list and words else words or usual,
            parse_quantity(quantity, book.currency.decimal_mark), unit,
            actual=actual, day=book.dates.read(on),
        )  # fmt: skip
        shown = book.currency.show(row.amount)
        has_tax = sort == OUTSIDE and actual and is_under_vat(book)
        twice = list(_stands_already(book, job_row, row))
    voice.say(f"{job_row.number}: {row.words} {shown}, {row.occasion}.")
    voice.warn(*twice)
    if has_tax:
        voice.note(
            "Tax of the bill that comes back is in no figure of the month. With it, enter the bill"
            f" as a receipt: benchledger receipt add WHAT 1 {shown}"
            f" --category outside --to {job_row.number} --tax AMOUNT (and undo this entry)"
        )


def _stands_already(book: "Book", job: "Job", row: "JobCost") -> "Iterator[str]":
    """What stands on a job already and may be the cost that was just noted."""
    from ledger.jobs.answers import is_bill_for, is_noted_twice
    from ledger.jobs.lines import OUTSIDE
    from ledger.stock.worth import job_material

    shown = book.currency.show(row.amount)
    if is_noted_twice(book, row):
        yield (
            f"{row.words} {shown} stands on {job.number} for {row.day} already. If it is the same"
            " cost, take this one back: benchledger undo"
        )
    is_bill = row.kind == OUTSIDE and row.occasion == "actual"
    used = job_material(book, job.key) if is_bill else []
    if any(is_bill_for(use, row.amount) for use in used):
        yield (
            f"{shown} of outside work stands on a receipt of {job.number} already. If that is the"
            " same bill, it counts twice; take this one back: benchledger undo"
        )


def answers_to(
    book: "Book", account: "CloseOut", answers: list[str], *, is_asking: bool
) -> dict[str, tuple[str, str]]:
    """Answers for estimated lines without hours: from the command line, else prompted for."""
    from ledger.cli.answers import can_ask
    from ledger.jobs.unlogged import read_answer

    worked = [line.operation for line in account.hours if line.minutes]
    resolved: dict[str, tuple[str, str]] = {}
    for text in answers:
        line, mark, answer = text.partition("=")
        if not mark:
            raise typer.BadParameter(f"“{text}” should read LINE=ANSWER, as EBT=EBA")
        code, word, onto = read_answer(book, account.not_logged, worked, line, answer)
        resolved[code] = (word, onto)
    if answers or not is_asking or not can_ask():
        return resolved
    for one in account.not_logged:
        if not one.answer:
            resolved |= _answer_to(book, account, one, worked)
    return resolved


def _answer_to(
    book: "Book", account: "CloseOut", line: "LineWithoutHours", worked: list[str]
) -> dict[str, tuple[str, str]]:
    """The answer typed for one line; none where nothing is typed, and again where it is wrong."""
    from ledger.jobs.unlogged import read_answer

    question = (
        f"{line.operation} {line.name}: {line.estimate} h estimated, nothing logged. Which"
        " operation has its hours (n: not done, f: forgotten, Enter: not known)"
    )
    while True:
        answer = typer.prompt(question, default="", show_default=False, err=True)
        if not answer.strip():
            return {}
        try:
            code, word, onto = read_answer(book, account.not_logged, worked, line.operation, answer)
        except LedgerError as wrong:
            voice.refuse(str(wrong))
        else:
            return {code: (word, onto)}

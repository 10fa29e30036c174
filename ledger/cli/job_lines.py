"""`benchledger job line` and `lines`: a work order's own lines, typed, shown and taken back."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobName
from ledger.cli.opened import open_job
from ledger.measures.duration import show_minutes
from ledger.measures.plain import plain, plain_fields
from ledger.measures.quantity import show_quantity
from ledger.measures.share import parse_share, show_share
from ledger.measures.spoken import how_many
from ledger.measures.units import show_count

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.counts import JobLine
    from ledger.book.tables.ground import Job
    from ledger.jobs.lines import NumberedLine


def line(
    job: JobName,
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[work] OPERATION AMOUNT | use MATERIAL AMOUNT | outside PRICE WHAT",
            help="A number counts the operation, 2h30 is how long; a price is before markup."
            " Several lines may follow one another.",
        ),
    ] = None,
    note: Annotated[str, typer.Option(help="What it is about.")] = "",
    markup: Annotated[str, typer.Option(help="On the work of others; else the shop's.")] = "",
    lead: Annotated[int, typer.Option(min=0, help="Days that the others need.")] = 0,
    quoted: Annotated[
        bool, typer.Option("--quoted", help="The others' price is in, no longer a guess.")
    ] = False,
    back: Annotated[int, typer.Option("--back", help="Take the line of this number back.")] = 0,
) -> None:
    """Add lines to a job: work by count or by the hour, material used, the work of others.

    Example: benchledger job line chair repair 3h --note "seat rail"
    """
    from ledger.jobs.lines import take_back

    if bool(words) == bool(back):
        raise typer.BadParameter("say a line, for example repair 3h, or take one back: --back 2")
    with open_job(job) as (book, job_row):
        if back:
            said = [f"taken back: {_words(book, take_back(book, job_row, back))}"]
        else:
            said = _add(book, job_row, words or [], note, (markup, lead, quoted))
    for sentence in said:
        voice.say(f"{job_row.number}: {sentence}.")
    if not back:
        voice.note(f"Price it: benchledger price {job_row.number}")


def _add(
    book: "Book", job: "Job", words: list[str], note: str, of_others: tuple[str, int, bool]
) -> list[str]:
    """Post the lines that were typed in one entry, and say each, also what became its note."""
    from ledger.jobs.lines import OUTSIDE, USE, WORK
    from ledger.jobs.parted_lines import parted
    from ledger.jobs.typed_lines import add_typed_use, add_typed_work, read_typed

    typed, (markup, lead, is_quoted), said = parted(book, words), of_others, []
    if any(of_others) and not any(kind == OUTSIDE for kind, _ in typed):
        raise typer.BadParameter("--markup, --lead and --quoted are about the work of others")
    if len(typed) > 1 and (note or any(of_others)):
        raise typer.BadParameter(
            f"{how_many(len(typed), 'line')} are typed; a line with an option is typed by itself"
        )
    names = [read_typed(own).name for kind, own in typed if kind == WORK]
    with book.entry("job line", f"{job.number} {' '.join(words)}"):
        for kind, own in typed:
            if kind == OUTSIDE:
                said.append(_outside(book, job, own, note, markup, lead, is_quoted=is_quoted))
                continue
            if kind == USE:
                row = add_typed_use(book, job, own, note)
            else:
                row = add_typed_work(book, job, own, note, beside=names)
            aside = f"; its note: {row.words}" if row.words and not note else ""
            said.append(_words(book, row) + aside)
    return said


def _outside(
    book: "Book", job: "Job", typed: list[str], note: str, markup: str, lead: int, *,
    is_quoted: bool,
) -> str:  # fmt: skip
    from ledger.jobs.lines import add_outside

    if len(typed) < 2:
        raise typer.BadParameter("say the price and what: job line JOB outside 120 caning")
    row, before = add_outside(
        book, job, " ".join(typed[1:]), book.currency.parse(typed[0]), words=note,
        markup=parse_share(markup) if markup else None, lead_days=lead, is_quoted=is_quoted,
    )  # fmt: skip
    gone = f", in place of {book.currency.show(before.amount)}" if before is not None else ""
    return _words(book, row) + gone


def lines(job: JobName, as_json: AsJson = False) -> None:
    """List the lines of a job with their numbers, those taken back too.

    Example: benchledger job lines chair
    """
    from ledger.jobs.lines import KIND_WORDS, WORK, numbered_lines, total_of

    with open_job(job) as (book, job_row):
        typed, agreed = numbered_lines(book, job_row), total_of(book, job_row)
        payload = [_payload(book, one) for one in typed]
        rows = [
            [str(one.number), KIND_WORDS[one.row.kind], _words(book, one.row), one.row.words,
             "taken back" if one.is_taken_back else ""]
            for one in typed
        ]  # fmt: skip
        price = None if agreed is None else book.currency.decimal(agreed.price)
        is_inside = agreed is not None and agreed.tax is not None
        inside = book.currency.decimal(agreed.whole) if agreed and is_inside else None
        hours = agreed.minutes if agreed is not None else 0
    if as_json:
        voice.print_json({
            "job": job_row.number, "title": job_row.title,
            "agreed_price": None if price is None else str(price),
            "agreed_with_tax": None if inside is None else str(inside), "agreed_minutes": hours,
            "lines": payload,
        })  # fmt: skip
        return
    voice.heading(f"{job_row.number} {job_row.title}: {how_many(len(typed), 'line')}")
    if price is not None:
        guess = f", {show_minutes(hours)} guessed" if hours else ""
        if hours and any(one.row.kind == WORK and not one.is_taken_back for one in typed):
            guess += "; its lines of work are part of that, and count where they take more"
        whole = f", {inside} with tax" if inside is not None else ""
        voice.say(f"Sold at an agreed price of {price}{whole}{guess}.")
    if rows:
        voice.table([">line", "", "what", "note", ""], rows)


def _words(book: "Book", row: "JobLine") -> str:
    """A line in words: how much of what."""
    from ledger.jobs.lines import OUTSIDE, USE

    if row.kind == OUTSIDE:
        share = "" if row.markup is None else f", markup {show_share(row.markup)}"
        days = f", {how_many(row.lead_days, 'day')}" if row.lead_days else ""
        state = "" if row.is_quoted else ", a guess until their price is in"
        return f"{row.name} {book.currency.show(row.amount)}{share}{days}{state}"
    if row.kind == USE:
        return f"{row.name}, {show_count(row.quantity, _unit(book, row))}{_packs(book, row)}"
    name = _operation_name(book, row.name)
    amount = (
        show_minutes(row.minutes) if row.minutes else show_count(row.quantity, _unit(book, row))
    )
    return f"{row.name} {name}, {amount}"


def _packs(book: "Book", row: "JobLine") -> str:
    """How many come in a pack, so that a number of pieces is not taken for one of packs."""
    from ledger.stock.materials import materials
    from ledger.stock.purchase import ONE

    pack = materials(book)[row.name].pack
    return "" if pack == ONE else f" from packs of {show_quantity(pack)}"


def _operation_name(book: "Book", code: str) -> str:
    from ledger.labor.standards import standards

    return standards(book)[code].name


def _unit(book: "Book", row: "JobLine") -> str:
    """The unit in which a line counts."""
    from ledger.jobs.lines import WORK
    from ledger.labor.standards import standards
    from ledger.stock.materials import materials

    return (standards(book) if row.kind == WORK else materials(book))[row.name].unit


def _payload(book: "Book", one: "NumberedLine") -> dict[str, Any]:
    from ledger.jobs.lines import OUTSIDE

    row, is_bought = one.row, one.row.kind == OUTSIDE
    is_counted = not is_bought and not row.minutes
    return {
        **plain_fields(one, "number kind=row.kind what=row.name"),
        "quantity": show_quantity(row.quantity) if is_counted else None,
        "unit": _unit(book, row) if is_counted else None,
        "minutes": row.minutes,
        "amount": plain(row.amount, book.currency) if is_bought else None,
        "markup": None if row.markup is None else str(row.markup * 100),
        **plain_fields(row, "lead_days quoted=is_quoted note=words"),
        "taken_back": one.is_taken_back,
    }

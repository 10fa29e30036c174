"""`benchledger job client`, `redact`, `state`, `tax`, `panels` and `copy`.

Who a job is for, how far it has come, how it stands to tax, the papers of its panels, one like it.
"""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, AsJson, JobName, read_pairs
from ledger.cli.opened import open_job
from ledger.measures.duration import show_minutes, to_hours
from ledger.measures.plain import plain_fields, plain_rows
from ledger.measures.units import show_count

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.jobs.changes import Change
    from ledger.jobs.copying import Copied


def client(
    job: JobName,
    name: Annotated[str | None, typer.Option(help="The full name, as on invoices.")] = None,
    address: Annotated[
        str | None, typer.Option(help="The postal address; | parts its lines.")
    ] = None,
    contact: Annotated[str | None, typer.Option(help="Telephone or e-mail.")] = None,
    vat_number: Annotated[str | None, typer.Option(help="A business client's.")] = None,
    as_json: AsJson = False,
) -> None:
    """Show who a job is for, or enter name, address, contact and VAT number for its papers.

    Example: benchledger job client bed --address "12 Old Mill Lane | Larkspur"
    """
    from ledger.book.clients import DETAILS
    from ledger.jobs.jobs import client_of, describe

    given = {"name": name, "address": address, "contact": contact, "vat_number": vat_number}
    details = {key: text for key, text in given.items() if text is not None}
    with open_job(job) as (book, job_row):
        known = describe(book, job_row, **details) if details else client_of(book, job_row)
        is_vat = book.settings.tax_standing == "vat"
    shown = {key: getattr(known, key) if known else "" for key in DETAILS}
    if as_json:
        voice.print_json({"job": job_row.number} | shown)
        return
    if not (is_vat or shown["vat_number"]):
        del shown["vat_number"]
    voice.heading(f"{job_row.number} {job_row.title}")
    names = {"vat_number": "VAT number"}
    voice.pairs({names.get(key, key): text or "none yet" for key, text in shown.items()})


def redact(
    job: JobName,
    yes: Annotated[bool, typer.Option("--yes", help="Do it; it cannot be undone.")] = False,
) -> None:
    """Take a client's name, address and contact out of the book; what was posted stays.

    Example: benchledger job redact bed --yes
    """
    from ledger.book.clients import redact_client
    from ledger.book.journal import REDACTED
    from ledger.errors import NotAllowed
    from ledger.jobs.jobs import client_of

    with open_job(job) as (book, job_row):
        client = client_of(book, job_row)
        if client is None or client.id is None:
            raise NotAllowed(f"{job_row.number} has no client; there is nothing to take out.")
        if client.redacted_on:
            raise NotAllowed(
                f"The client of {job_row.number} was taken out on {client.redacted_on}."
            )
        if not yes:
            raise NotAllowed(
                f"{client.name} would be taken out for good, of every job of theirs. If that is"
                f" right, say so: benchledger job redact {job_row.number} --yes"
            )
        with book.entry(REDACTED, job_row.number):
            redact_client(book, client.id)
        name = f"Client {client.id}"
    voice.say(f"The client of {job_row.number} is {name} from now on; what was posted stands.")
    voice.note(
        "Copies of the book (the folder “copies” beside it, off-site copies) and files that were"
        " sent still hold the details; delete those yourself."
    )


def state(
    job: JobName,
    entered: Annotated[
        str, typer.Argument(metavar="STATE", help="Building, ready, handed over …")
    ] = "",
    on: Annotated[str, typer.Option(help="On which day.")] = "today",
    note: Annotated[str, typer.Option(help="Anything to remember of it.")] = "",
    as_json: AsJson = False,
) -> None:
    """Say which state a job entered, or list the states it went through.

    Example: benchledger job state bed installed --on 2025-05-28
    """
    from ledger.book.tables.ground import JobState
    from ledger.jobs.jobs import SHUT, enter_state, state_of, state_words

    with open_job(job) as (book, job_row):
        if entered:
            enter_state(book, job_row, entered, day=book.dates.read(on), why=note)
        rows = book.rows(JobState, job=job_row.key)
        now = state_of(book, job_row)
    if as_json:
        states = plain_rows(rows, "state since=day note=why")
        voice.print_json({"job": job_row.number, "state": now, "states": states})
        return
    before = [None, *(row.state for row in rows)]
    spoken = [
        state_words(row.state, is_reopened=earlier in SHUT)
        for row, earlier in zip(rows, before, strict=False)
    ]
    voice.say(f"{job_row.number} {job_row.title}: {[state_words(now), *spoken][-1]}.")
    if not entered:
        cells = [[words, str(row.day), row.why] for words, row in zip(spoken, rows, strict=True)]
        voice.table(["state", "since", ""], cells)


def tax(
    job: JobName,
    answer: Annotated[
        str, typer.Argument(metavar="[ANSWER]", help="taxable or improvement; else how it stands.")
    ] = "",
    note: Annotated[str, typer.Option(help="Who said so, or which rule.")] = "",
    on: Annotated[str, typer.Option(help="From which day.")] = "today",
    after_close: AfterClose = False,
    as_json: AsJson = False,
) -> None:
    """Answer whether a job is taxable or improves real property, or say how it stands.

    An improvement charges no sales tax; its material is bought with tax, or owes use tax.

    Example: benchledger job tax built-in improvement --note "state tax office, letter of May 2"
    """
    from ledger.book.tables.tax import JobTax
    from ledger.jobs.agreement import agreement_of
    from ledger.jobs.tax import is_answered, set_standing, standing_of
    from ledger.stock.use_tax import use_tax_of

    with open_job(job, after_close=after_close) as (book, job_row):
        if answer:
            set_standing(book, job_row, answer, note, day=book.dates.read(on))
        standing, owed = standing_of(book, job_row), use_tax_of(book, job_row.key)
        rows, agreed = book.rows(JobTax, job=job_row.key), agreement_of(book, job_row)
        answered, currency = is_answered(book, job_row), book.currency
    if as_json:
        voice.print_json({
            "job": job_row.number,
            "standing": standing,
            "answered": answered,
            "use_tax": str(currency.decimal(owed)),
            "answers": plain_rows(rows, "day standing note=words"),
        })  # fmt: skip
        return
    voice.say(f"{job_row.number} {job_row.title}: {_WORDS[standing]}.")
    if rows:
        voice.table(["from", "answer", ""], [[str(r.day), r.standing, r.words] for r in rows])
    if not answered:
        voice.note("Nobody has answered it for this job yet; it stands as the shop does.")
    if owed:
        voice.say(f"Use tax owed on its material: {currency.show(owed)}.")
    if agreed is not None and agreed.tax_standing != standing:
        voice.warn(
            f"{agreed.source} was accepted with {currency.show(agreed.tax)} of tax and keeps it;"
            " what changes goes into a change order."
        )
    voice.note("Whether a piece improves real property, local law decides.")


_WORDS = {
    "sales_tax": "taxable, sales tax is charged to the client",
    "improvement": "an improvement of real property, no sales tax is charged",
    "vat": "VAT is charged to the client",
    "exempt": "no tax is charged, the shop is exempt",
}


def panels(
    job: JobName,
    label: Annotated[bool, typer.Option("--label", help="Write the piece's label.")] = False,
    statement: Annotated[str, typer.Option(help="The label's statement, in your words.")] = "",
    confirm: Annotated[bool, typer.Option("--confirm", help="It holds for every panel.")] = False,
    on: Annotated[str, typer.Option(help="When the piece was made.")] = "today",
    as_json: AsJson = False,
) -> None:
    """List the composite panels a job took with their papers; with --label, write its label.

    Example: benchledger job panels bed --json
    """
    from ledger.jobs.panels import label_of, lacking_statement, panel_records

    with open_job(job) as (book, job_row):
        records = panel_records(book, job_row)
        day = book.dates.read(on)
        written = label_of(book, job_row, statement, day, confirmed=confirm) if label else None
    if written:
        voice.say_all((written.maker, f"Made {written.made}", written.statement))
        return
    if as_json:
        names = "material quantity day supplier document statement keep_until=keep"
        voice.print_json(plain_rows(records, names))
        return
    voice.table(
        ["panel", ">quantity", "from", "document", "statement", "keep until"],
        [
            [r.material, show_count(r.quantity, r.unit), r.supplier, r.document,
             r.statement or "none on file", str(r.keep)]
            for r in records
        ],
    )  # fmt: skip
    lacking = lacking_statement(records)
    if lacking:
        voice.warn(f"Ask the supplier for a written statement: {', '.join(lacking)}.")


def copy(
    job: Annotated[
        str,
        typer.Argument(metavar="JOB", help="The job to copy.", autocompletion=complete.job),
    ],
    title: Annotated[str, typer.Argument(help="What the new one is called.")] = "",
    values: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="NAME=VALUE", help="A parameter that differs."),
    ] = None,
    client: Annotated[str, typer.Option(help="Who it is for.")] = "",
    number: Annotated[str, typer.Option(help="A number of your own; else the year's next.")] = "",
) -> None:
    """Copy a job to price it anew, on the newest version of its design.

    Example: benchledger job copy bed "Alder fold-down bed" --set "mattress_width=54 in"
    """
    from ledger.jobs.copying import copy_job

    with open_job(job) as (book, job_row):
        changed = dict(read_pairs(values))
        made = copy_job(book, job_row, title, client=client, number=number, values=changed)
        left = _left_counts(book, made) if made.counts_left else ""
    voice.say(f"{made.job.number} {made.job.title} is open.")
    version = "the same lines"
    if made.version is not None:
        version = f"{made.version.name} version {made.version.version}"
    voice.note(f"It is built to {version}: benchledger price {made.job.number}")
    for words in made.errata:
        voice.note(f"Put right since: {words}")
    if left:
        voice.warn(left)


def _left_counts(book: "Book", made: "Copied") -> str:
    """Which counts made by hand a copy of other sizes left out, and how they are made anew."""
    from ledger.labor.standards import standards
    from ledger.measures.quantity import show_quantity

    known = standards(book)
    named = [
        f"{code} {show_quantity(count)}" + (f" ({known[code].unit})" if code in known else "")
        for code, count in made.counts_left.items()
    ]
    return (
        f"Counts made by hand were left out, since its sizes differ: {', '.join(named)}. Count"
        f" again: benchledger job count {made.job.number} CODE NUMBER"
    )


def agreed_pairs(book: "Book", job: "Job") -> dict[str, str]:
    """The agreed price with its tax, and each change order with its state; nothing before that."""
    from ledger.jobs.agreement import agreement_of
    from ledger.jobs.changes import changes
    from ledger.jobs.tax import before_tax

    agreed, show = agreement_of(book, job), book.currency.show
    if agreed is None:
        return _said_in_one_sum(book, job)
    price = f"{show(agreed.price)} and {show(agreed.tax)} tax" if agreed.tax else show(agreed.price)
    rows = {
        row.order.name: f"{row.order.words}, {show(row.order.price)}{before_tax(book, job)},"
        f" {row.state} {row.since}"
        for row in changes(book, job)
    }
    bare = _no_material(book, job)
    return {"agreed": f"{price}, {agreed.source} of {agreed.day}{bare}"} | rows


def _said_in_one_sum(book: "Book", job: "Job") -> dict[str, str]:
    """The price that a job was opened at and the hours guessed; nothing where none was said."""
    from ledger.jobs.lines import total_of
    from ledger.jobs.tax import before_tax

    said, show = total_of(book, job), book.currency.show
    if said is None:
        return {}
    on_top = before_tax(book, job) if said.tax is None else ""
    tax = f" and {show(said.tax)} tax" if said.tax else on_top
    guess = f", {show_minutes(said.minutes)} guessed" if said.minutes else ""
    return {"agreed": f"{show(said.price)}{tax}, price in one sum{guess}{_no_material(book, job)}"}


def _no_material(book: "Book", job: "Job") -> str:
    """That nothing is typed that a job in one sum is made of; else nothing."""
    from ledger.jobs.lines import USE, is_work_order, lines_of, total_of

    is_sum = total_of(book, job) is not None and is_work_order(book, job)
    return ", no material planned in it" if is_sum and not lines_of(book, job, USE) else ""


def say_what_asks(book: "Book", job: "Job") -> None:
    """Say of a job agreed in one sum that the first invoice or payment asks for it."""
    from ledger.jobs.lines import total_of
    from ledger.jobs.tax import before_tax

    if (said := total_of(book, job)) is not None:
        inside = ", its tax in it" if said.tax is not None else before_tax(book, job)
        voice.say(
            f"Agreed in one sum, {book.currency.show(said.whole)}{inside}. The first payment or"
            f" invoice asks for it: benchledger job pay {job.number} AMOUNT, or quote invoice"
            f" {job.number}"
        )


def agreed_json(book: "Book", job: "Job") -> dict[str, Any]:
    """The agreed price and the change orders as JSON; null where nothing is agreed."""
    from ledger.jobs.agreement import agreement_of
    from ledger.jobs.changes import changes

    agreed, currency = agreement_of(book, job), book.currency
    stands = plain_fields(agreed, "source day price tax", currency) if agreed else None
    return {"agreed": stands, "changes": [change_json(book, row) for row in changes(book, job)]}


def change_json(book: "Book", row: "Change") -> dict[str, Any]:
    """A change order as JSON."""
    names = "order=order.name words=order.words state since by=how price=order.price"
    payload = plain_fields(row, f"{names} days=order.days", book.currency)
    return payload | {"hours": str(to_hours(row.order.minutes_changed))}

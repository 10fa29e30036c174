"""`benchledger job tax`: how a job stands to sales tax."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AfterClose, AsJson, JobName
from ledger.cli.opened import open_job
from ledger.measures.plain import plain_rows


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
    from ledger.jobs.agreement import agreement_of
    from ledger.jobs.tax import answers_on_tax, is_answered, set_standing, standing_of
    from ledger.stock.use_tax import use_tax_of

    with open_job(job, after_close=after_close) as (book, job_row):
        if answer:
            set_standing(book, job_row, answer, note, day=book.dates.read(on))
        standing, owed = standing_of(book, job_row), use_tax_of(book, job_row.key)
        rows, agreed = answers_on_tax(book, job_row), agreement_of(book, job_row)
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

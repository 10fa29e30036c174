"""`benchledger job buying-list` and `job pack`: what to buy, and what hangs on the wall."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson, JobWords
from ledger.cli.opened import open_job, open_shop
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.measures.quantity import show_quantity

if TYPE_CHECKING:  # help comes without what a price needs
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.book.tables.jobs import ChangeOrder
    from ledger.jobs.buying import BuyingLine, BuyingList
    from ledger.reports.shop_pack import Pack
    from ledger.verbs.cutting import JobLayouts


def buying_list(
    job: Annotated[
        str,
        typer.Argument(
            help="Number or any part of the title; else all.", autocompletion=complete.job
        ),
    ] = "",
    won: Annotated[bool, typer.Option("--won", help="Only jobs that are won.")] = False,
    pdf: Annotated[Path | None, typer.Option(help="The list to take along.")] = None,
    as_json: AsJson = False,
) -> None:
    """List what to buy, by supplier, in whole packs.

    For one job or for all that are open: its need, less what it has, stock and offcuts.

    Example: benchledger job buying-list bed
    """
    from ledger.jobs.buying import buying_list as make_list
    from ledger.jobs.buying import jobs_to_buy_for
    from ledger.jobs.jobs import find_job, is_won
    from ledger.jobs.lines import is_known
    from ledger.reports.still_to_buy import with_promised

    with open_shop() as book, voice.wait("Adding up what the jobs need …"):
        wanted = [find_job(book, job)] if job else jobs_to_buy_for(book)
        wanted = [one for one in wanted if is_won(book, one) or not won]
        if not job:
            for one in wanted:
                if not is_known(book, one):
                    voice.note(f"{one.number} {one.title} has no design yet: not on this list.")
            wanted = [one for one in wanted if is_known(book, one)]
        purchases = with_promised(book, make_list(book, wanted))
        if pdf:
            _put_list(book, purchases, pdf)
    if as_json:
        voice.print_json(_json(purchases))
    else:
        _show(purchases)


def _put_list(book: "Book", purchases: "BuyingList", path: Path) -> None:
    """Write a buying list as a paper; without a job there is none."""
    from ledger.cli.printed import put_paper
    from ledger.papers.buying import buying_paper
    from ledger.papers.words import paper_size
    from ledger.quotes.wording import maker

    if purchases.jobs:
        put_paper(buying_paper(purchases, maker(book), book.units, paper_size(book)), path)
        voice.note(f"Buying list: {path}")


def pack(
    job: JobWords = "",
    pdf: Annotated[Path | None, typer.Option(help="The pages for the wall and the bench.")] = None,
    xlsx: Annotated[Path | None, typer.Option(help="The cut list as a workbook.")] = None,
) -> None:
    """Write the shop pack, for the wall and the bench.

    Cuts in their order, every sheet drawn to scale, parts, edging, hardware, hours and cautions.

    Example: benchledger job pack bed --pdf bed-shop-pack.pdf
    """
    from ledger.verbs.cutting import of_job

    if not pdf and not xlsx:
        raise typer.BadParameter("say what to write: --pdf FILE, or --xlsx FILE for the cut list")
    with open_job(job, or_last=True) as (book, job_row), voice.wait("Laying out the sheets …"):
        put_pack(book, of_job(book, job_row), pdf, xlsx)
    voice.say(f"{job_row.number} {job_row.title}: shop pack written.")


def put_pack(book: "Book", laid: "JobLayouts", pdf: Path | None, xlsx: Path | None) -> None:
    """Write the shop pack of a job that is laid out as pages, its cut list as a workbook."""
    from ledger.verbs.cutting import pack_of

    write_pack(book, pack_of(book, laid), pdf, xlsx)


def write_pack(book: "Book", pack: "Pack", pdf: Path | None, xlsx: Path | None) -> None:
    """Write a shop pack as pages, its cut list as a workbook."""
    if pdf:
        from ledger.cli.printed import put_paper
        from ledger.papers.shop_pack import shop_pack_paper
        from ledger.papers.words import paper_size

        put_paper(shop_pack_paper(pack, book.settings.shop, paper_size(book)), pdf)
        voice.note(f"Shop pack: {pdf}. Print it at 100 %: its drawings are to scale.")
    if xlsx:
        from ledger.cli.printed import on_letter
        from ledger.workbooks.writers.shop_pack import write_cut_list

        write_cut_list(pack, xlsx, book.settings.shop, letter=on_letter(book))
        voice.note(f"Cut list: {xlsx}")


def put_labels(
    book: "Book", laid: "JobLayouts", path: Path, *, first: int = 1, is_proof: bool = False
) -> None:
    """Write the labels of a job that is laid out, and say how they are printed."""
    from ledger.verbs.cutting import pack_of

    write_labels(book, pack_of(book, laid), path, first=first, is_proof=is_proof)


def write_labels(
    book: "Book", pack: "Pack", path: Path, *, first: int = 1, is_proof: bool = False
) -> None:
    """Write the labels of a shop pack's parts, and say how they are printed."""
    from ledger.cli.printed import put_paper
    from ledger.papers.labels import STOCKS, labels_paper
    from ledger.papers.words import paper_size

    size, settings = paper_size(book), book.settings
    paper = labels_paper(
        pack, settings.shop, size, first=first, shift_nm=settings.label_shift,
        is_proof=is_proof,
    )  # fmt: skip
    put_paper(paper, path)
    voice.note(f"Labels: {path}, for {STOCKS[size].name}. Print them at 100 %.")


def put_change(book: "Book", job: "Job", order: "ChangeOrder", pdf: Path | None) -> None:
    """Freeze the page of a new change order, inside its entry, and print it where asked."""
    from ledger.cli.printed import put_paper
    from ledger.jobs.jobs import client_of
    from ledger.papers.change import change_paper
    from ledger.papers.frozen import keep_print
    from ledger.papers.words import paper_size
    from ledger.quotes.change_page import freeze_change

    page = freeze_change(book, job, order)
    if pdf:
        paper = change_paper(page, client_of(book, job), paper_size(book))
        keep_print(book, put_paper(paper, pdf), change_order=order.key)


def put_again(book: "Book", job: "Job", again: str, pdf: Path | None) -> None:
    """Print a change order as it was proposed.

    Raises:
        BadParameter: it is not said which, or into which file.
    """
    from ledger.cli.printed import put_paper
    from ledger.jobs.changes import find_change
    from ledger.papers.change import change_paper
    from ledger.papers.frozen import reader_of
    from ledger.papers.words import paper_size
    from ledger.quotes.change_page import read_change

    if not again or not pdf:
        raise typer.BadParameter("say which change order and into which file: --again CO-1 --pdf")
    order = find_change(book, job, again)
    page = read_change(book, order)
    reader = reader_of(book, job, change_order=order.key)
    put_paper(change_paper(page, reader, paper_size(book)), pdf)


def _show(purchases: "BuyingList") -> None:
    from ledger.measures.spoken import large
    from ledger.reports.buying_words import tax_words, together_words, warnings

    if not purchases.jobs:
        voice.say("No job is open that needs anything bought.")
        return
    for job in purchases.jobs:
        voice.heading(f"{job.number} {job.title}{'' if job.is_won else ' (not won yet)'}")
    for supplier, lines in purchases.by_supplier.items():
        voice.say()
        _show_supplier(purchases, supplier, lines)
    voice.say()
    for words in together_words(purchases):
        voice.say(large(words))
    _show_covered(purchases)
    if purchases.to_buy:
        show = purchases.currency.show(purchases.total)
        voice.heading(f"To buy: {show} {purchases.currency.code}, {tax_words(purchases)}")
    else:
        voice.heading("Nothing is to be bought.")
    voice.warn(*warnings(purchases))


def _show_supplier(purchases: "BuyingList", supplier: str, lines: "tuple[BuyingLine, ...]") -> None:
    from ledger.jobs.buying import sum_of
    from ledger.reports.buying_words import buy_words, name_words, need_words

    show = purchases.currency.show
    several = len(purchases.jobs) > 1
    rows = [
        [
            line.material + ("*" if line.is_stale else ""),
            name_words(line),
            *([", ".join(job for job, _ in line.jobs)] if several else []),
            need_words(line),
            buy_words(line),
            "" if line.price is None else purchases.currency.number(line.price),
            "no price" if line.amount is None else show(line.amount),
        ]
        for line in lines
    ]
    heads = ["", f"<{supplier or 'No supplier known'}", *(["for"] if several else [])]
    heads += [">need", ">buy", ">each", ">amount"]
    footer = [""] * (len(heads) - 1) + [show(sum_of(lines))]
    voice.table(heads, rows, footer=footer)


def _show_covered(purchases: "BuyingList") -> None:
    """What need not be bought, or not in full: what is there, from whom, and what was given."""
    from ledger.reports.buying_words import covered

    rows = [list(cells) for cells in covered(purchases)]
    if rows:
        voice.table(["", "Covered already", "", ""], rows)
        voice.say()


def _json(purchases: "BuyingList") -> dict[str, Any]:
    from ledger.jobs.buying import sum_of

    return {
        **plain_fields(purchases, "as_of currency=currency.code"),
        "jobs": plain_rows(
            purchases.jobs, "job=number title won=is_won improvement=is_improvement"
        ),
        "lines": [_line_json(purchases, line) for line in purchases.lines],
        "offcuts": plain_rows(purchases.offcuts, "job material lot"),
        "cut_together": [
            {
                **plain_fields(group, "material sheets"),
                "jobs": [
                    {"job": job, "alone": alone}
                    for job, alone in zip(group.jobs, group.alone, strict=True)
                ],
            }
            for group in purchases.shared.groups
        ],
        "suppliers": [
            {"name": name, "amount": plain(sum_of(lines), purchases.currency)}
            for name, lines in purchases.by_supplier.items()
        ],
        **plain_fields(purchases, "total tax tax_inside", purchases.currency),
        "promised": list(purchases.promised),
    }  # fmt: skip


def _line_json(purchases: "BuyingList", line: "BuyingLine") -> dict[str, Any]:
    return {
        **plain_fields(line, "material name kind unit"),
        "jobs": [{"job": job, "need": show_quantity(need)} for job, need in line.jobs],
        **plain_fields(line, "need given from_stock short pack buy"),
        "from_sponsors": [
            {"name": name, "quantity": show_quantity(quantity)}
            for name, quantity in line.from_sponsors
        ],
        **plain_fields(
            line,
            "packs supplier price price_day stale=is_stale amount tax tax_inside shared_with",
            purchases.currency,
        ),
    }

"""`benchledger layout`: parts laid out on sheets, of a job or of a parts list without a book."""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobNames, Together
from ledger.cli.layout_shown import JobFiles, LayoutView, draw_sheets, show_all, spelled_in
from ledger.cli.opened import book_path, open_shop
from ledger.cutting.problem import CutPart
from ledger.cutting.quick import Saw, quick_layout
from ledger.cutting.record import layout_to_dict
from ledger.cutting.tools import INCH_TOOLS
from ledger.errors import BadFile, BadValue
from ledger.measures.length import Length, parse_allowance, parse_size

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.verbs.cutting import JobLayouts
    from ledger.workbooks.readers.parts import PartRow

app = typer.Typer(help="Parts laid out on sheets.")

KERF, TRIM = "1/8 in", "1/4 in"
"""The saw where no book says otherwise: common practice, no source."""


@app.command()
def layout(
    jobs: JobNames = None,
    together: Together = False,
    parts: Annotated[Path | None, typer.Option(help="A parts list instead of a job.")] = None,
    sheet: Annotated[str, typer.Option(help="Its sheets, as 48x96in.")] = "",
    kerf: Annotated[str, typer.Option(help="Width of the saw cut; else the shop's.")] = "",
    trim: Annotated[str, typer.Option(help="Lost at each edge of a sheet; else the shop's.")] = "",
    units: Annotated[str, typer.Option(help="inch or mm: what a bare number means.")] = "",
    grain: Annotated[str, typer.Option(help="Grain along the long or the short side.")] = "",
    rip_first: Annotated[bool, typer.Option("--rip-first", help="Always rip first.")] = False,
    harder: Annotated[bool, typer.Option("--harder", help="Search longer.")] = False,
    svg: Annotated[Path | None, typer.Option(help="Write a drawing per sheet here.")] = None,
    pdf: Annotated[Path | None, typer.Option(help="Write the shop pack.")] = None,
    xlsx: Annotated[Path | None, typer.Option(help="Write the cut list as a workbook.")] = None,
    labels: Annotated[Path | None, typer.Option(help="Write a label for every part.")] = None,
    first: Annotated[int, typer.Option("--from", help="The first free label of the sheet.")] = 1,
    proof: Annotated[bool, typer.Option("--proof", help="Labels with their outlines.")] = False,
    as_json: AsJson = False,
) -> None:
    """Lay out a job's parts, or a parts list without any book.

    Jobs that share sheets: benchledger layout bed bench --together

    Example: benchledger layout --parts parts.csv --sheet 48x96in --kerf 1/8in --json
    """
    job = _one_job(jobs or [], together, parts)
    files = JobFiles(svg, pdf, xlsx, labels, first, proof)
    if parts is None:
        if any((sheet, kerf, trim, units, grain, rip_first)):
            raise typer.BadParameter(
                "a job's sheets stand in the price list and its saw in the shop's settings;"
                " --sheet, --kerf, --trim, --units, --grain and --rip-first go with --parts"
            )
        if together:
            from ledger.cli.layout_together import lay_jobs

            lay_jobs(jobs or [], harder, files, as_json=as_json)
            return
        laid = _of_job(job, harder, files)
    elif job or xlsx or pdf or labels:
        raise typer.BadParameter(
            "name a job or a parts list, not both" if job
            else "a shop pack needs a job; a parts list alone has --svg and --json"
        )  # fmt: skip
    else:
        laid = _of_parts(parts, sheet, (kerf, trim, units), grain or "long", rip_first, harder)
        if svg:
            draw_sheets(laid, svg)
    if as_json:
        record = layout_to_dict(
            laid.plans, laid.digits, laid.boards, with_cuts=True, in_m3=laid.units == "mm"
        )
        voice.print_json(record)
    else:
        show_all(laid)


def _one_job(jobs: Sequence[str], together: bool, parts: Path | None) -> str:
    """The one job that is named, or none; several are laid only together, and from their books."""
    if together and parts:
        raise typer.BadParameter("--together is for jobs of the book, not for --parts")
    if len(jobs) > 1 and not together:
        raise typer.BadParameter("name one job; jobs that share sheets are laid with --together")
    return jobs[0] if jobs else ""


def _of_job(job: str, harder: bool, files: JobFiles) -> LayoutView:
    """The layout of a job, its files written before the book keeps it: refused, none is kept."""
    from ledger.jobs.jobs import find_job, last_job
    from ledger.jobs.joint_plans import joint_words
    from ledger.stock.materials import NO_GRAIN
    from ledger.verbs.cutting import lumber_of, of_job

    with open_shop() as book, voice.wait("Laying out the sheets …") as tell:
        job_row = find_job(book, job) if job else last_job(book)
        layouts = of_job(book, job_row, harder=harder, progress=tell)
        _put_papers(book, layouts, files)
        for code, plan in layouts.made.plans.items():
            if plan.is_anew:
                voice.note(_anew(code, is_by_method=plan.is_by_method))
        if words := joint_words(book, job_row):
            voice.note(words)
        if not layouts.made.build.parts:
            voice.note(f"{job_row.number} has no parts: there is nothing to lay out.")
        laid = LayoutView(
            layouts.sheets,
            book.units,
            book.currency.digits,
            job_row.number,
            book.settings.saw_reach,
            layouts.boards,
            lumber_of(book, layouts),
            str(book.today),
            {code: row.thickness for code, row in layouts.made.materials.items() if row.thickness},
            plain={c for c, row in layouts.made.materials.items() if row.grain == NO_GRAIN},
        )
        if files.svg:
            draw_sheets(laid, files.svg)
        return laid


def _anew(code: str, *, is_by_method: bool) -> str:
    """Why a material is not laid as it was."""
    why = (
        "the program lays sheets otherwise by now; sheets, prices and saw are the same"
        if is_by_method
        else "its sheets, their prices, the saw or the program's way of laying have changed"
    )
    return f"{code} is laid out anew: {why} since the same parts were laid last."


def _put_papers(book: "Book", laid: "JobLayouts", files: JobFiles) -> None:
    """Write the shop pack and the labels that are asked for."""
    from ledger.cli import job_papers

    if files.pdf or files.xlsx:
        job_papers.put_pack(book, laid, files.pdf, files.xlsx)
    if files.labels:
        job_papers.put_labels(book, laid, files.labels, first=files.first, is_proof=files.proof)


def _of_parts(
    file: Path,
    sheet: str,
    size_words: tuple[str, str, str],
    grain: str,
    rip_first: bool,
    harder: bool,
) -> LayoutView:
    if not sheet:
        raise typer.BadParameter("say the size of a sheet: --sheet 48x96in")
    saw, unit = _saw(*size_words, rip_first)
    long, wide = _sheet(sheet, unit, grain)
    pieces = [
        CutPart(
            row.id, row.name or row.id, row.length.nm, row.width.nm, row.quantity,
            may_turn=row.grain == "any", material=row.material,
        )
        for row in _rows(file, unit)
    ]  # fmt: skip
    shown = unit or "inch"
    with voice.wait("Laying out the sheets …") as tell:
        answer = quick_layout(
            pieces, long.nm, wide.nm, saw, harder=harder, show=spelled_in(shown, suffix=True),
            progress=tell,
        )  # fmt: skip
    return LayoutView(answer.plans, shown)


def _rows(file: Path, unit: str | None) -> "Sequence[PartRow]":
    from ledger.workbooks.readers.parts import read_parts

    try:
        return read_parts(file, unit)
    except BadFile as wrong:
        if unit is None and "has no unit" in str(wrong):
            voice.note("If all sizes of the list are in one unit, add --units inch or --units mm.")
        raise


def _saw(kerf: str, trim: str, units: str, rip_first: bool) -> tuple[Saw, str | None]:
    """The saw, and what a bare number means: as said, else the shop's, else as is usual."""
    if units and units not in {"inch", "mm"}:
        raise BadValue(f"--units is inch or mm; not “{units}”.")
    unit: str | None = units or None
    usual = [parse_allowance(text, None) for text in (KERF, TRIM)]
    tools = INCH_TOOLS
    if book_path().is_file():
        from ledger.jobs.shop_floor import shop_tools

        with open_shop() as book:
            unit = unit or book.units
            usual = [book.settings.kerf, book.settings.trim]
            tools = shop_tools(book)
            rip_first = rip_first or book.settings.rip_first
    cut = _allowance("--kerf", kerf, unit) if kerf else usual[0]
    lost = _allowance("--trim", trim, unit) if trim else usual[1]
    return Saw(cut.nm, lost.nm, rip_first, tools), unit


def _allowance(option: str, text: str, unit: str | None) -> Length:
    try:
        return parse_allowance(text, unit)
    except BadValue as wrong:
        raise BadValue(f"{option}: {wrong}") from wrong


def _sheet(text: str, unit: str | None, grain: str) -> tuple[Length, Length]:
    """A sheet's length along the grain and its width; one unit at the end is that of both."""
    sides = [side.strip() for side in text.casefold().replace("×", "x").split("x")]
    if len(sides) != 2 or not all(sides):
        raise BadValue(f"“{text}” is not a sheet size; write for example 48x96in or 1220x2440mm.")
    if grain not in {"long", "short"}:
        raise BadValue(f"--grain is long or short; not “{grain}”.")
    first, second = sides
    has_unit, shared = (re.search(r"[^\d\s.,/½¼¾⅛⅜⅝⅞-]+$", side) for side in sides)
    if shared and not has_unit:
        first += shared[0]
    short, long = sorted(parse_size(side, unit) for side in (first, second))
    return (long, short) if grain == "long" else (short, long)

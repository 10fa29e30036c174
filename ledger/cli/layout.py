"""`benchledger layout`: parts laid out on sheets, of a job or of a parts list without a book."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.opened import book_path, open_shop
from ledger.cutting.layout import Layout
from ledger.cutting.problem import Piece, Problem, Stock
from ledger.cutting.record import layout_to_dict
from ledger.errors import BadValue
from ledger.measures.length import Length, parse_allowance, parse_size, show_length
from ledger.measures.rounding import half_up

app = typer.Typer(help="Parts laid out on sheets.")

type Laid = list[tuple[Problem, Layout]]


@app.command()
def layout(
    job: Annotated[str, typer.Argument(help="Number or any part of the title.")] = "",
    parts: Annotated[Path | None, typer.Option(help="A parts list instead of a job.")] = None,
    sheet: Annotated[str, typer.Option(help="Size of the sheets, as 48x96in.")] = "",
    kerf: Annotated[str, typer.Option(help="Width of the saw cut.")] = "1/8 in",
    trim: Annotated[str, typer.Option(help="Lost at each edge of a sheet.")] = "1/4 in",
    units: Annotated[str, typer.Option(help="inch or mm: what a bare number means.")] = "",
    grain: Annotated[str, typer.Option(help="Grain along the long or the short side.")] = "long",
    rip_first: Annotated[bool, typer.Option("--rip-first", help="Always rip first.")] = False,
    harder: Annotated[bool, typer.Option("--harder", help="Search longer.")] = False,
    svg: Annotated[Path | None, typer.Option(help="Write a drawing per sheet here.")] = None,
    xlsx: Annotated[Path | None, typer.Option(help="Write the shop pack workbook.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="As JSON.")] = False,
) -> None:
    """Lay out a job's parts, or a parts list without any book.

    Example: benchledger layout --parts parts.csv --sheet 48x96in --kerf 1/8in --json
    """
    if parts is None:
        laid, shown = _of_job(job, harder, xlsx)
    else:
        if xlsx:
            raise BadValue("A shop pack needs a job; a parts list alone has --svg and --json.")
        unit = _units(units)
        shown = unit or "inch"
        laid = _of_parts(parts, _sheet(sheet, trim, unit, grain), kerf, unit, rip_first, harder)
    if svg:
        _draw(laid, svg, shown)
    if as_json:
        voice.facts(layout_to_dict(laid))
    else:
        for problem, found in laid:
            _show(problem, found, shown)


def _of_job(job: str, harder: bool, xlsx: Path | None) -> tuple[Laid, str]:
    from ledger.jobs.jobs import find_job, last_job
    from ledger.jobs.pricing import assemble, price_job

    with open_shop() as book, voice.wait("Laying out the sheets …"):
        found = find_job(book, job) if job else last_job(book)
        made = assemble(book, found, harder=harder)
        sheet = price_job(book, found) if xlsx else None
        units = book.units
    if xlsx and sheet:
        from ledger.workbooks.writers.shop_pack import write_shop_pack

        write_shop_pack(sheet, made, xlsx)
        voice.note(f"Shop pack: {xlsx}")
    return [(plan.problem, plan.layout) for plan in made.plans.values()], units


def _units(said: str) -> str | None:
    """What a bare number means: as said, else the book's where there is one, else nothing."""
    if said:
        if said not in {"inch", "mm"}:
            raise BadValue(f"--units is inch or mm; not “{said}”.")
        return said
    if not book_path().is_file():
        return None
    with open_shop() as book:
        return book.units


def _sheet(sheet: str, trim: str, unit: str | None, grain: str) -> Stock:
    if not sheet:
        raise typer.BadParameter("say the size of a sheet: --sheet 48x96in")
    sides = sheet.casefold().replace("×", "x").split("x")
    if len(sides) != 2:
        raise BadValue(f"“{sheet}” is not a sheet size; write for example 48x96in or 1220x2440mm.")
    if grain not in {"long", "short"}:
        raise BadValue(f"--grain is long or short; not “{grain}”.")
    first, second = (side.strip() for side in sides)
    if first and first[-1].isdigit():
        first += second.lstrip("0123456789./- ")
    lengths = sorted((parse_size(first, unit).nm, parse_size(second, unit).nm))
    along, across = (lengths[1], lengths[0]) if grain == "long" else (lengths[0], lengths[1])
    return Stock("new", along, across, parse_allowance(trim, unit).nm, cost=0, label="sheet")


def _of_parts(
    file: Path, sheet: Stock, kerf: str, unit: str | None, rip_first: bool, harder: bool
) -> Laid:
    from ledger.cutting.problem import check_problem
    from ledger.cutting.solve import solve
    from ledger.workbooks.readers.parts import read_parts

    rows = read_parts(file, unit)
    by_material: dict[str, list[Piece]] = {}
    for row in rows:
        piece = Piece(
            row.id, row.name or row.id, row.length.nm, row.width.nm, row.quantity,
            may_turn=row.grain == "any", material=row.material,
        )  # fmt: skip
        by_material.setdefault(row.material, []).append(piece)
    asked = [
        Problem(code, tuple(pieces), (sheet,), parse_allowance(kerf, unit).nm, rip_first)
        for code, pieces in by_material.items()
    ]
    show = _shown(unit or "inch")
    for problem in asked:
        check_problem(problem, show)
    with voice.wait("Laying out the sheets …"):
        return [(problem, solve(problem, harder=harder)) for problem in asked]


def _shown(units: str) -> Callable[[int], str]:
    return lambda nm: show_length(Length(nm), units, suffix=True)


def _show(problem: Problem, found: Layout, units: str) -> None:
    from ledger.cutting.sequence import count_cuts
    from ledger.cutting.sketch import sketch

    proof = "the fewest possible" if found.proven else f"at least {found.fewest_possible} needed"
    used = half_up(found.sheet_yield * 100, 0)
    voice.heading(
        f"{problem.material or 'Parts'}: {len(found.sheets)} sheets ({proof}), {used} % used"
    )
    for number, sheet in enumerate(found.sheets, start=1):
        for line in sketch(problem, sheet, number, show=_plain(units)):
            voice.say(line)
    cuts = count_cuts(problem, found)
    voice.say(
        f"{cuts.strips} strips, {cuts.fence_settings} fence settings, {cuts.wide_crosscuts} wide"
        f" and {cuts.narrow_crosscuts} narrow crosscuts."
    )
    for words in found.notes:
        voice.note(words)


def _plain(units: str) -> Callable[[int], str]:
    return lambda nm: show_length(Length(nm), units)


def _draw(laid: Laid, folder: Path, units: str) -> None:
    from ledger.cutting.drawing import sheet_svg

    folder.mkdir(parents=True, exist_ok=True)
    for problem, found in laid:
        for number, sheet in enumerate(found.sheets, start=1):
            path = folder / f"{_file_name(problem.material)}-{number:02}.svg"
            path.write_text(sheet_svg(problem, sheet, number, _plain(units)), encoding="utf-8")
            voice.note(f"Drawing: {path}")


def _file_name(name: str) -> str:
    """A material's code as a file name that cannot leave its folder."""
    return "".join(c if c.isalnum() or c in "-_" else "-" for c in name)[:60] or "sheet"



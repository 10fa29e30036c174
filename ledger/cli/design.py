"""`benchledger design`: parametric parts lists and their versions."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import complete, design_plan, voice
from ledger.cli.arguments import AsJson, Columns, read_pairs
from ledger.cli.opened import open_shop, today
from ledger.cli.starters import StarterName, list_starters
from ledger.measures.area import show_area
from ledger.measures.length import show_length
from ledger.measures.plain import plain_fields, plain_rows
from ledger.measures.quantity import show_quantity
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.designs import DesignVersion
    from ledger.designs.built import Build
    from ledger.designs.expanding import FindBlock
    from ledger.designs.model import Design

app = typer.Typer(no_args_is_help=True, help="Parametric parts lists and their versions.")

NameOf = Annotated[
    str,
    typer.Argument(metavar="NAME", help="Name, or any part of it.", autocompletion=complete.design),
]
Numbered = Annotated[int | None, typer.Option("--version", help="An older version.", min=1)]


@app.command()
def template(
    path: Annotated[Path, typer.Argument(help="The workbook to write (.xlsx).")],
    of: Annotated[str, typer.Option("--of", help="A design of the book instead.")] = "",
    starter: StarterName = "",
    version: Numbered = None,
    cut_list: Annotated[
        bool, typer.Option("--cut-list", help="A plain cut list to fill in instead.")
    ] = False,
) -> None:
    """Write a design as a workbook to change and load: an example, a starter, or one of the book.

    Example: benchledger design template bookcase.xlsx
    """
    from ledger.cli.templates import require_new, write
    from ledger.designs.example import example, example_of
    from ledger.stock.materials import materials
    from ledger.verbs.starters import own_starter
    from ledger.workbooks.writers.design_template import write_design

    if cut_list:
        write(path, "design")
        return
    require_new(path)
    with open_shop() as book:
        known = materials(book)
        if starter:
            design = own_starter(book, starter).design
        else:
            design = _design(book, of, version)[1] if of else example(book.units)
        if not of and not starter and design.materials - known.keys():
            codes = {one.kind: one.code for one in reversed(known.values())}
            design = example_of(book.units, codes)
        missing = sorted(design.materials - known.keys())
        written = write_design(design, path, book.settings.shop, today())
    voice.say(f"The design “{design.title}” is written to {written}.")
    if missing:
        names = ", ".join(missing)
        voice.note(f"Your price list lacks {names}: write codes of your own in their place.")
    voice.note(f"Change it and load it: benchledger design load {written}")


@app.command()
def load(
    path: Annotated[
        Path, typer.Argument(help="A workbook, a folder of CSV files, or a plain cut list.")
    ],
    errata: Annotated[str, typer.Option(help="What the new version puts right.")] = "",
    columns: Columns = None,
    material: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME=CODE", help="What a cut list calls a material of yours."),
    ] = None,
    units: Annotated[str, typer.Option(help="Of bare numbers in a cut list: inch or mm.")] = "",
) -> None:
    """Take a design into the book: a new one, or the next version of one that changed.

    A plain cut list (name, count, length, width, thickness, material), as a drawing program writes
    it, becomes a design of fixed sizes; what it leaves open is named.

    Example: benchledger design load sample_data/bed
    """
    from ledger.cli.cut_list import cut_list_design, open_items
    from ledger.cli.headings import read_asking
    from ledger.costing.lumber import board_faults
    from ledger.designs.build import build
    from ledger.designs.store import designs, save_design
    from ledger.jobs.shop_floor import wood_of
    from ledger.stock.materials import materials
    from ledger.workbooks.readers.cut_list import is_cut_list
    from ledger.workbooks.readers.design import read_design

    with open_shop() as book:
        known = materials(book)
        is_plain = is_cut_list(path)
        if is_plain:
            design = cut_list_design(
                book, path, known, units=units, columns=columns, named=material
            )
        else:
            design = read_asking(
                book, "design", columns,
                lambda named: read_design(path, book.units, known.keys(), named, _blocks_of(book)),
            )  # fmt: skip
        faults = board_faults(build(design, {}, book.units, wood_of(book)), known)
        before = designs(book).get(design.name)
        version = save_design(book, design, errata)
    voice.warn(*faults)
    if before is not None and before.key == version.key:
        voice.say(f"{design.name} is in the book already, unchanged, as version {version.version}.")
        return
    voice.say(f"{design.name}, {design.title}: version {version.version}.")
    names = ("parameters", "parts", "joints", "needs", "counts", "finish")
    lists = {name: "finishes" if name == "finish" else name for name in names}
    counted = (
        how_many(len(getattr(design, name)), name.removesuffix("s"), lists[name]) for name in lists
    )
    voice.say(", ".join(counted) + ".")
    if is_plain:
        voice.note(open_items(design))
    if before is not None:
        voice.note(f"Jobs keep version {before.version} until job set JOB --design {design.name}.")


@app.command(name="list")
def list_(
    starters: Annotated[
        bool, typer.Option("--starters", help="What comes with the program instead.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """List the designs of the book, or the starter designs and sub-assemblies of the program.

    Example: benchledger design list
    """
    from ledger.designs.store import designs

    if starters:
        list_starters(as_json=as_json)
        return
    with open_shop() as book:
        rows = list(designs(book).values())
    if as_json:
        voice.print_json(plain_rows(rows, _VERSION))
        return
    if not rows:
        voice.note("No design is in the book yet; start with: benchledger design template FILE")
        return
    table = [[row.name, row.title, str(row.version), row.errata] for row in rows]
    voice.table(["design", "what it is", ">version", "what it put right"], table)


@app.command()
def show(
    name: NameOf,
    values: Annotated[
        list[str] | None, typer.Option("--set", metavar="NAME=VALUE", help="A parameter.")
    ] = None,
    version: Numbered = None,
    starter: Annotated[
        bool, typer.Option("--starter", help="NAME is a design that comes with the program.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show a design worked out: parameters, parts with sizes, counts and what it needs.

    Example: benchledger design show bed --set "mattress_width=54 in"
    """
    from ledger.costing.weights import show_weight, whole_weight
    from ledger.designs.build import build
    from ledger.designs.store import versions
    from ledger.jobs.shop_floor import wood_of
    from ledger.stock.materials import materials

    given = dict(read_pairs(values))
    if starter:
        _show_starter(name, given, as_json=as_json)
        return
    with open_shop() as book:
        row, design = _design(book, name, version)
        sizes = _sizes_of_job(book, row)
        built = build(design, sizes | given, book.units, wood_of(book))
        history = versions(book, row.name)
        known, units = materials(book), book.units
    is_known = all(part.material in known for part in built.parts)
    weight = whole_weight(built, known) if is_known else None
    if as_json:
        kilograms = half_up(weight.kilograms, 1) if weight and not weight.lacking else None
        weighed = {"weight_kg": None if kilograms is None else str(kilograms)}
        voice.print_json(plain_fields(row, _VERSION) | _json(built) | weighed)
        return
    voice.heading(f"{built.title} ({row.name}, version {row.version})")
    if sizes:
        voice.say(f"With the sizes of {row.name}: {', '.join(sizes)}.")
    for older in history:
        if older.errata:
            voice.say(f"Version {older.version}: {older.errata}")
    _show(design, built)
    if weight:
        voice.say(f"All parts together: {show_weight(weight, units)}.")


for verb in (design_plan.plan, design_plan.errata):
    app.command()(verb)


def _sizes_of_job(book: "Book", version: "DesignVersion") -> dict[str, str]:
    """The parameters of the job that a design was made for; none of a design of the library."""
    from ledger.book.tables.ground import Job
    from ledger.jobs.jobs import basis_of
    from ledger.jobs.lines import has_design

    job = book.last(Job, number=version.name)
    if job is None or not has_design(book, job):
        return {}
    basis = basis_of(book, job)
    return dict(basis.parameters) if basis.design == version.key else {}


def _show_starter(name: str, given: dict[str, str], *, as_json: bool) -> None:
    """Show a starter design worked out, its materials still as words."""
    from ledger.designs.build import build
    from ledger.workbooks.readers.starters import starter

    with open_shop() as book:
        design = starter(name, book.units)
        built = build(design, given, book.units)
    if as_json:
        voice.print_json({"name": design.name, "title": design.title} | _json(built))
        return
    voice.heading(f"{built.title} ({design.name}, comes with the program)")
    _show(design, built)


def _blocks_of(book: "Book") -> "FindBlock":
    """Sub-assemblies by name: the book's own designs, then those that come with the program."""
    from ledger.designs.store import design_of, designs
    from ledger.workbooks.readers.design import sub_assembly

    own = designs(book)

    def find(name: str) -> "tuple[Design, str]":
        row = own.get(name)
        return (design_of(row), str(row.version)) if row else sub_assembly(name)

    return find


def _design(book: "Book", name: str, version: int | None) -> "tuple[DesignVersion, Design]":
    from ledger.designs.store import find_version, load_version

    return load_version(book, find_version(book, name, version).key)


def _show(design: "Design", built: "Build") -> None:
    words = {row.name: row.words for row in design.parameters}
    rows = [[name, value, words.get(name, "")] for name, value in built.parameters.items()]
    voice.table(["parameter", ">value", "what it is"], rows, title="Parameters")
    voice.table(
        ["part", "", ">pieces", ">length", ">width", "material"],
        [
            [part.id, part.name, str(part.quantity), show_length(part.length, built.units),
             show_length(part.width, built.units), part.material]
            for part in built.parts
        ],
        title="Parts",
    )  # fmt: skip
    counts = [
        [name, f"{trimmed(half_up(count.quantity, digits)):f} {count.unit}".strip(), count.basis]
        for name, count in built.counts.items()
        for digits in (3 if count.unit == "m³" else 1,)
    ]
    voice.table(["count", ">", "basis"], counts, title="Counts")
    needs = [[need.material, show_quantity(need.quantity), need.basis] for need in built.needs]
    voice.table(["needed", ">", "basis"], needs, title="Needed by count")
    voice.say(f"Finished faces: {show_area(built.finish_area, built.units)}.")
    for name, detail in built.facts.items():
        voice.say(f"{name}: {detail}")


_VERSION = "name title version errata"


def _json(built: "Build") -> dict[str, Any]:
    return {
        "parameters": dict(built.parameters),
        "parts": plain_rows(
            built.parts,
            "id name quantity length_mm=length.mm width_mm=width.mm material grain banded faces",
        ),
        "counts": {
            name: {"quantity": str(trimmed(half_up(count.quantity, 4))), "unit": count.unit,
                   "basis": count.basis}
            for name, count in built.counts.items()
        },
        "needs": plain_rows(built.needs, "material quantity basis"),
        "contains": sorted(built.tags),
        "facts": dict(built.facts),
    }  # fmt: skip

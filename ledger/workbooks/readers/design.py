"""A design from a workbook whose sheets are its tables, or from a folder of CSV files.

Only `design` and `parts` must be there. Formulas stay texts; they are worked out once with the
design's own values, so that every formula that cannot be built is told with its cell.
"""

from collections.abc import Callable, Collection, Mapping
from fractions import Fraction
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import ledger
from ledger.designs import model
from ledger.designs.build import flaws_of
from ledger.designs.closing import SIGNS
from ledger.designs.expanding import Expanded, FindBlock, expand
from ledger.errors import NotFound
from ledger.measures.values import replace
from ledger.workbooks.cells import CellTable
from ledger.workbooks.grid import Faults, GridRow, named_sheets, rows_of
from ledger.workbooks.kinds import FORMULA, MARK, SHARE, TEXT, CellKind, choice, flag, whole
from ledger.workbooks.readers.design_tables import COLUMNS, EDGES, TABLES, UNITS

STARTERS, SUB_ASSEMBLIES = "starters", "sub_assemblies"
"""The folders of what comes with the program."""


def read_design(
    path: Path,
    units: str,
    codes: Collection[str] | None = None,
    named: Mapping[str, str] | None = None,
    find: FindBlock | None = None,
) -> model.Design:
    """Read a design; `units` is what bare lengths mean where the design does not say.

    `codes` are the materials that are known; None takes any. Sub-assemblies are written out: `find`
    gives them by name, or those that come with the program where it is None.

    Raises:
        BadFile: with everything that is wrong in it.

    """
    faults = Faults(named)
    sheets = named_sheets(path, TABLES, faults)
    for name in ("design", "parts"):
        if name not in sheets and not (name == "parts" and "blocks" in sheets):
            faults.add(path.name, f"The table {name} is missing; a design has design and parts.")
    tables = Tables(sheets, faults)
    head = tables.head()
    design = model.Design(
        name=head.get("name", "design"),
        title=head.get("title", "") or head.get("name", ""),
        units=UNITS.get(head.get("units", "").casefold(), units),
        note=head.get("note", ""),
        tags=tables.tags(),
    )
    rows: dict[str, Any] = {name: tables.rows(name) for name in _MODELS}
    design = replace(design, **rows)
    if not design.parts and not design.blocks:
        faults.raise_if_any()  # what is wrong with the tables says it all
    expanded = expand(design, find or sub_assembly)
    _tell(expanded, tables, faults, codes)
    faults.raise_if_any()
    return expanded.design


def names_of(kind: str) -> tuple[str, ...]:
    """The names of what comes with the program of a kind, in their order."""
    return tuple(sorted(path.name for path in _folder(kind).iterdir() if path.is_dir()))


def sub_assembly(name: str) -> tuple[model.Design, str]:
    """The sub-assembly of that name that comes with the program, and its version.

    Raises:
        NotFound: none is called so.

    """
    return shipped(SUB_ASSEMBLIES, "sub-assembly", name), f"program {ledger.__version__}"


@cache
def shipped(kind: str, what: str, name: str) -> model.Design:
    """A design that comes with the program, read once.

    Raises:
        NotFound: none is called so.
    """
    known = names_of(kind)
    sought = name.strip().casefold()
    if sought not in known:
        raise NotFound(what, name, known, are_all=True)
    return read_design(_folder(kind) / sought, "inch")


def _folder(kind: str) -> Path:
    return Path(str(resources.files("ledger.designs") / kind))


class Tables:
    """The tables of one file, and where each row of them stands."""

    def __init__(self, sheets: Mapping[str, CellTable], faults: Faults) -> None:
        self.sheets, self.faults = sheets, faults
        self.places: dict[str, list[GridRow]] = {}

    def rows(self, table: str) -> tuple[Any, ...]:
        """The rows of a table as the model keeps them."""
        return tuple(make_row(table, row) for row in self.lines(table))

    def lines(self, table: str) -> list[GridRow]:
        """The rows of a table as they stand in the file."""
        if table not in self.places:
            sheet = self.sheets.get(table)
            read = rows_of(sheet, COLUMNS[table], self.faults) if sheet else ()
            self.places[table] = list(read)
        return self.places[table]

    def head(self) -> dict[str, str]:
        """The table `design`: a few names and values."""
        known = ("name", "title", "units", "note")
        head: dict[str, str] = {}
        for row in self.lines("design"):
            name = row.need("name", choice("line of the table design", known))
            if name in head:
                row.fault("name", f"{name} stands twice; keep one of them.")
            head[name] = row.need("value", TEXT) if name == "name" else row.text("value")
            if name == "units" and head[name].casefold() not in UNITS:
                row.fault("value", str(NotFound("unit of a design", head[name], UNITS)))
        if "design" in self.sheets and "name" not in head:
            self.faults.add(
                self.sheets["design"].place, "The line with the design's name is missing."
            )
        return head

    def tags(self) -> frozenset[str]:
        """The table `tags`: what the piece contains that calls for a caution."""
        return frozenset(
            row.need("tag", choice("tag", tuple(model.TAGS))) for row in self.lines("tags")
        )


def _tell(
    expanded: Expanded, tables: Tables, faults: Faults, codes: Collection[str] | None
) -> None:
    """Everything that is wrong with the design itself, each at its cell.

    What is wrong in a row of a sub-assembly is told at the line that puts it in.
    """
    for flaw in expanded.flaws:
        tell_flaw(tables.places["blocks"][flaw.row], flaw)
    for flaw in flaws_of(expanded.design):
        places = tables.places.get(flaw.table, [])
        origin = expanded.origins.get((flaw.table, flaw.row))
        if flaw.table == "tags":
            continue  # told when they were read
        if origin is not None:
            tables.places["blocks"][origin].fault("values", flaw.sentence)
        elif flaw.row < len(places):
            tell_flaw(places[flaw.row], flaw)
        elif flaw.table in tables.sheets:
            faults.add(tables.sheets[flaw.table].place, flaw.sentence)
    if codes is not None:
        _tell_unknown_materials(tables, codes)
        _tell_words_not_filled(expanded, tables, codes)


def _tell_words_not_filled(expanded: Expanded, tables: Tables, codes: Collection[str]) -> None:
    """The material words of sub-assemblies for which nothing of the price list is said."""
    reported = set[tuple[int, str]]()
    for (table, number), origin in expanded.origins.items():
        row = getattr(expanded.design, table)[number]
        for code in (getattr(row, "material", ""), getattr(row, "edging", "")):
            if code and code not in codes and (origin, code) not in reported:
                reported.add((origin, code))
                words = f"say which of your price list it is: {code}=CODE"
                line = tables.places["blocks"][origin]
                line.fault(
                    "values", f"{NotFound('material', code, codes)} Where it is a word, {words}."
                )


def tell_flaw(row: GridRow, flaw: model.Flaw) -> None:
    """Add a design's flaw as a fault of its cell, unless one is listed; an unknown name once."""
    where = row.where(flaw.column)
    if row.faults.knows(where):
        return
    is_unknown = flaw.sentence.startswith("No parameter is called")
    tell = row.faults.add_once if is_unknown else row.faults.add
    tell(where, flaw.sentence)


def _tell_unknown_materials(tables: Tables, codes: Collection[str]) -> None:
    naming = {
        "parts": ("material", "edging"),
        "needs": ("material",),
        "finish": ("material", "tint"),
    }
    for table, columns in naming.items():
        for row in tables.lines(table):
            for column in columns:
                code = row.text(column)
                if code and code not in codes:
                    sentence = str(NotFound("material", code, codes))
                    row.faults.add_once(row.where(column), sentence)


def make_row(table: str, row: GridRow) -> Any:
    """One row of a table as the model keeps it: each column is the field of the same name."""
    values = {}
    for column in COLUMNS[table]:
        name = column.name
        kind = _KINDS.get(f"{table} {name}") or _KINDS.get(name, TEXT)
        if column.must and (table, name) not in _MAY_BE_EMPTY:
            value = row.need(name, kind)
        else:
            value = row.may(name, kind, _EMPTY.get(name, ""))
        clean = _CLEAN.get(f"{table} {name}")
        values[name] = clean(value) if clean else value
    return _MODELS[table](**values)


def _held(text: str) -> str:
    """How a part is held, in lower case; the id of another part as it is written."""
    words = " ".join(text.split())
    return f"in {words[3:]}" if words[:3].casefold() == "in " else words.casefold()


def _named(text: str) -> tuple[str, ...]:
    """What a cell names, between commas."""
    return tuple(filter(None, (name.strip() for name in text.replace(";", ",").split(","))))


def _numbers(text: str) -> tuple[int, ...]:
    return tuple(whole(1, 999).read(number) for number in _named(text))


_FORMULAS = (
    "quantity", "length", "width", "thickness", "oversize", "tapers", "pieces", "minutes", "area",
    "value", "minimum", "maximum", "sum",
)  # fmt: skip
_KINDS: dict[str, CellKind[Any]] = {
    **dict.fromkeys(_FORMULAS, FORMULA),
    "id": MARK,
    "grain": choice("grain", model.GRAINS),
    "banded": EDGES,
    "shaped": EDGES,
    "faces": whole(0, 2),
    "sanded": whole(0, 2),
    "handed": flag(),
    "later": flag(),
    "cut": choice("cut", [word for word in model.CUTS if word]),
    "kind": choice("kind of joint", model.JOINTS),
    "driver": choice("driver", model.DRIVERS),
    "coats": whole(1, 20),
    "method": choice("method", model.METHODS),
    "tint_share": SHARE,
    "sign": choice("sign", tuple(SIGNS)),
    "number": whole(1, 999),
    "steps": CellKind(_numbers, (), "3, 4"),
    "plan name": choice("line of a plan", model.PLAN_LINES),
}
"""What a column holds, in one table or in all of them; the others hold text."""

_CLEAN: dict[str, Callable[[str], Any]] = {
    "parameters name": str.lower,
    "blocks name": str.lower,
    "parts joined": _held,
    "steps parts": _named,
    "corrections parts": _named,
}
"""What is made of a text: names in lower case, or several marks of one cell."""

_EMPTY: dict[str, Any] = {
    "grain": "length", "banded": (), "shaped": (), "faces": None, "sanded": None, "handed": False,
    "later": False, "method": "spray", "tint_share": Fraction(0), "steps": (),
}  # fmt: skip
"""What an empty cell means; in the other columns it is no text."""

_MAY_BE_EMPTY = {("joints", "length")}
"""A column that must stand in the table, though not every row fills it in."""

_MODELS: dict[str, type] = {
    "parameters": model.Parameter, "parts": model.Part, "carried": model.CarriedPiece,
    "joints": model.Joint, "needs": model.Need, "counts": model.Count, "finish": model.Coat,
    "facts": model.DesignFact, "checks": model.ClosingSum, "blocks": model.SubAssembly,
    "plan": model.PlanLine, "steps": model.Step, "corrections": model.Correction,
}  # fmt: skip

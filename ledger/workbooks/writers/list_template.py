"""Lists to fill in, each with examples that load as they stand: price list, past jobs, cut list.

One writer for all: the columns of the reader, a few example rows in the units of the book, and a
page of notes. A name that ends in .csv gives plain text (one table only).

The examples of the lists to fill in, in the units of the book; all of them invented.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path

from msgspec import Struct
from openpyxl.utils import get_column_letter

from ledger.book.tables.materials import Material
from ledger.errors import BadValue
from ledger.stock.materials import KINDS
from ledger.workbooks import paper
from ledger.workbooks.headings import Column
from ledger.workbooks.readers import cut_list, materials, opening, past_jobs, settings
from ledger.workbooks.writers.to_fill_in import add_notes, add_text_sheet, listed, offer, write_text


class ListTable(Struct, frozen=True):
    """One table of a template: its columns and its example rows by column."""

    name: str
    columns: Sequence[Column]
    rows: Sequence[Mapping[str, str]]
    offered: Mapping[str, Sequence[str]]


class ListTemplate(Struct, frozen=True):
    """A template: its title, its tables, and what its notes say."""

    title: str
    tables: Sequence[ListTable]
    notes: Sequence[tuple[str, str]]


def write_template(template: ListTemplate, path: Path, shop: str, day: date) -> Path:
    """Write a template as a workbook or, where the name ends in .csv, as plain text.

    Raises:
        NotAllowed: the place cannot be written.
        BadValue: a template of several tables is to be one CSV file.
    """
    if path.suffix.lower() == ".csv":
        return _write_text(template, path)
    workbook = paper.new_workbook(template.title, shop, day)
    for table in template.tables:
        names = _names(table)
        texts = [[row.get(name, "") for name in names] for row in table.rows]
        widths = [
            min(40, max(len(name) + 3, *(len(row[place]) + 2 for row in texts), 10))
            for place, name in enumerate(names)
        ]
        sheet = add_text_sheet(workbook, table.name, names, texts, widths)
        for name, words in table.offered.items():
            offer(sheet, get_column_letter(names.index(name) + 1), listed(words))
    add_notes(workbook, (("How it is written", ""), *template.notes))
    return paper.save(workbook, path)


def _names(table: ListTable) -> list[str]:
    return [column.name for column in table.columns]


def _write_text(template: ListTemplate, path: Path) -> Path:
    if len(template.tables) > 1:
        names = " and ".join(table.name for table in template.tables)
        raise BadValue(f"{path.name} holds one table, and this has {names}; write to .xlsx.")
    return write_text(path, _names(template.tables[0]), template.tables[0].rows)


_ANY = ("Your own columns", "Columns and sheets whose name begins with note or # are not read.")
_HEADINGS = ("Headings", "Order and case do not matter, and usual other words are known: qty,"
             " pieces, thick, unit price. A unit may stand in a heading: Length (mm).")  # fmt: skip


def price_list(units: str) -> ListTemplate:
    """A price list with a material of each usual kind, one sheet in two sizes."""
    inch = units == "inch"
    sheet = ("Birch plywood 3/4", "96", "48", "23/32") if inch else (
        "Birch plywood 18", "2500", "1250", "18")  # fmt: skip
    board = ("Hard maple 4/4", "96", "6", "1") if inch else ("Maple 27", "2500", "150", "27")
    larger = ("120", "60") if inch else ("3000", "1500")
    rows: Sequence[dict[str, str]] = (
        {"code": "PLY34", "name": sheet[0], "kind": "sheet", "unit": "sheet", "length": sheet[1],
         "width": sheet[2], "thickness": sheet[3], "grain": "length", "price": "96",
         "supplier": "Example Panels"},
        {"code": "PLY34", "name": sheet[0], "kind": "sheet", "unit": "sheet", "length": larger[0],
         "width": larger[1], "thickness": sheet[3], "grain": "length", "price": "145",
         "supplier": "Example Panels"},
        {"code": "MAPLE", "name": board[0], "kind": "lumber", "unit": "bd ft" if inch else "m³",
         "length": board[1], "width": board[2], "thickness": board[3],
         "price": "9" if inch else "2900", "supplier": "Example Lumber Yard"},
        {"code": "EDGE78", "name": "Birch edging", "kind": "edging", "unit": "ft" if inch else "m",
         "price": "1", "allowance": "10 %", "allowance_on": "net"},
        {"code": "HINGE", "name": "Cup hinge", "kind": "hardware", "unit": "each", "price": "4"},
        {"code": "PSCREW", "name": "Cabinet screw", "kind": "fastener", "unit": "each",
         "pack": "100", "price": "0.05"},
        {"code": "SATIN", "name": "Satin finish", "kind": "finish",
         "unit": "gal" if inch else "L", "coverage": "220" if inch else "9",
         "coverage_source": "write the can's", "price": "79" if inch else "24"},
    )  # fmt: skip
    size = "inches" if inch else "millimeters"
    notes = (
        ("Code", "A short name of your own; a dealer's list without codes gets some."),
        ("Kind", "One of: " + ", ".join(KINDS) + "."),
        ("Unit", "What one price is for: each, sheet, " + ("bd ft, ft, gal." if inch else
                                                              "m³, m, L.")),
        ("Sizes", f"Bare numbers are {size}. A sheet has length (the longer side) and width."
         " Another size of the same sheet is a further row with the same code; it goes by"
         " CODE/SIZE, and plans choose between the sizes by cost."),
        ("Coverage", f"{'Square feet' if inch else 'm²'} a unit and coat, and where it is from."),
        _HEADINGS,
        _ANY,
    )  # fmt: skip
    table = ListTable("materials", materials.COLUMNS, rows, {"kind": KINDS})
    return ListTemplate("Price list", (table,), notes)


def past_job_list(day: date) -> ListTemplate:
    """Two past jobs: one with the hours of its operations, one with its hours in all."""
    jobs: Sequence[dict[str, str]] = (
        {"job": "P-1", "title": "Bookcase, example", "price": "2400", "material": "420",
         "done": str(day - timedelta(60)), "helper_hours": "2"},
        {"job": "P-2", "title": "Side table, example", "price": "1200", "hours": "21.5",
         "done": str(day - timedelta(30))},
    )  # fmt: skip
    lines: Sequence[dict[str, str]] = (
        {"job": "P-1", "operation": "SHT", "driver": "4", "hours": "1.5"},
        {"job": "P-1", "operation": "ASM", "driver": "24", "hours": "4h30"},
    )
    notes = (
        ("jobs", "One row a finished job; a price or material left empty is not known, not 0."),
        ("lines", "What each operation took: its code, how much was counted, and the hours."),
        _HEADINGS,
        _ANY,
    )
    tables = (
        ListTable("jobs", past_jobs.JOB_COLUMNS, jobs, {}),
        ListTable("lines", past_jobs.LINE_COLUMNS, lines, {}),
    )
    return ListTemplate("Past jobs", tables, notes)


def settings_list(values: Sequence[tuple[str, str, str]]) -> ListTemplate:
    """The settings as they hold now: name, value, and what each is for."""
    rows = [{"name": name, "value": value, "words": words} for name, value, words in values]
    notes = (("Values", "Change what you like and load it; what stays as it is changes nothing."),)
    return ListTemplate("Settings", (ListTable("settings", settings.COLUMNS, rows, {}),), notes)


def opening_list(known: Sequence[Material]) -> ListTemplate:
    """What stands in the shop when its book begins; the first two materials are the example."""
    rows = [
        {"material": one.code, "quantity": "2", "unit": one.unit, "unit_cost": "10"}
        for one in known[:2]
    ]
    notes = (
        ("Material", "The code of a material of your price list."),
        ("Cost", "unit_cost for one, or full for all of the lot."),
        _HEADINGS,
        _ANY,
    )
    table = ListTable("opening stock", opening.COLUMNS, rows, {})
    return ListTemplate("Opening stock", (table,), notes)


def plain_cut_list(units: str, sheet: str) -> ListTemplate:
    """A plain cut list of a small case."""
    inch = units == "inch"
    side, shelf, thick = ("30", "22-1/2", "3/4") if inch else ("760", "564", "18")
    depth = "11-1/4" if inch else "290"
    rows = [
        {"id": "A1", "name": "Side", "quantity": "2", "length": side, "width": depth,
         "thickness": thick, "material": sheet},
        {"id": "A2", "name": "Shelf", "quantity": "3", "length": shelf, "width": depth,
         "thickness": thick, "material": sheet, "grain": "any"},
    ]  # fmt: skip
    notes = (
        ("Material", "The name that your drawing program has for it; the price list's code is"
         " found by name and thickness, or asked once."),
        ("Grain", "length: its length stays along the grain; any: it may turn."),
        _HEADINGS,
        _ANY,
    )  # fmt: skip
    table = ListTable("parts", cut_list.COLUMNS, rows, {"grain": ("length", "any")})
    return ListTemplate("Cut list", (table,), notes)

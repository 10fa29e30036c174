"""Files as nobody means them, and what every reader does with them: takes the whole or refuses.

`READERS` has the commands that read a file, each with a table that is right. A case is such a
table spoiled (cells, rows, columns, bytes, the parts of a workbook) or bytes at random. `Desk`
types the command on a book of its own and raises `Broken` unless the answer is one of two: exit 0,
one entry at most and a book in which every invariant holds, or exit 1, a sentence and no entry.
"""

import copy
import csv
import json
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from hypothesis import strategies as st
from typer.testing import CliRunner

from ledger.book import Book
from ledger.book.check import examine
from ledger.book.tables.invoices import SentInvoice
from ledger.book.tables.printed import ChangePageRow
from ledger.book.tables.quotes import QuoteBasis
from ledger.cli.main import app
from ledger.costing.sheet import read_cost_sheet
from ledger.cutting.record import layouts_from_dict
from ledger.designs.example import example
from ledger.designs.store import from_json, to_json
from ledger.errors import LedgerError
from ledger.measures.frozen import freeze, read_json, thaw
from ledger.quotes.change_page import ChangePage
from ledger.quotes.invoice import read_invoice
from ledger.quotes.snapshot import SCHEMA, read_offer
from ledger.upkeep.checks import CHECKS

sys.path.insert(0, str(Path(__file__).parent))  # this folder is no package
from spoiling import (
    Files,
    Tables,
    as_csv,
    as_workbook,
    byte_edits,
    edited,
    edits,
    filled,
    json_edited,
    json_edits,
    objects,
    places,
    repacked,
    spoiled,
    texts,
)

SAMPLES = Path(__file__).parents[2] / "sample_data"
ENV = {"BENCHLEDGER_TODAY": "2025-05-31", "COLUMNS": "80", "NO_COLOR": "1"}
SETTINGS = "settings.csv"
START = (
    ("shop", "load", SETTINGS),
    ("material", "load", str(SAMPLES / "materials.csv")),
    ("job", "new", "Marrow fold-down bed", "--number", "J-2507"),
    ("stock", "open", str(SAMPLES / "opening_stock.csv"), "--on", "2025-04-01"),
)

A_LOOK = 5
"""Of so many files that were taken, the book after one is looked over whole."""


class Broken(AssertionError):
    """A reader that did neither of the two things it may."""


@dataclass(frozen=True)
class Reader:
    """A command that reads a file, and where in the sample data a file for it stands."""

    words: tuple[str, ...]
    sample: str
    after: tuple[str, ...] = ()
    most: int = 100

    def tables(self) -> Tables:
        """Its tables as they should be."""
        path = SAMPLES / self.sample
        files = sorted(path.glob("*.csv")) if path.is_dir() else [path]
        return {file.stem: _rows(file)[: self.most] for file in files}


def _rows(file: Path) -> list[list[str]]:
    return list(csv.reader(file.read_text("utf-8").splitlines()))


READERS = {
    "settings": Reader(("shop", "load"), "shop.csv"),
    "materials": Reader(("material", "load"), "materials.csv"),
    "designs": Reader(("design", "load"), "bed", ("--errata", "read again")),
    "cut lists": Reader(("design", "load"), "bed/parts.csv"),
    "parts": Reader(("job", "set", "J-2507", "--parts"), "bed/parts.csv"),
    "receipts": Reader(("receipt", "load"), "receipts.csv"),
    "receipts in kind": Reader(("receipt", "load"), "sponsor_receipts.csv"),
    "hours": Reader(("hours", "load", "--yes"), "bed_hours.csv", most=9),
    "past jobs": Reader(("job", "load"), "past_jobs"),
    "opening stock": Reader(("stock", "open"), "opening_stock.csv", ("--on", "2025-04-01")),
    "counts": Reader(("stock", "count"), "opening_stock.csv", ("--why", "counted again")),
    "loose parts": Reader(
        ("layout", "--parts"), "bed/parts.csv", ("--sheet", "1220x2440mm", "--units", "mm")
    ),
}
METRIC = ("settings", "materials", "designs", "cut lists", "parts", "loose parts")
"""The readers of lengths and prices, also tried on a book of millimeters and euros."""

MADE_METRIC = ("--units", "mm", "--currency", "EUR")

COUNTED = [["material", "counted", "reason"], ["EDGE78", "240", "torn"], ["DISC5", "120", ""]]


CUTS = [
    ["Part Name", "Copies", "Thickness(mm)", "Width(mm)", "Length(mm)", "Material Type"],
    ["Side", "2", "18", "580", "1200.5", "PLY34"],
    ["Shelf", "4", "18", "22-1/2 in", "962", "PLY34"],
]

LOOSE = [
    ["id", "qty", "length", "width", "grain", "material"],
    ["A1", "2", "30 in", "12 in", "any", "PLY34"],
    ["B1", "3", "510", "155", "length", ""],
]


def tables_of(name: str) -> Tables:
    """The right tables of a reader; counts and parts are short ones of their own."""
    if name == "counts":
        return {"counts": [list(row) for row in COUNTED]}
    tables = READERS[name].tables()
    if name == "settings":
        return {of: [row for row in rows if is_general(row)] for of, rows in tables.items()}
    if name == "cut lists":
        return {"cuts": [list(row) for row in CUTS]}
    if name == "loose parts":
        return {"parts": [list(row) for row in LOOSE]}
    if name == "parts":  # without formulas, as a job's own parts list has none
        rows = tables["parts"]
        wanted = {"id": "A1", "qty": "2", "length": "30 in", "width": "12 in",
                  "material": "PLY34"}  # fmt: skip
        return {"parts": [rows[0], [wanted.get(heading, "") for heading in rows[0]]]}
    return tables


def is_general(row: list[str]) -> bool:
    """Whether a row of settings is right in every book: a mile has no rate in a metric one."""
    return row[0] != "mile_rate"


class Desk:
    """A book in a folder of its own, and the program typed at it."""

    def __init__(self, folder: Path, *made: str) -> None:
        """Make the book, in inches and dollars unless `made` says otherwise."""
        self.folder = folder
        folder.mkdir(exist_ok=True)
        self.path = folder / "shop.sqlite"
        self.clean = folder / "clean.sqlite"
        settings = folder / SETTINGS
        settings.write_bytes(as_csv(tables_of("settings")).popitem()[1])
        for words in (("new", "--shop", "Quillhaven Workshop", *made), *START):
            done = self.type(*(str(settings) if word == SETTINGS else word for word in words))
            if done.exit_code:
                raise Broken(f"{words}: {done.output}")
        shutil.copy(self.path, self.clean)
        self.entries = self._entries()
        self.taken = 0

    def type(self, *words: str) -> Any:
        """Run the program in this process."""
        env = ENV | {"BENCHLEDGER_BOOK": str(self.path)}
        return CliRunner().invoke(app, list(words), env=env)

    def template(self, noun: str) -> bytes:
        """The workbook that the program gives to be filled in."""
        path = self.folder / "template.xlsx"
        path.unlink(missing_ok=True)
        if (done := self.type(noun, "template", str(path))).exit_code:
            raise Broken(done.output)
        return path.read_bytes()

    def hand(self, name: str, files: Files) -> str:
        """Give files to a reader: `taken` or `refused`.

        Raises:
            Broken: it did something else.
        """
        reader, given = READERS[name], self._laid_down(files)
        done = self.type(*reader.words, str(given), *reader.after)
        entries = self._entries()
        if done.exception and not isinstance(done.exception, SystemExit):
            raise Broken(f"{name}: {done.exception!r} on {files}") from done.exception
        told = done.stderr.strip()
        if done.exit_code == 1 and told and "Traceback" not in told and entries == self.entries:
            return "refused"
        if done.exit_code == 0 and entries <= self.entries + 1:
            self._look_over(name, files)
            return "taken"
        raise Broken(
            f"{name}: exit {done.exit_code}, {entries - self.entries} entries, {told!r} on {files}"
        )

    def _laid_down(self, files: Files) -> Path:
        place = self.folder / "given"
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        for name, content in files.items():
            (place / name).write_bytes(content)
        return place if len(files) != 1 else place / next(iter(files))

    def _entries(self) -> int:
        with Book(self.path, date(2025, 5, 31)) as book:
            return book.entries(1)[0].id or 0

    def _look_over(self, name: str, files: Files) -> None:
        self.taken += 1
        wrong = self._wrong() if self.taken % A_LOOK == 1 else []
        shutil.copy(self.clean, self.path)
        if wrong:
            raise Broken(f"{name} was taken, and {wrong} on {files}")

    def _wrong(self) -> list[str]:
        with Book(self.path, date(2025, 5, 31)) as book:
            return [said for finding in examine(book, CHECKS) for said in finding.wrong]


def strategies(name: str, desk: Desk) -> dict[str, st.SearchStrategy[Files]]:
    """The kinds of files to hand to a reader."""
    right = tables_of(name)
    workbook = as_workbook(right)
    files = as_csv(right)
    one = sorted(files)[0]
    kinds: dict[str, st.SearchStrategy[Files]] = {
        "any bytes": st.binary(max_size=300).map(lambda content: files | {one: content}),
        "CSV cells": edits(texts).map(lambda changes: as_csv(edited(right, changes))),
        "CSV bytes": byte_edits.map(lambda changes: files | {one: spoiled(files[one], changes)}),
        "XLSX cells": edits(objects).map(
            lambda changes: _xlsx(as_workbook(edited(right, changes)))
        ),
        "XLSX bytes": byte_edits.map(lambda changes: _xlsx(spoiled(workbook, changes))),
        "XLSX parts": st.tuples(places, byte_edits).map(
            lambda change: _xlsx(repacked(workbook, *change))
        ),
    }
    template = {"hours": "hours", "designs": "design"}.get(name)
    if template:
        own = desk.template(template)
        rows = st.lists(st.lists(objects, max_size=12), max_size=3)
        kinds["own template"] = rows.map(lambda rows: _xlsx(filled(own, rows)))
        kinds["own template parts"] = st.tuples(places, byte_edits).map(
            lambda change: _xlsx(repacked(own, *change))
        )
    return kinds


def _xlsx(content: bytes) -> Files:
    return {"given.xlsx": content}


PARTS = b"id,qty,length,width,grain\nA1,2,30 in,12 in,any\nB1,3,20 in,6 in,length\n"
PAGE = Path(__file__).parents[1] / "quotes/old_pages/schema-1.json"


def kept(desk: Desk) -> dict[str, tuple[Any, Callable[[Any], object]]]:
    """JSON that the program reads back: as it should be, and what reads it."""
    parts = desk.folder / "parts.csv"
    parts.write_bytes(PARTS)
    done = desk.type("layout", "--parts", str(parts), "--sheet", "48x96in", "--json")
    if done.exit_code:
        raise Broken(done.output)
    found: dict[str, tuple[Any, Callable[[Any], object]]] = {
        "layouts": (json.loads(done.stdout), lambda said: layouts_from_dict(said, digits=0)),
        "designs": (json.loads(to_json(example("inch"))), lambda said: from_json(json.dumps(said))),
    }
    old = PAGE.read_bytes()
    found["offers of schema 1"] = json.loads(old), _offer(1)
    found["offers"] = json.loads(freeze(read_offer(old, 1))), _offer(SCHEMA)
    return found | _kept_of_a_repair(desk)


def _kept_of_a_repair(desk: Desk) -> dict[str, tuple[Any, Callable[[Any], object]]]:
    """The cost sheet, the change order and the invoice of a small job, as they were frozen."""
    for words in (
        ("shop", "set", "overhead_year=22000", "pay_year=56000"),
        ("job", "new", "Reglue chairs", "--work", "repair 3h"),
        *(("quote", verb, "reglue") for verb in ("draft", "send", "accept", "invoice")),
        ("job", "change", "reglue", "one more chair", "--price", "60"),
    ):
        if (done := desk.type(*words)).exit_code:
            raise Broken(done.output)
    with Book(desk.path, date(2025, 5, 31)) as book:
        (invoice,) = book.rows(SentInvoice)
        basis, change = book.rows(QuoteBasis)[0].basis, book.rows(ChangePageRow)[0].page
    shutil.copy(desk.clean, desk.path)

    def read(said: Any) -> object:
        return read_invoice(invoice.model_copy(update={"page": json.dumps(said).encode()}))

    def read_change(said: Any) -> object:
        return thaw(ChangePage, read_json(json.dumps(said).encode()))

    return {
        "invoices": (json.loads(invoice.page), read),
        "cost sheets": (json.loads(basis), lambda said: read_cost_sheet(json.dumps(said).encode())),
        "change orders": (json.loads(change), read_change),
    }


def _offer(schema: int) -> Callable[[Any], object]:
    return lambda said: read_offer(json.dumps(said).encode(), schema)


def spoiled_json(right: Any) -> st.SearchStrategy[Any]:
    """That JSON with some of its values replaced, left out or doubled."""
    return json_edits.map(lambda changes: json_edited(copy.deepcopy(right), changes))


def read_back(name: str, read: Callable[[Any], object], said: Any) -> str:
    """Read JSON back: `taken` or `refused`.

    Raises:
        Broken: it did something else.
    """
    try:
        read(said)
    except LedgerError:
        return "refused"
    except Exception as trouble:
        raise Broken(f"{name}: {trouble!r} on {str(said)[:2000]}") from trouble
    return "taken"

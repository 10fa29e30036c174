"""Two pieces priced to the cent: a solid side table, and a painted built-in with a face frame.

Parts, counts, hours, materials and price were worked out beside the program, in exact fractions;
the tables stand in `pieces/`. The shop has standards of its own, and for the built-in one drawn cut
plan is entered by hand.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from ledger.book import Book, create_book
from ledger.book.tables.ground import Job
from ledger.costing.sheet import CostSheet
from ledger.designs.build import build
from ledger.designs.built import Build
from ledger.designs.store import design_of, find_version, save_design
from ledger.jobs.answers import add_cost, set_count
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.jobs.shop_floor import wood_of
from ledger.labor.standards import load_starting_standards, save_standards
from ledger.measures.day import DateReader
from ledger.measures.length import show_length
from ledger.measures.quantity import Quantity
from ledger.stock.materials import materials, save_materials
from ledger.workbooks.readers.design import read_design
from ledger.workbooks.readers.materials import read_materials
from ledger.workbooks.readers.settings import read_settings
from ledger.workbooks.readers.standards import read_standards

DAY = date(2025, 5, 6)
HERE = Path(__file__).parent / "pieces"
SETTINGS = Path(__file__).parents[2] / "sample_data" / "shop.csv"
MILES = {"side_table": 20, "built_in": 60}


@dataclass(frozen=True)
class Piece:
    """One of the two pieces: its tables, its job, what it is worked out to."""

    folder: Path
    job: Job
    build: Build
    sheet: CostSheet

    def table(self, name: str) -> Iterator[dict[str, str]]:
        """The rows of one of its tables."""
        return rows(self.folder / f"{name}.csv")

    def figure(self, table: str, name: str) -> str:
        """The one figure of a table of two columns."""
        return next(row for row in self.table(table) if name in row.values())["value"]


def rows(path: Path) -> Iterator[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as page:
        yield from csv.DictReader(page)


@pytest.fixture(scope="module", params=["side_table", "built_in"])
def piece(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Piece:
    """One of the two pieces, in a shop of its own."""
    path = tmp_path_factory.mktemp("pieces") / "shop.sqlite"
    create_book(path, DAY, {"shop": "Quillhaven Workshop", "currency": "USD", "units": "inch"})
    with Book(path, DAY) as book:
        return priced(book, request.param)


def priced(book: Book, name: str) -> Piece:
    """The piece in a book, priced."""
    folder = HERE / name
    load_starting_standards(book)
    save_standards(book, read_standards(HERE / "own_standards.csv", book.currency, book.units))
    with book.entry("shop load"):
        for setting, value in read_settings(SETTINGS, book.currency, book.units):
            book.set(setting, value)
    dates = DateReader(book.today)
    save_materials(book, read_materials(folder / "materials.csv", book.currency, "inch", dates))
    design = read_design(folder / "design", book.units, materials(book).keys())
    job = new_job(book, design.title)
    set_basis(book, job, save_design(book, design).key, {})
    add_cost(book, job, "miles", "there and back", Quantity.of(MILES[name]), Decimal("0.70"))
    if name == "built_in":
        for row in rows(folder / "cut_counts.csv"):
            set_count(book, job, row["operation"], Quantity.of(int(row["count"])), "cut plan")
    made = build(design_of(find_version(book, design.name)), {}, book.units, wood_of(book))
    return Piece(folder, job, made, price_job(book, job))


def test_every_part_has_its_size_and_its_strips(piece: Piece) -> None:
    worked_out = {part.id: part for part in piece.build.parts}
    for row in piece.table("expected_parts"):
        part = worked_out.pop(row["id"])
        sizes = [show_length(size, "inch") for size in (part.length, part.width)]
        assert [str(part.quantity), *sizes] == [row["qty"], row["length in"], row["width in"]]
        assert str(part.strips) == (row["strips"] or "1")
        finished = Fraction(row["finished sq ft"])
        assert abs(part.finish_area.square_feet - finished) <= Fraction(1, 2000), row["id"]
    assert not worked_out


def test_every_count_is_exact(piece: Piece) -> None:
    later = {"solid_edges"}  # a figure of the tables that no operation counts
    for row in piece.table("expected_counts"):
        if row["driver"] not in later:
            counted = piece.build.counts[row["driver"]]
            assert counted.quantity == Fraction(row["exact"]), row["driver"]
            assert counted.fixed == (row["fixed by the design"] == "yes")


def test_every_operation_has_its_hours(piece: Piece) -> None:
    worked_out = {line.operation: line for line in piece.sheet.hours if line.estimate}
    total = Decimal(0)
    for row in piece.table("expected_hours"):
        if row["op"] == "TOTAL":
            assert total == Decimal(row["hours"])
            continue
        line = worked_out.pop(row["op"])
        total += line.standard
        assert (line.standard, line.helper) == (Decimal(row["hours"]), Decimal(row["of it helper"]))
        assert line.driver == Fraction(row["count"]), row["op"]
    assert not worked_out


def test_every_material_is_bought_as_it_should(piece: Piece) -> None:
    bought = {line.item: line for line in piece.sheet.lines}
    for row in piece.table("expected_materials"):
        line = bought.pop(row["code"])
        assert line.quantity.decimal == Decimal(row["charged"]), row["code"]
        assert piece.sheet.currency.decimal(line.full) == Decimal(row["amount"])
        if row["unit"] == "bd ft":
            net = Fraction(row["net"].removesuffix(" bd ft"))
            assert abs(line.net.fraction - net) <= Fraction(1, 2000)
    assert not bought


def test_the_price_comes_to_the_cent(piece: Piece) -> None:
    show = piece.sheet.currency.decimal
    amounts = [show(line.amount) for line in piece.sheet.build_up]
    expected = {row["line"]: row["amount"] for row in piece.table("expected_price")}
    names = (
        "materials",
        "hardware",
        "owner hours",
        "helper hours",
        "delivery miles",
        "contingency",
    )
    assert amounts[:6] == [Decimal(expected[name]) for name in names]
    totals = piece.sheet.totals
    assert sum(amounts[:6]) == Decimal(expected["sum"])
    assert show(totals.price) == Decimal(expected["quoted"])
    assert show(totals.full_cost) == Decimal(expected["full cost"])
    assert str(totals.owner_hours) == piece.figure("expected_summary", "owner")

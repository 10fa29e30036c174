"""A book of an older program gets the operations it lacks, and says which drafts that moves."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from ledger.book import Book, create_book, schema
from ledger.designs.store import save_design
from ledger.jobs.jobs import new_job, set_basis
from ledger.labor.standards import starting_standards
from ledger.measures.day import DateReader
from ledger.stock.materials import materials, save_materials
from ledger.workbooks.readers.design import read_design
from ledger.workbooks.readers.materials import read_materials

PIECES = Path(__file__).parents[1] / "jobs" / "pieces" / "side_table"
DAY = date(2025, 4, 25)
OLD = {"DES", "MTG", "ADM", "PUP", "RAB", "ASM", "HWS", "PAK", "DLV", "MIL"}

type Shop = Callable[..., Any]


@pytest.fixture
def older(shop: Shop, tmp_path: Path) -> Shop:
    """A shop of ten operations and an own one that answers to brush, with a table drafted."""

    def operations(book: Book) -> None:
        for row in starting_standards():
            if row.code in OLD:
                book.post(row)
        own = next(row for row in starting_standards() if row.code == "ASM")
        own.code, own.name, own.spoken, own.driver = "OWN", "Paint by hand", "brush, paint", ""
        book.post(own)

    path = tmp_path / "shop.sqlite"
    create_book(path, DAY, {"shop": "Quillhaven Workshop", "pay_year": "56000",
                            "overhead_year": "22000"}, operations)  # fmt: skip
    with Book(path, DAY) as book:
        prices = read_materials(PIECES / "materials.csv", book.currency, "inch", DateReader(DAY))
        save_materials(book, prices)
        design = read_design(PIECES / "design", "inch", materials(book).keys())
        job = new_job(book, "Side table")
        set_basis(book, job, save_design(book, design).key, {})
    drafted = shop("quote", "draft", "Side table")
    assert drafted.code == 0, drafted.err
    return shop


def test_operations_come_once_and_drafts_are_told(
    older: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = json.loads(older("quote", "show", "--json").out)["price"]
    monkeypatch.setattr(schema, "bring_up_to_date", lambda _: True)
    said = older("standards", "list", "--json")
    told = " ".join(said.err.split())
    known = {row["code"]: row for row in json.loads(said.out)}

    assert f"{len(starting_standards()) - len(OLD)} operations came into the book" in told
    assert {row.code for row in starting_standards()} <= known.keys()
    assert f"was drafted at {before}" in told.replace(",", "")
    assert "Mortise & tenon" in told
    assert "benchledger quote draft" in told
    assert older("standards", "show", "brush").out.startswith("OWN")

    again = older("standards", "list", "--json")
    assert (again.err, json.loads(again.out)) == ("", json.loads(said.out))

"""Everything in the book as plain tables."""

import csv
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import catalog
from ledger.book.export import export_tables, safe_text
from ledger.book.tables.answers import JobAnswer
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Material, Price, Supplier
from ledger.book.tables.operations import Operation
from ledger.errors import BookTrouble, LedgerError, NotAllowed
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


def read(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_every_table_is_written_with_headings_for_its_owner_alone(tmp_path, book):
    folder = tmp_path / "tables"
    written = dict(export_tables(book, folder))
    assert set(written) == set(catalog.every_class())
    assert {path.stem for path in folder.iterdir()} == set(written)
    assert {path.stat().st_mode & 0o777 for path in folder.iterdir()} == {0o600}
    assert folder.stat().st_mode & 0o777 == 0o700
    assert all(path.read_text("utf-8-sig").startswith('"id"') for path in folder.iterdir())
    assert written["deed"] == 1 == len(read(folder / "deed.csv"))


def test_values_are_written_as_people_write_them(tmp_path, book):
    with book.entry("material load"):
        book.post(
            Material(
                code="PLY34", name="Birch, 3/4 in", kind="sheet", unit="sheet",
                pack=Quantity.of(Decimal("1.5")), length=Length.of(2440, "mm"),
                width=Length(1_219_200_000), density=Decimal("680"), density_source="table",
                allowance=Fraction(3, 50), allowance_on="net", whole=True,
            )
        )  # fmt: skip
        book.post(Price(material="PLY34", day=date(2025, 4, 1), amount=Decimal("0.054")))
        operation = {"code": "S", "name": "s", "group": "g", "driver": "d", "unit": "u"}
        minutes = {"minutes": Decimal("1.5"), "setup": Decimal(0), "helper_share": Fraction(1, 3)}
        book.post(Operation(**operation, **minutes))
    export_tables(book, tmp_path / "tables")
    (material,) = read(tmp_path / "tables" / "material.csv")
    (price,) = read(tmp_path / "tables" / "price.csv")
    (done,) = read(tmp_path / "tables" / "operation.csv")
    assert (material["pack"], material["length_mm"], material["width_mm"]) == (
        "1.5", "2440", "1219.2",
    )  # fmt: skip
    assert (material["allowance"], material["whole"], material["grain"]) == ("0.06", "yes", "")
    assert (price["day"], price["amount"]) == ("2025-04-01", "0.054")
    assert (done["family"], done["helper_share"]) == ("g", "1/3")


def test_a_row_says_whether_it_is_in_force(tmp_path, book):
    for name in ("one", "two"):
        with book.entry("supplier add"):
            book.post(Supplier(name=name))
    book.reverse(2, "typed twice")
    export_tables(book, tmp_path / "tables")
    rows = read(tmp_path / "tables" / "supplier.csv")
    assert [(row["name"], row["in_force"]) for row in rows] == [("one", "no"), ("two", "yes")]


def test_negative_money_stays_a_number(tmp_path, book):
    with book.entry("job answer"):
        job = book.post(Job(number="J-2507", title="Bed"))
        book.post(JobAnswer(job=job.key, item="discount", amount=Money(-500)))
    export_tables(book, tmp_path / "tables")
    lines = (tmp_path / "tables" / "job_answer.csv").read_text("utf-8-sig").splitlines()
    assert lines[1].startswith('1,2,1,"discount",-5.00,')


@pytest.mark.parametrize("start", list("=+-@\t\r\n＝＋－＠"))
def test_a_text_that_begins_like_a_formula_gets_an_apostrophe(start):
    assert safe_text(f"{start}1+2") == f"'{start}1+2"


@pytest.mark.parametrize("text", ["Bed, low", "", "a=b", "3/4 birch", " =1+2", "☃ 🪵", "'quoted'"])
def test_any_other_text_stays_as_it_is(text):
    assert safe_text(text) == text


# Vectors of the OWASP page on CSV injection: text as a person typed it, and the cell's own bytes.
@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ('=1+2";=1+2', '"\'=1+2"";=1+2"'),
        ("=1+2'\" ;,=1+2", '"\'=1+2\'"" ;,=1+2"'),
        ("=cmd|' /C calc'!A0", "\"'=cmd|' /C calc'!A0\""),
    ],
)
def test_published_vectors_are_written_as_published(tmp_path, book, text, cell):
    with book.entry("supplier add"):
        book.post(Supplier(name=text))
    export_tables(book, tmp_path / "tables")
    lines = (tmp_path / "tables" / "supplier.csv").read_text("utf-8-sig").splitlines()
    assert lines[1] == f'1,2,{cell},"yes"'


HOSTILE = ["a\nb", 'say "so"', "‮evil", "🪵" * 5, "x" * 10_000, "\x00\x07", "[bold]b[/bold]"]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_any_text_of_an_old_book_comes_back_as_it_was(tmp_path, book, text, monkeypatch):
    monkeypatch.setattr("ledger.book.typed.unseen", lambda text: "")
    with book.entry("supplier add"):
        book.post(Supplier(name=text))
    export_tables(book, tmp_path / "tables")
    (row,) = read(tmp_path / "tables" / "supplier.csv")
    assert row["name"] == text


def test_a_folder_in_use_is_refused_and_left_alone(tmp_path, book):
    folder = tmp_path / "tables"
    folder.mkdir()
    (folder / "deed.csv").write_text("mine")
    with pytest.raises(NotAllowed, match="is not empty"):
        export_tables(book, folder)
    assert [path.read_text() for path in folder.iterdir()] == ["mine"]


@pytest.mark.parametrize("place", ["shop.sqlite", "shop.sqlite/tables", "x" * 300])
def test_a_place_that_cannot_be_a_folder_is_said(tmp_path, book, place):
    with pytest.raises(LedgerError, match=r"cannot be written|is a file"):
        export_tables(book, tmp_path / place)


def test_an_export_that_fails_leaves_nothing(tmp_path, book, monkeypatch):
    monkeypatch.setattr(catalog, "every_class", lambda: {"price": Price, "../entry": Price})
    with pytest.raises(BookTrouble):
        export_tables(book, tmp_path / "tables")
    assert [path.name for path in tmp_path.iterdir()] == ["shop.sqlite"]


def test_an_empty_folder_is_filled_and_stays_its_owners(tmp_path, book):
    (tmp_path / "tables").mkdir(mode=0o755)
    export_tables(book, tmp_path / "tables")
    assert (tmp_path / "tables").stat().st_mode & 0o777 == 0o700
    assert len(list((tmp_path / "tables").iterdir())) == len(catalog.every_class())


def test_clients_are_exported_too(tmp_path, book):
    with book.entry("a"):
        book.client("A client", "client@example.com")
    export_tables(book, tmp_path / "tables")
    (row,) = read(tmp_path / "tables" / "client.csv")
    assert (row["name"], row["contact"]) == ("A client", "client@example.com")

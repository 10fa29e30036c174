"""Distances driven: miles in an inch book, kilometers in a metric one, and never the other."""

import json
import sqlite3
from contextlib import closing
from datetime import date

import openpyxl
import pytest

from ledger.book import Book, schema

PARTS = """\
id,name,qty,length,width,material
A,Platte,1,600,400,PLA18
B,Seite,2,400,300,PLA18
"""
MATERIALS = """\
code,name,kind,unit,length,width,price,price_day
PLA18,Multiplex 18,sheet,sheet,2500,1250,89.00,2025-04-01
"""


@pytest.fixture
def euros(shop, tmp_path):
    """A metric euro book with a small piece to price."""
    (tmp_path / "list.csv").write_text(MATERIALS)
    (tmp_path / "parts.csv").write_text(PARTS)
    for words in (
        ["new", "--shop", "Werkstatt", "--currency", "EUR", "--units", "mm", "--overhead", "20.000",
         "--pay", "48.000"],
        ["material", "load", "list.csv"],
        ["job", "new", "Regal", "--parts", "parts.csv"],
    ):  # fmt: skip
        said = shop(*words)
        assert said.code == 0, said.err
    return shop


def test_a_metric_book_counts_kilometers_at_a_rate_of_its_own(euros):
    said = euros("job", "add-cost", "regal", "km", "44")
    assert said.code == 1
    assert "What a kilometer costs" in said.err
    assert euros("shop", "set", "km_rate=0,42").code == 0
    said = euros("job", "add-cost", "regal", "km", "44")
    assert said.out == "J-2501: km 18.48, planned.\n"
    assert euros("undo", "--list").out.splitlines()[1].split()[2:] == [
        "job",
        "add-cost",
        "J-2501",
        "km",
    ]
    out = euros("price", "regal").out
    assert "44 × 0.42" in out
    assert "mile" not in out.casefold()


@pytest.mark.parametrize("word", ["kilometers", "Kilometre", "KM"])
def test_a_price_of_one_may_be_written_instead_of_a_rate(euros, word):
    said = euros("job", "add-cost", "regal", word, "10", "0,50", "--actual")
    assert said.out == "J-2501: km 5.00, actual.\n"
    facts = json.loads(euros("year", "2025", "--json").out)
    assert (facts["miles"], facts["kilometers"]) == (None, "10")
    assert ": 10, 5.00" in euros("year", "2025").out


def test_the_other_unit_is_refused_with_the_right_word(euros, tmp_path):
    said = euros("job", "add-cost", "regal", "miles", "44", "0,70")
    assert "this book counts km; write km" in said.err
    assert "mile" not in euros("shop", "show").out
    assert "mile" not in euros("job", "add-cost", "regal", "taxi", "1", "2").err
    said = euros("shop", "set", "mile_rate=0,70")
    assert said.code == 1
    assert "write km_rate" in said.err


def test_no_paper_of_a_metric_book_speaks_of_miles(euros, tmp_path):
    euros("shop", "set", "km_rate=0,42")
    euros("job", "add-cost", "regal", "km", "44", "--actual")
    for words in (["price", "regal", "--xlsx", "sheet.xlsx"],
                  ["job", "close", "regal", "--price", "900", "--xlsx", "close.xlsx"],
                  ["year", "2025", "--xlsx", "files"]):  # fmt: skip
        said = euros(*words)
        assert said.code == 0, said.err
        assert "mile" not in said.out.casefold()
        place = tmp_path / words[-1]
        book = openpyxl.load_workbook(next(place.glob("*.xlsx")) if place.is_dir() else place)
        cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row]
        assert not [text for text in cells if "mile" in text.casefold()]
        assert [text for text in cells if "km" in text or "ilometer" in text]


def test_an_inch_book_counts_miles(shop):
    assert shop("new", "--shop", "Workshop").code == 0
    shop("job", "new", "Repair of a chair")
    assert shop("job", "add-cost", "chair", "mi", "10").out == "J-2501: miles 7.00, planned.\n"
    said = shop("job", "add-cost", "chair", "km", "10")
    assert "write miles" in said.err
    assert "km_rate" not in shop("shop", "show").out


@pytest.mark.parametrize(("kept", "rate"), [(None, "0.70"), ("0.30", "0.30")])
def test_a_metric_book_that_was_there_keeps_its_rate(tmp_path, kept, rate):
    path = tmp_path / "old.sqlite"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        schema.apply(connection, 0, 7)
        connection.execute(
            "INSERT INTO deed (at, day, who, verb) VALUES ('x', '2025-04-25', 'owner', 'new')"
        )
        rows = [("currency", "EUR"), ("units", "mm")] + ([("mile_rate", kept)] if kept else [])
        connection.executemany("INSERT INTO setting (deed, name, value) VALUES (1, ?, ?)", rows)
    with Book(path, date(2025, 4, 25)) as book:
        assert str(book.settings.km_rate) == rate


def test_what_a_job_has_none_of_is_asked_for(euros):
    def open_lines():
        return json.loads(euros("price", "regal", "--json").out)["forgotten_open"]

    assert {"km", "freight"} <= set(open_lines())
    assert "miles" not in open_lines()
    euros("job", "add-cost", "regal", "km", "12", "0,42")
    euros("job", "answer", "regal", "freight", "0")
    assert not {"km", "freight"} & set(open_lines())
    assert "admin" in open_lines()
    euros("job", "count", "regal", "admin", "1")
    assert "admin" not in open_lines()


def test_freight_that_the_price_expects_answers_itself(euros):
    euros("shop", "set", "freight=4 %")
    facts = json.loads(euros("price", "regal", "--json").out)
    assert "freight" not in facts["forgotten_open"]


def test_a_job_shows_its_distance_in_kilometers(euros):
    assert euros("job", "add-cost", "regal", "km", "44", "0,50", "--note", "Fahrt").code == 0
    assert euros("job", "add-cost", "regal", "km", "10", "0,50").code == 0
    out = euros("job", "show", "regal").out
    assert "mile" not in out
    assert [line.split() for line in out.splitlines() if "km" in line] == [
        ["planned", "km", "Fahrt", "22.00"],
        ["planned", "km", "5.00"],
    ]

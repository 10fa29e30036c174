"""Starter designs as they are typed: listed, shown, taken for a job, written out to be changed."""

import json
from datetime import date
from decimal import Decimal

import pytest

from ledger.book.tables.materials import Price
from ledger.stock.prices import in_order


@pytest.fixture
def opened(begun):
    """The program with a shop that has its yearly figures and the starting prices."""
    return begun(
        ["new", "--shop", "Hollowbrook Joinery", "--overhead", "22000", "--pay", "56000"],
        ["material", "load", "--starting"],
    )


def test_what_comes_with_the_program_is_listed(opened):
    rows = json.loads(opened("design", "list", "--starters", "--json").out)

    kinds = {row["name"]: row["kind"] for row in rows}
    assert (kinds["bookcase"], kinds["carcass"]) == ("starter", "sub-assembly")
    assert len([kind for kind in kinds.values() if kind == "starter"]) >= 10


def test_a_starter_is_shown_at_a_size(opened):
    said = opened("design", "show", "bookcase", "--starter", "--set", "width=96 in", "--json")

    built = json.loads(said.out)
    assert built["parameters"]["bays"] == "3"
    assert "wall_fixed" in built["contains"]


def test_a_job_on_a_starter_says_what_serves_each_of_its_words(opened):
    said = opened("job", "new", "Tall bookcase", "--starter", "bookcase", "--set", "height=90 in")

    assert said.code == 0
    assert "ply: PLY34 Birch ply 3/4 4x8" in said.err
    shown = json.loads(opened("job", "show", "Tall", "--json").out)
    assert shown["parameters"] == {"height": "90 in"}


def test_a_material_of_ones_own_serves_a_word(opened):
    word = ("--material", "hardwood=POP44")
    said = opened("job", "new", "Painted bench", "--starter", "bench", *word)

    assert said.code == 0
    assert "hardwood: POP44" in said.err


def test_sizes_that_do_not_fit_leave_no_job_behind(opened):
    sizes = ("length=20 in", "width=14 in", "inset=7 in")
    sets = [word for size in sizes for word in ("--set", size)]
    said = opened("job", "new", "Bench", "--starter", "bench", *sets)

    assert said.code == 1
    assert "base_width is 0 in" in said.err
    assert json.loads(opened("job", "list", "--json").out) == []


def test_a_starter_is_written_out_to_be_changed_and_loaded_as_ones_own(opened, tmp_path):
    path = tmp_path / "mine.xlsx"
    assert opened("design", "template", str(path), "--starter", "wall-cabinet").code == 0
    loaded = opened("design", "load", str(path))

    assert loaded.code == 0, loaded.err
    assert loaded.out.startswith("wall-cabinet, ")


def test_a_rough_price_before_any_past_job_names_the_starter_and_the_starting_prices(begun):
    empty = begun(["new", "--shop", "H", "--overhead", "22000", "--pay", "56000"])
    said = empty("job", "rough", "oak bookcase 3 ft by 6 ft by 12 in")

    assert said.code == 0
    assert "starter design bookcase" in said.out
    assert "width 36 in, height 72 in, depth 12 in" in said.out
    assert "Starting prices of 2025" in said.err
    assert "Read as 36 × 72 × 12 in." in said.err


def test_without_yearly_figures_a_rough_price_says_what_is_missing(begun):
    empty = begun(["new", "--shop", "H"])
    said = empty("job", "rough", "bookcase 3 ft by 6 ft")

    assert said.code == 1
    assert "overhead_year" in said.err


def test_a_job_takes_its_overall_size_as_it_is_said(opened):
    said = opened("job", "new", "Bookcase", "--starter", "bookcase", "--size", "8 ft by 7 ft")

    assert said.code == 0
    assert "Read as 96 × 84 in." in said.err
    assert "width 96 in, height 84 in; depth" in said.err
    shown = json.loads(opened("job", "show", "Bookcase", "--json").out)
    assert shown["parameters"] == {"width": "96 in", "height": "84 in"}


def test_a_design_of_ones_own_is_put_into_another_one(opened, tmp_path):
    for name, part in (("box", "A1,2,12 in,6 in,PLY34"), ("outer", "T1,1,30 in,12 in,PLY34")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "design.csv").write_text(f"name,value\nname,{name}\n", "utf-8")
        parts = f"id,qty,length,width,material\n{part}\n"
        (tmp_path / name / "parts.csv").write_text(parts, "utf-8")
    (tmp_path / "outer" / "blocks.csv").write_text("name,block,with\nleft,box,times=2\n", "utf-8")
    assert opened("design", "load", str(tmp_path / "box")).code == 0
    assert opened("design", "load", str(tmp_path / "outer")).code == 0

    built = json.loads(opened("design", "show", "outer", "--json").out)
    assert {part["id"]: part["quantity"] for part in built["parts"]} == {"T1": 1, "left-A1": 4}


def test_a_design_made_for_a_job_is_shown_with_the_sizes_of_the_job(opened):
    assert opened("job", "new", "Hall case", "--starter", "bookcase", "--number", "J-2590",
                  "--set", "width=96 in").code == 0  # fmt: skip

    said = opened("design", "show", "j-2590")
    usual = json.loads(opened("design", "show", "j-2590", "--set", "width=60 in", "--json").out)

    assert "J-2590: width" in said.out
    assert json.loads(opened("design", "show", "j-2590", "--json").out)["parameters"]["width"] == (
        "96 in"
    )
    assert usual["parameters"]["width"] == "60 in"


def test_a_price_of_your_own_stands_before_a_starting_price_whatever_its_day(opened):
    """A dealer's list of last month, loaded after the starting one, is what jobs are priced at."""
    opened("job", "new", "Wall", "--work", "wipe 20", "--use", "OIL 1")
    opened("material", "price", "OIL", "46", "--on", "2025-03-10")

    priced = json.loads(opened("price", "Wall", "--json").out)
    assert priced["lines"][0]["full"] == "46.00"
    assert "Starting prices" not in opened("price", "Wall").err
    shown = json.loads(opened("material", "show", "OIL", "--json").out)
    assert [day for day, _ in shown["prices"]] == ["2025-04-25", "2025-03-10"]
    assert "OIL" not in opened("month", "2025-04").out
    opened("shop", "set", "stale_days=30")
    opened("job", "state", "Wall", "won")
    assert "OIL" in opened("today").out


def test_a_starting_price_that_is_told_again_stands_by_its_day(book):
    """So it is noted once more where the receipt that put it aside was taken back."""
    days = [date(2025, 4, 10), date(2025, 4, 5), date(2025, 4, 11)]
    sources = ["starting price, level 2025", "R-101", "starting price, level 2025"]
    with book.entry("material price"):
        told = [
            book.post(Price(material="OIL", day=day, amount=Decimal(28), source=source))
            for day, source in zip(days, sources, strict=True)
        ]
    assert [row.key for row in in_order(told[:2])] == [told[0].key, told[1].key]
    assert in_order(told)[-1].key == told[2].key

"""Starter designs as they are typed: listed, shown, taken for a job, written out to be changed."""

import json

import pytest


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
    assert "base_width is 0 in; it must be at least 6 in" in said.err
    assert json.loads(opened("job", "list", "--json").out) == []


def test_a_starter_is_written_out_to_be_changed_and_loaded_as_ones_own(opened, tmp_path):
    path = tmp_path / "mine.xlsx"
    assert opened("design", "template", str(path), "--starter", "wall-cabinet").code == 0
    loaded = opened("design", "load", str(path))

    assert loaded.code == 0, loaded.err
    assert loaded.out.startswith("wall-cabinet, Wall cabinet with doors: version 1.")


def test_a_rough_price_before_any_past_job_names_the_starter_and_the_starting_prices(begun):
    empty = begun(["new", "--shop", "H", "--overhead", "22000", "--pay", "56000"])
    said = empty("job", "rough", "oak bookcase 3 ft by 6 ft by 12 in")

    assert said.code == 0
    assert "the starter design bookcase built at this size" in said.out
    assert "width 36 in, height 72 in, depth 12 in" in said.out
    assert "Starting prices of 2025, not your own, stand in for" in said.err
    assert "Read as 36 × 72 × 12 in." in said.err


def test_without_yearly_figures_a_rough_price_says_what_is_missing(begun):
    empty = begun(["new", "--shop", "H"])
    said = empty("job", "rough", "bookcase 3 ft by 6 ft")

    assert said.code == 1
    assert "overhead_year" in said.err

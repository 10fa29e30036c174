"""Where a command both posts and writes a file, a file that cannot be written posts nothing."""

import json

import pytest


@pytest.fixture
def priced(started, tmp_path):
    """The program with a small job that can be priced and closed."""
    parts = "id,qty,length,width,grain,material\nA1,2,40,11,length,PLY34\n"
    (tmp_path / "shelves.csv").write_text(parts)
    assert started("job", "set", "J-2507", "--parts", "shelves.csv").code == 0
    return started


def last_entry(shop):
    return json.loads(shop("undo", "--list", "--json").out)[0]


def test_a_month_whose_files_cannot_be_written_stays_open(started, tmp_path):
    (tmp_path / "papers").write_text("a letter")
    before = last_entry(started)

    said = started("month", "2025-04", "--close", "--xlsx", "papers", on="2025-06-01")
    assert (said.code, said.out) == (1, "")
    assert "papers cannot be used" in said.err
    assert last_entry(started) == before


@pytest.mark.parametrize(
    ("words", "file"),
    [("job close J-2507 --price 900", "close.txt"), ("quote send J-2507", "quote.txt")],
)
def test_a_paper_that_cannot_be_written_leaves_the_job_as_it_was(priced, words, file):
    assert priced("quote", "draft", "J-2507", "--price", "900").code == 0
    before = last_entry(priced)

    said = priced(*words.split(), "--xlsx", file)
    assert (said.code, said.out) == (1, "")
    assert "should end in .xlsx" in said.err
    assert last_entry(priced) == before


def test_a_month_is_closed_and_its_files_stand_where_they_can(started, tmp_path):
    said = started("month", "2025-04", "--close", "--xlsx", "papers", on="2025-06-01")
    assert (said.code, said.out) == (0, "2025-04 is closed.\n")
    assert (tmp_path / "papers" / "2025-04-accountant.xlsx").exists()
    assert last_entry(started)["verb"] == "month close"


@pytest.mark.parametrize(
    "words",
    [
        ("hours", "add", "J-2507", "sand", "23h"),
        ("hours", "load", "log.csv"),
        ("clock", "on", "J-2507", "cut", "--at", "23:59"),
        ("quote", "send", "J-2507", "--xlsx", "quote.txt"),
        ("price", "J-2507", "--xlsx", "price.txt"),
    ],
    ids=" ".join,
)
def test_a_refused_command_leaves_nothing_that_it_worked_out(priced, tmp_path, words):
    log = "day,job,operation,hours\n2025-05-30,J-2507,sand,23h\n"
    (tmp_path / "log.csv").write_text(log)
    before = last_entry(priced)

    assert priced(*words).code == 1
    assert last_entry(priced) == before


def test_what_a_command_worked_out_stands_once_it_is_done(priced):
    before = last_entry(priced)
    first = priced("price", "J-2507", "--json")
    assert first.code == 0
    kept = last_entry(priced)
    assert (kept["verb"], kept["entry"]) == ("layout", before["entry"] + 1)
    assert priced("price", "J-2507", "--json").out == first.out
    assert last_entry(priced) == kept

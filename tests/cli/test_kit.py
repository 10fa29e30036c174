"""`benchledger kit`, typed: add, list, compare."""

import json
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def quoted(begun, tmp_path):
    """The program with a small job that is quoted at 2,000.00."""
    (tmp_path / "shelves.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,40,11,length,PLY34\n"
    )
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "new", "Marrow shelves", "--parts", "shelves.csv"],
        ["quote", "draft", "shelves", "--price", "2000"],
        ["kit", "add", "Shelf kit", "--price", "400", "--shipping", "50", "--on", "2025-04-20",
         "--lacks", "wall fixings=25", "--assembly", "3h", "--years", "8"],
    )  # fmt: skip


def test_a_kit_is_listed_with_the_day_its_price_was_seen(quoted):
    facts = json.loads(quoted("kit", "list", "--json").out)

    assert facts == [{"kit": "K-1", "name": "Shelf kit", "price": "400.00", "seen": "2025-04-20"}]
    assert "2025-04-20" in quoted("kit", "list").out


def test_a_job_is_compared_with_and_without_own_labor(quoted):
    said = quoted("kit", "compare", "shelves", "--wage", "20", "--skilled", "10", "--json")
    facts = json.loads(said.out)
    ways = {way["name"]: way for way in facts["ways"]}

    assert facts["landed"] == "500.50"
    assert ways["Shelf kit"]["with_own_labor"] == "560.50"
    assert ways["Commission"]["cash"] == "2120.00"
    assert ways["Commission"]["cash_ratio"] == "4.24"
    assert ways["Commission"]["break_even_wage"] == "539.83"
    assert ways["Built, novice"]["hours"] == "18"


def test_the_screen_says_the_day_and_the_special_cases_in_words(quoted):
    said = quoted("kit", "compare", "shelves", "--skilled", "10")

    assert "kit, price of 2025-04-20" in said.out
    assert "1,619.50 more and takes 3 hours" in said.out
    assert "An own hour counts 20.00" in said.err
    assert "An own" not in quoted("kit", "compare", "shelves", "--wage", "20").err


def test_both_pages_are_written(quoted, tmp_path):
    said = quoted("kit", "compare", "--pdf", "client.pdf", "--builder-pdf", "builder.pdf")

    assert said.code == 0, said.err
    assert (tmp_path / "client.pdf").exists()
    assert (tmp_path / "builder.pdf").exists()


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["add", "Bed", "--price", "much"], 1, "is not an amount"),
        (["add", "Bed", "--price", "0"], 1, "A kit has a price"),
        (["add", "Bed", "--price", "10", "--on", "2026-01-01"], 1, "lies after today"),
        (["add", "Bed", "--price", "10", "--lacks", "shelves"], 2, "should read NAME=VALUE"),
        (["compare", "shelves", "hammock"], 1, "No kit is called “hammock”"),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(quoted, words, code, says):
    said = quoted("kit", *words)

    assert said.code == code
    assert says in " ".join(said.err.split())

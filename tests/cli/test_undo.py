"""`undo`: every posting command can be taken back, and it says what it took back."""

import json
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture(autouse=True)
def a_book(shop):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0


def test_the_last_entry_is_taken_back_and_said(shop):
    shop("shop", "set", "kerf=3.2mm")
    said = shop("undo", on="2025-04-26")
    assert said.code == 0
    assert said.out == "Taken back: entry 2 of 2025-04-25, shop set kerf=3.2mm.\n"
    assert "1/8 in" in shop("shop", "show", "kerf").out


def test_a_layout_that_was_only_worked_out_is_passed_over(shop, tmp_path):
    (tmp_path / "parts.csv").write_text("id,qty,length,width,material\nA1,2,40,11,PLY34\n")
    assert shop("material", "load", str(SAMPLES / "materials.csv")).code == 0
    assert shop("job", "new", "Shelf", "--parts", "parts.csv").code == 0
    assert shop("layout", "shelf").code == 0
    assert "layout" in shop("undo", "--list").out
    assert "job new" in shop("undo").out


def test_one_entry_after_the_other_is_taken_back_until_there_is_none(shop):
    for text in ("1 mm", "2 mm"):
        shop("shop", "set", f"kerf={text}")
    assert "kerf=2 mm" in shop("undo").out
    assert "kerf=1 mm" in shop("undo").out
    said = shop("undo")
    assert (said.code, "nothing to take back" in said.err) == (1, True)


def test_a_entry_is_taken_back_by_its_number_with_a_reason(shop):
    for text in ("1 mm", "2 mm"):
        shop("shop", "set", f"kerf={text}")
    assert "kerf=1 mm" in shop("undo", "2", "--why", "wrong blade").out
    assert "2 mm" in shop("shop", "show", "kerf").out
    (reversal, *_) = json.loads(shop("undo", "--list", "--json").out)
    assert (reversal["reverses"], reversal["why"]) == (2, "wrong blade")


def test_after_a_receipt_was_taken_back_no_other_entry_is_taken_for_the_last(shop):
    bought = ("receipt", "add", "glue", "2", "7.50", "--category", "supply", "--from", "Mill")
    assert shop(*bought).code == 0
    assert shop("shop", "set", "kerf=2 mm").code == 0
    assert shop("receipt", "reverse", "R-101", "--why", "entered twice").code == 0
    entries = shop("undo", "--list", "--json").out

    said = shop("undo")
    assert said.code == 1
    words = " ".join(said.err.split())
    assert "took R-101 back" in words
    assert "benchledger undo 3" in words
    assert shop("undo", "--list", "--json").out == entries

    assert shop(*bought, "--number", "R-101").code == 0
    assert "receipt add" in shop("undo").out
    assert "kerf=2 mm" in shop("undo").out


def test_the_list_shows_the_last_entries_and_which_are_undone(shop):
    shop("shop", "set", "kerf=1 mm")
    shop("undo")
    lines = shop("undo", "--list").out.splitlines()
    assert [line.split()[0] for line in lines[1:]] == ["3", "2", "1"]
    assert [line.rstrip().endswith("undone") for line in lines[1:]] == [False, True, False]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["1"], "Entry 1 made this book; it cannot be taken back."),
        (["3"], "Entry 3 is itself a reversal."),
        (["2"], "Entry 2 (shop set kerf=1 mm) is reversed already."),
        (["99"], "There is no entry 99 in this book."),
    ],
)
def test_what_cannot_be_taken_back_is_refused_in_a_sentence(shop, words, sentence):
    shop("shop", "set", "kerf=1 mm")
    shop("undo")
    said = shop("undo", *words)
    assert (said.code, said.out) == (1, "")
    assert said.err.startswith(sentence)


@pytest.mark.parametrize("word", ["last", "-1", "１", "1.5", "9" * 40])
def test_a_number_that_is_none_is_a_mistyped_command(shop, word):
    said = shop("undo", "--", word)
    assert said.code == 2
    assert "benchledger undo --list" in said.err


def test_facts_as_json(shop):
    shop("shop", "set", "kerf=1 mm")
    said = json.loads(shop("undo", "--json").out)
    assert said == {"entry": 2, "verb": "shop set", "words": "kerf=1 mm", "day": "2025-04-25"}


def test_a_rule_of_a_room_is_asked(shop, monkeypatch):
    from ledger.errors import NotAllowed
    from ledger.upkeep import undo

    def refuse(_book, entry):
        raise NotAllowed(f"{entry.words} is still needed.")

    shop("shop", "set", "kerf=1 mm")
    monkeypatch.setattr(undo, "RULES", (refuse,))
    assert shop("undo").err == "kerf=1 mm is still needed.\n"
    assert "1 mm" in shop("shop", "show", "kerf").out


def test_a_sent_quote_that_was_altered_is_found(monkeypatch):
    from ledger.quotes import check
    from ledger.upkeep import checks

    page = check.FrozenPageCheck(
        "Q-2507-A", 1, "0" * 64, ("its bytes are not those that were sent",)
    )
    monkeypatch.setattr(checks, "check_quotes", lambda book: [page])
    assert checks.altered_quotes(None) == ["Q-2507-A: its bytes are not those that were sent."]
